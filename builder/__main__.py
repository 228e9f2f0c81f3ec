"""Where a command begins and ends: faults one a line, and the exit code (0 done, 1 faults in what was read, 2 wrong use)."""

from __future__ import annotations

import sys
from dataclasses import replace
from io import TextIOWrapper

from builder.commands import parser
from builder.commands.options import from_here
from builder.ground.faults import FaultsFound, PlainlySaid


def main(arguments: list[str] | None = None) -> int:
    """Run one command. Returns the exit code."""
    for stream in (sys.stdout, sys.stderr):  # an old terminal shows a question mark for what it has no letter for
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="replace")
    given = sys.argv[1:] if arguments is None else arguments
    options = parser(given).parse_args(given)
    try:
        return int(options.run(options))
    except FaultsFound as found:
        for fault in found.faults:
            print(replace(fault, file=from_here(options, fault.file)), file=sys.stderr)
        count = len(found.faults)
        print(f"{count} fault{'s' if count != 1 else ''}; nothing was changed.", file=sys.stderr)
        return 1
    except PlainlySaid as refusal:
        print(refusal, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("Stopped; nothing was changed.", file=sys.stderr)
        return 1


if __name__ == "__main__":
    sys.exit(main())
