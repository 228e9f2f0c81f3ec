"""What must hold of any bytes as a movement file and of any text as notes."""

from __future__ import annotations

import re
from collections.abc import Iterable

from builder.ground.faults import Fault, FaultsFound
from builder.movement.model import Movement
from builder.movement.notes import read_notes
from builder.movement.reading import opened
from tests.fuzz.clock import in_time
from tests.fuzz.settings import scratch

MOST_READING_S = 5
UNFIT = re.compile(r"[\x00-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff]")
"""What would move a terminal's cursor, turn its line about, or cannot be written."""
HARMFUL = re.compile(
    r"<\s*(script|svg|math|iframe|object|embed|style|link|meta|base|form|input|button)\b|<[^>]*[\s\"'/]on\w+\s*="
    r"|<[^>]*(src|href)\s*=\s*[\"']?\s*(javascript:|data:|vbscript:|file:|//)",
    re.I,
)


def reads(data: bytes) -> None:
    """Bytes as a movement file: a model, or faults with their places, in bounded time."""
    with scratch() as models:
        path = models / "counted" / "movement.toml"
        path.parent.mkdir()
        path.write_bytes(data)
        with in_time(MOST_READING_S):
            try:
                opened(path, Movement, models)
            except FaultsFound as found:
                told(found.faults, "counted/movement.toml", data.count(b"\n") + data.count(b"\r") + 1)


def told(faults: Iterable[Fault], file: str, lines: int) -> None:
    """Every fault has its place in the file, says what stands there, what may, and what to do, on one line."""
    faults = tuple(faults)
    assert faults
    for fault in faults:
        assert fault.file == file, fault
        assert 1 <= fault.line <= lines, fault
        assert fault.column >= 1, fault
        assert fault.value and fault.allowed and fault.advice, fault
        assert not UNFIT.search(str(fault)), repr(str(fault))


def harmless(text: str) -> None:
    """Notes: HTML with nothing in it that runs or reaches out, or faults with their places, in bounded time."""
    with scratch() as models:
        (models / "notes.md").write_text(text, "utf-8", "surrogatepass", "")
        with in_time(MOST_READING_S):
            try:
                html = read_notes(models / "notes.md", models).html
            except FaultsFound as found:
                return told(found.faults, "notes.md", text.count("\n") + text.count("\r") + 1)
    found = HARMFUL.search(html)
    assert found is None, html[max(0, found.start() - 80) : found.end() + 80]
    return None
