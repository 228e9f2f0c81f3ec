"""Mark the named part: any numbered part of the drawing can be marked, by its number or in the drawing itself."""

from __future__ import annotations

from collections.abc import Iterator

from builder.lessons.parts import described
from builder.lessons.question import FRONT, WORK, Answer, Question, Subject


def ask(subject: Subject) -> Iterator[Question | None]:
    """One for each part whose name is the only one of its kind in the drawing."""
    for drawing in (FRONT, WORK):
        rows = subject.rows(drawing)
        names = [row.name for row in rows]
        for row in rows:
            if names.count(row.name) > 1 or len(rows) < 3:
                continue
            right = Answer(str(row.number), described(subject, row.part), row.part)
            wrong = (
                Answer(
                    str(other.number),
                    subject.say("mark.why", number=other.number, name=other.name.lower(), text=described(subject, other.part)),
                    other.part,
                )
                for other in rows
                if other is not row
            )
            text = subject.say("mark.text", name=row.name.lower())
            yield Question(
                f"mark.{row.part}", "mark", text, (right, *wrong), "mark", drawing=drawing, shows=(row.part,)
            )  # fmt: skip
