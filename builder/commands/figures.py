"""figures: every computed figure of one movement."""

from __future__ import annotations

import argparse
import json
from collections.abc import Sequence
from pathlib import Path

from builder.commands import options as shared
from builder.ground.faults import sentences

HELP = "Every computed figure of one movement file."


def arguments(parser: argparse.ArgumentParser, given: Sequence[str] | None) -> None:
    """Which movement, and for whom."""
    parser.add_argument("file", type=Path, help="a movement.toml, or its folder")
    shared.as_json(parser)


def run(options: argparse.Namespace) -> int:
    """For people in tables, group by group; for programs by key."""
    from builder.build import solve
    from builder.going.facts import facts
    from builder.going.facts.programs import for_programs
    from builder.movement.model import Movement
    from builder.movement.reading import opened

    file = options.file / "movement.toml" if options.file.is_dir() else options.file
    solved = solve(file.resolve().parent.name, opened(file, Movement, file.parent))
    if options.json:
        print(json.dumps(for_programs(solved), indent=2, ensure_ascii=False, allow_nan=False))
        return 0
    for fact in facts(solved):
        label = shared.english().say(f"facts.{fact.kind}.label")
        of = ", ".join(text for text in (fact.subject, fact.state) if text)
        print(f"{f'{label} ({of})' if of else label:58} {fact.said}")
    for said in sentences(solved.stops + solved.findings):
        print(f"Note: {said}")
    return 0
