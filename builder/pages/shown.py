"""One movement as its pages see it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from builder.drawing.table import Plate
from builder.going.going import Going

Context = dict[str, Any]
"""What a template is given."""


@dataclass(frozen=True)
class Shown:
    """One movement with its drawings and its author's notes (clean HTML) and pictures."""

    going: Going
    plates: dict[str, Plate]
    notes: str
    pictures: dict[str, bytes]

    def plate(self, slug: str) -> Context:
        """A drawing with its table, and the drawing as it stands inline on a page."""
        plate = self.plates[slug]
        return {"plate": plate, "sheet": plate.sheet, "svg": Markup(plate.sheet.svg())}  # nosec B704: sheet.py escapes all
