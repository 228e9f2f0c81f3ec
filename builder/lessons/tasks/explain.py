"""Say what follows if something is changed, and why."""

from __future__ import annotations

from collections.abc import Iterator

from builder.lessons.task import Setter, Task, steps, to_write

POINTS = 2


def tasks(setter: Setter) -> Iterator[Task | None]:
    """One of the questions of what follows."""
    for question in setter.one("what_if"):
        text = f"{question.text} {setter.say('explain.how')}"
        room = to_write(question.right.text + question.right.why, least=3)
        yield Task("explain", text, (room,), POINTS, steps(question.right.why), question.right.text)
