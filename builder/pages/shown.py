"""One movement as its pages see it."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from markupsafe import Markup

from builder.bench.mended import Mended
from builder.drawing.table import Plate
from builder.going.facts import Fact, facts
from builder.going.going import Going
from builder.ground.wording import Wording
from builder.lessons.question import Question
from builder.lessons.questions import questions

Context = dict[str, Any]
"""What a template is given."""


@dataclass(frozen=True)
class Shown:
    """One movement with its drawings and its author's notes (clean HTML) and pictures."""

    going: Going
    plates: dict[str, Plate]
    notes: str
    pictures: dict[str, bytes]
    repairs: tuple[Mended, ...] = ()
    """The oldest first."""
    worth_knowing: tuple[str, ...] = ()
    """What its file is worth looking at again for, each with its place; no fault."""
    _asked: list[tuple[Question, ...]] = field(default_factory=list, init=False, repr=False, compare=False)

    def asked(self, wording: Wording) -> tuple[Question, ...]:
        """All questions of the movement: the same whoever asks for them, so they are worked out once."""
        if not self._asked:
            self._asked.append(questions(self.going, self.plates, wording))
        return self._asked[0]

    def plate(self, slug: str) -> Context:
        """A drawing with its table, and the drawing as it stands inline on a page."""
        plate = self.plates[slug]
        return {"plate": plate, "sheet": plate.sheet, "svg": self.inline[slug]}

    @cached_property
    def inline(self) -> dict[str, Markup]:
        """Every drawing as it stands on a page."""
        return {slug: Markup(plate.sheet.svg()) for slug, plate in self.plates.items()}  # nosec B704 # sheet.py escapes all

    @cached_property
    def facts(self) -> tuple[Fact, ...]:
        """Every computed figure."""
        return facts(self.going)
