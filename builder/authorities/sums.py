"""Published worked examples of the sums of the bench, asked as they are of the command."""

from __future__ import annotations

from typing import Any

from builder.authorities.entry import Entry
from builder.bench import work
from builder.bench.working.lines import Working

CANDIDATE = "candidate"
"""What must stand in one row of what was found."""


def asked(entry: Entry) -> tuple[str, dict[str, str]]:
    """The sum's name and its question, in texts as a person types them."""
    return entry.given["sum"], {name: text for name, text in entry.given.items() if name != "sum"}


def sum_check(entry: Entry) -> dict[str, Any]:
    """Lines of the working by name; of several of a name, the last."""
    working = work(*asked(entry))
    return {name: _candidate(working, wanted) if name == CANDIDATE else working[name] for name, wanted in entry.expect.items()}


def _candidate(working: Working, wanted: dict[str, Any]) -> dict[str, Any]:
    """The row that has what is wanted; else the first, as far as it goes."""
    rows = [{name: row.get(name) for name in wanted} for table in working.tables for row in table.rows]
    return next((row for row in rows if row == wanted), rows[0] if rows else {})
