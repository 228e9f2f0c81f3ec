"""check: every fault of every file, and what is worth knowing where there is none."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

from builder.commands import options as shared
from builder.movement.folders import remarks_on_order

HELP = "Read and solve everything and say every fault; write nothing."


def arguments(parser: argparse.ArgumentParser, given: Sequence[str] | None) -> None:
    """Where from."""
    shared.models(parser)
    shared.jobs(parser)
    shared.quiet(parser)


def run(options: argparse.Namespace) -> int:
    """Everything that a build does before it writes."""
    from builder.assemble import How, assembled
    from builder.pages.site import WORTH_KNOWING

    shared.known(options.models)
    with assembled(options.models, how=How(None, options.jobs, shared.teller(options.quiet))) as (site, broken):
        for fault in broken:
            print(fault, file=sys.stderr)
        remarks = [*remarks_on_order(options.models), *(text for unit in site.told(WORTH_KNOWING) for text in unit)]
    if not options.quiet and not broken:
        for remark in remarks:
            print(shared.from_here(options, remark))
        print("No fault found.")
    return 1 if broken else 0
