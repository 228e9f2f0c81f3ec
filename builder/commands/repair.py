"""repair: one repair computed, before and after."""

from __future__ import annotations

import argparse
import json
from collections.abc import Sequence
from pathlib import Path

from builder.commands import options as shared
from builder.ground.faults import PlainlySaid

HELP = "A repair computed: before and after, each fault alone, readings beside them."


def arguments(parser: argparse.ArgumentParser, given: Sequence[str] | None) -> None:
    """Which repair, and for whom."""
    parser.add_argument("file", type=Path, help="a repair file: models/<movement>/repairs/<day>.toml")
    shared.as_json(parser)


def run(options: argparse.Namespace) -> int:
    """The movement's own file lies two folders above the repair's."""
    from builder.build import solve
    from builder.going.repair import compared
    from builder.movement.model import Movement
    from builder.movement.reading import opened
    from builder.movement.repair import job
    from builder.pages.repairs.printed import as_json, printed

    folder = options.file.resolve().parent.parent
    if options.file.resolve().parent.name != "repairs" or not (folder / "movement.toml").exists():
        raise PlainlySaid(f"{options.file} is no repair of a movement. Name one as models/hall_clock/repairs/2026-03-14.toml.")
    here = Path.cwd().resolve()
    options.root = folder.parent.relative_to(here) if folder.is_relative_to(here) else folder.parent
    solved = solve(folder.name, opened(folder / "movement.toml", Movement, folder.parent))
    repaired = compared(solved, job(folder / "repairs" / options.file.name, folder.parent, solved.movement))
    if options.json:
        print(json.dumps(as_json(repaired), indent=2, ensure_ascii=False))
    else:
        print(printed(repaired, shared.english()))
    return 0
