"""The sums of the bench worked with this movement's own figures, every line of them."""

from __future__ import annotations

from builder.bench import MOVEMENT_SUMS
from builder.bench.of_movement import Worked, worked
from builder.bench.working.lines import Table
from builder.bench.working.printed import command
from builder.bench.working.said import written
from builder.going.going import Going
from builder.ground import words
from builder.ground.wording import Wording
from builder.pages.computing import sum_address
from builder.pages.shown import Context, Shown

ROWS = 10
"""Candidates shown, best first; the movement's own is shown wherever it stands."""


def context(shown: Shown, wording: Wording) -> Context | None:
    """None for a movement of which nothing can be asked."""
    going = shown.going
    found = worked(going)
    if not found:
        return None
    return {
        "title": f"{going.name}: {wording.say('pages.stations.sums').lower()}",
        "arbors": wording.say("sums.worked.arbors", arbors=_numbered(going)),
        "sums": [_shown(one, going.slug, wording) for one in found],
    }


def _numbered(going: Going) -> str:
    """1 barrel, 2 centre …: the arbors of the power path as the sums count them."""
    titles = [going.train[arbor].title for arbor in going.train.path]
    return ", ".join(f"{number}{words.THIN}{words.small(title)}" for number, title in enumerate(titles, start=1))


def _shown(one: Worked, slug: str, wording: Wording) -> Context:
    said = written(one.working, wording)
    parts = [words.small(title) for title in one.parts]
    names = dict(zip(("part", "other"), parts, strict=False))
    file = f"models/{slug}/movement.toml" if one.name in MOVEMENT_SUMS else ""
    tables = []
    for table, listed in zip(one.working.tables, said.tables, strict=True):
        own = _own(one, table)
        kept = [k for k in range(len(listed.rows)) if k < ROWS or k in own]
        tables.append(
            {
                "title": listed.title,
                "heads": listed.heads,
                "rows": [(k in own, listed.rows[k]) for k in kept],
                "more": wording.say("sums.worked.best_first", shown=len(kept), found=len(listed.rows))
                if len(kept) < len(listed.rows)
                else "",
                "own": bool(own),
            }
        )
    return {
        "id": one.key.replace("_", "-"),
        "title": wording.say(f"sums.worked.{one.key}", **names),
        "said": said,
        "tables": tables,
        "command": command(one.name, one.texts, file),
        "explained": sum_address(one.name),
    }


def _own(one: Worked, table: Table) -> set[int]:
    """Rows that have the movement's own counts."""
    return {k for k, row in enumerate(table.rows) if one.own and one.own.items() <= row.items()}
