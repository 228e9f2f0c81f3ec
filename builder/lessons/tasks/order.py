"""Put in order by numbers."""

from __future__ import annotations

from collections.abc import Iterator

from builder.lessons.task import Ranks, Setter, Task


def tasks(setter: Setter) -> Iterator[Task | None]:
    """One of the questions of order."""
    pack = setter.dealt(setter.of("order"), "order", lambda question: question.key)
    if not pack:
        return
    question = pack[0]
    right = {answer.text: n for n, answer in enumerate(question.answers, start=1)}
    rows = setter.mixed(question.answers, question.key, lambda answer: answer.text)
    text = f"{question.text} {setter.say('order.how')}"
    listed = tuple(
        setter.say("order.line", n=n, what=answer.text, why=answer.why) for n, answer in enumerate(question.answers, 1)
    )
    yield Task("order", text, (Ranks(tuple((each.text, right[each.text]) for each in rows)),), len(rows), listed)
