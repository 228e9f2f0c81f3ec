"""sum: one of the sums of the bench, line by line."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from pathlib import Path

from builder.commands import options as shared

HELP = "Work one of the sums of the bench, line by line."

ROWS_SHOWN = 20
"""Rows of a table of candidates that people are shown; other programs get all."""


def arguments(parser: argparse.ArgumentParser, given: Sequence[str] | None) -> None:
    """One sub-parser a sum; the one chosen with its options, made from its fields."""
    if given is None:
        return
    from builder.bench import MOVEMENT_SUMS, SUMS
    from builder.bench.working.printed import add_options

    sums = parser.add_subparsers(required=True, metavar="name", dest="sum")
    for name, sum_class in (SUMS | MOVEMENT_SUMS).items():
        key = f"sums.{name.replace('-', '_')}"
        one = sums.add_parser(name, help=shared.english().say(f"{key}.title"), description=shared.english().say(f"{key}.lede"))
        one.set_defaults(parser=one)
        if name not in given[:1]:
            continue
        if name in MOVEMENT_SUMS:
            one.add_argument("file", type=Path, help="a movement.toml")
        add_options(one, sum_class)
        shared.as_json(one)


def run(options: argparse.Namespace) -> int:
    """0 worked, 1 what is asked cannot be, 2 the question cannot be read."""
    from builder.bench import MOVEMENT_SUMS, work
    from builder.bench.working.asked import Unreadable
    from builder.bench.working.printed import answers, complaint_text, printed
    from builder.bench.working.said import as_json, written
    from builder.build import solve
    from builder.ground.faults import Refused
    from builder.movement.model import Movement
    from builder.movement.reading import opened

    try:
        going = None
        if options.sum in MOVEMENT_SUMS:
            options.root = options.file.parent
            going = solve(options.file.parent.name, opened(options.file, Movement, options.file.parent))
        working = work(options.sum, answers(options), going)
    except Unreadable as unread:
        options.parser.error(str(unread))
    except Refused as refused:
        for complaint in refused.complaints:
            print(complaint_text(complaint), file=sys.stderr)
        return 1
    if options.json:
        print(json.dumps(as_json(working, shared.english()), indent=2, ensure_ascii=False))
    else:
        print(printed(written(working, shared.english()), ROWS_SHOWN))
    return 0
