"""Name the marked part: of every numbered part of a drawing."""

from __future__ import annotations

from collections.abc import Iterator

from builder.lessons.parts import alike, described
from builder.lessons.question import FRONT, WORK, Answer, Question, Subject, choice


def ask(subject: Subject) -> Iterator[Question | None]:
    """Wrong answers are parts of its own sort with the next numbers, and what it meets."""
    for drawing in (FRONT, WORK):
        rows = subject.rows(drawing)
        for row in rows:
            right = Answer(row.name, described(subject, row.part), row.part)
            wrong = [
                Answer(
                    other.name,
                    subject.say("name.why", number=other.number, text=described(subject, other.part), own=row.number),
                    other.part,
                )
                for other in alike(subject, row, rows)
            ]
            text = subject.say("name.text", number=row.number)
            yield choice(f"name.{row.part}", text, right, wrong, drawing=drawing, marks=(row.part,), shows=(row.part,))
