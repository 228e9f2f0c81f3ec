"""Sums with room to work them: one about turns, one about the beat, and one more."""

from __future__ import annotations

from collections.abc import Iterator

from builder.lessons.question import Question
from builder.lessons.task import Setter, Squares, Task, steps

KINDS = ("turns", "beat", "missing")
FEWEST_ROWS, MOST_ROWS = 3, 6
POINTS = 2
"""One for the way, one for what it comes to."""


def chosen(setter: Setter) -> list[Question]:
    """What this variant asks."""
    found: list[Question] = []
    for kinds in (("turns",), ("beat",), KINDS):
        found += setter.one(*kinds, but=found)
    return found


def tasks(setter: Setter) -> Iterator[Task | None]:
    """One each."""
    for question in chosen(setter):
        working = steps(question.right.why)
        rows = min(MOST_ROWS, max(FEWEST_ROWS, 2 + sum(line.count("=") for line in working)))
        yield Task(question.kind, question.text, (Squares(rows),), POINTS, working, question.right.text)
