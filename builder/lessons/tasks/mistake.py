"""Find the mistake: a sum of which the result is wrong in the likeliest way."""

from __future__ import annotations

from collections.abc import Iterator

from builder.lessons.task import Setter, Task, steps, to_write
from builder.lessons.tasks import worked

POINTS = 2


def tasks(setter: Setter) -> Iterator[Task | None]:
    """One, of a question that the sums of this variant do not ask."""
    for question in setter.one(*worked.KINDS, but=worked.chosen(setter)):
        wrong = question.answers[1]
        text = setter.say("mistake.text", question=question.text, answer=wrong.text)
        right = setter.say("mistake.right", answer=question.right.text)
        room = to_write(wrong.why + question.right.why, least=3)
        yield Task("mistake", text, (room,), POINTS, (*steps(wrong.why), right, *steps(question.right.why)))
