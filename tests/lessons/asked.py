"""The questions of every movement that tests look at, made once."""

from __future__ import annotations

import tomllib
from copy import deepcopy
from functools import cache
from pathlib import Path
from typing import Any

from builder.drawing.diagrams import motion_work, train_plan
from builder.drawing.table import Plate
from builder.going.going import Going, going
from builder.lessons.question import Question
from builder.lessons.questions import questions
from builder.movement.model import Movement
from tests.solved import wording

ROOT = Path(__file__).resolve().parents[2]
FILES = {
    path.parent.name: path for folder in ("models", "tests/models") for path in sorted((ROOT / folder).glob("*/movement.toml"))
}
DEMOS = [slug for slug, path in FILES.items() if path.parts[-3] == "models" and "tests" not in path.parts]


@cache
def raw(slug: str) -> dict[str, Any]:
    """The file's tables."""
    return tomllib.loads(FILES[slug].read_text("utf-8"))


def with_changed(slug: str, change: Any) -> Going:
    """The movement of a changed file, read, laid out and solved as any other."""
    data = deepcopy(raw(slug))
    change(data)
    return going(slug, Movement.model_validate(data))


@cache
def solved(slug: str) -> Going:
    """The movement, running."""
    return with_changed(slug, lambda data: None)


@cache
def plates(slug: str) -> dict[str, Plate]:
    """The drawings that are asked about."""
    drawn = {"train-front": train_plan.front(solved(slug), wording()), "motion-work": motion_work.draw(solved(slug), wording())}
    return {name: plate for name, plate in drawn.items() if plate is not None}


@cache
def asked(slug: str) -> tuple[Question, ...]:
    """All its questions."""
    return questions(solved(slug), plates(slug), wording())


def one(slug: str, key: str) -> Question:
    """The question of that key."""
    return next(question for question in asked(slug) if question.key == key)
