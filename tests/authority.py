"""Published values for tests that look further than the value itself (tests/authorities/)."""

from __future__ import annotations

from builder.authorities import FOLDER, authorities
from builder.authorities.entry import Entry

KNOWN = authorities(FOLDER)


def of_kind(kind: str) -> list[Entry]:
    """All entries that one check computes."""
    return [entry for entry in KNOWN.entries if entry.kind == kind]
