"""All questions of a movement, made from its figures: same movement, same questions."""

from __future__ import annotations

from collections.abc import Mapping

from builder.drawing.table import Plate
from builder.going.going import Going
from builder.ground.wording import Wording
from builder.lessons.kinds import KINDS
from builder.lessons.question import Question, Subject


def questions(going: Going, plates: Mapping[str, Plate], wording: Wording) -> tuple[Question, ...]:
    """In the order of `KINDS`, each under a key of its own. What the movement does not have is not asked about."""
    subject = Subject(going, plates, wording)
    made = [question for ask in KINDS.values() for question in ask(subject) if question is not None]
    assert len({question.key for question in made}) == len(made), "each question has a key of its own"
    return tuple(made)
