"""The table beside a drawing: each numbered part with what the drawing says of it, in text."""

from __future__ import annotations

from dataclasses import dataclass

from builder.drawing.sheet import Sheet
from builder.ground import words


@dataclass(frozen=True)
class Row:
    """One line: the balloon's number, the part's id and name, and its cells (column key → text)."""

    number: int
    part: str
    name: str
    cells: dict[str, str]


@dataclass(frozen=True)
class Cell:
    """A text, and over how many columns it stands."""

    text: str
    columns: int = 1


@dataclass(frozen=True)
class Plate:
    """A drawing with the table that says the same in text. `columns` are keys of the wording."""

    sheet: Sheet
    columns: tuple[str, ...]
    rows: tuple[Row, ...]

    def laid(self) -> list[tuple[Row, list[Cell]]]:
        """Every row with its cells as they stand on a page: figures one under the other, a sentence among them over the rest."""
        texts = {column: _in_line([words.unbroken(row.cells[column]) for row in self.rows]) for column in self.columns}
        figures = {column: [words.begins_with_figure(row.cells[column]) for row in self.rows] for column in self.columns}
        found = []
        for n, row in enumerate(self.rows):
            cells = [Cell(texts[column][n]) for column in self.columns]
            last = max((k for k, cell in enumerate(cells) if cell.text), default=0)
            if cells and any(figures[self.columns[last]]) and not figures[self.columns[last]][n]:
                cells[last:] = [Cell(cells[last].text, len(cells) - last)]
            found.append((row, cells))
        return found


def _in_line(texts: list[str]) -> list[str]:
    """A column as it stands, its figures one under the other; lists of sizes are no column of figures."""
    return texts if any(", " in text for text in texts) else words.aligned(texts)
