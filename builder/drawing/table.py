"""The table beside a drawing: each numbered part with what the drawing says of it, in text."""

from __future__ import annotations

from dataclasses import dataclass

from builder.drawing.sheet import Sheet


@dataclass(frozen=True)
class Row:
    """One line: the balloon's number, the part's id and name, and its cells (column key → text)."""

    number: int
    part: str
    name: str
    cells: dict[str, str]


@dataclass(frozen=True)
class Plate:
    """A drawing with the table that says the same in text. `columns` are keys of the wording."""

    sheet: Sheet
    columns: tuple[str, ...]
    rows: tuple[Row, ...]
