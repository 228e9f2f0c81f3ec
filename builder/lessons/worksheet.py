"""A worksheet of one variant: tasks from this movement's own figures, and the answers to each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from builder.drawing.table import Plate
from builder.going.going import Going
from builder.ground.wording import Wording
from builder.lessons.question import Question, Subject
from builder.lessons.task import Setter, Task
from builder.lessons.tasks import TASKS

MOST_VARIANTS = 99
"""What numbers a variant can have: from one to this."""


@dataclass(frozen=True)
class Worksheet:
    """Same movement, same variant, same worksheet."""

    variant: int
    tasks: tuple[Task, ...]

    @property
    def points(self) -> int:
        """What all tasks are worth together."""
        return sum(task.points for task in self.tasks)


def worksheet(
    going: Going, plates: Mapping[str, Plate], wording: Wording, asked: tuple[Question, ...], variant: int
) -> Worksheet:
    """`asked` are the movement's questions (lessons.questions); tasks that the movement has nothing for are left out."""
    setter = Setter(Subject(going, plates, wording), asked, variant)
    return Worksheet(variant, tuple(task for tasks in TASKS.values() for task in tasks(setter) if task is not None))
