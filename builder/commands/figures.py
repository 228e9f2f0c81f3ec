"""figures: every computed figure of one movement."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from builder.commands import options as shared
from builder.ground.faults import sentences

HELP = "Every computed figure of one movement file."


def arguments(parser: argparse.ArgumentParser, given: Sequence[str] | None) -> None:
    """Which movement, and for whom."""
    parser.add_argument("file", type=Path, help="a movement.toml, or its folder")
    shared.as_json(parser)


def run(options: argparse.Namespace) -> int:
    """For people as the page of figures has them; for programs by key."""
    from builder.build import solve
    from builder.going.facts.programs import for_programs
    from builder.movement.model import Movement
    from builder.movement.reading import opened
    from builder.pages.shown import Shown
    from builder.pages.stations import STATIONS

    file = options.file / "movement.toml" if options.file.is_dir() else options.file
    options.root = file.parent
    solved = solve(file.resolve().parent.name, opened(file, Movement, file.parent))
    if options.json:
        print(json.dumps(for_programs(solved), indent=2, ensure_ascii=False, allow_nan=False))
        return 0
    page = STATIONS["figures"](Shown(solved, {}, "", {}), shared.english())
    assert page is not None, "every movement has figures"
    for table in page["groups"]:
        for line in _lines(shared.english().say(f"facts.groups.{table['group']}"), table):
            print(line)
    for said in sentences(solved.stops + solved.findings):
        print(f"Note: {said}")
    return 0


def _lines(title: str, table: dict[str, Any]) -> Iterator[str]:
    """A group: its title over the labels, the states of winding, where they differ, over the columns."""
    rows = [
        [f"  {', '.join(filter(None, (row['label'], row['subject'])))}", *(cell["text"] for cell in row["cells"])]
        for row in table["rows"]
    ]
    rows.insert(0, [title, *table["states"]])
    widths = [
        max((len(row[column]) for row in rows if column < len(row) - 1), default=0) for column in range(max(map(len, rows)))
    ]
    for row in rows:
        yield "  ".join(text.ljust(width) for text, width in zip(row, widths, strict=False)).rstrip()
    yield ""
