"""Taking down and putting together in order: only pieces of which each holds the next, so that no other order will do."""

from __future__ import annotations

from builder.going.taking_down import Step, taking_down
from builder.ground import words
from builder.lessons.question import Answer, Question, Subject

MOST, FEWEST = 6, 4


def chain(steps: tuple[Step, ...]) -> list[str]:
    """The longest row of steps each of which had to leave before the next one could; the first found among equals."""
    rows: dict[str, list[str]] = {}
    owner = {piece.id: step.id for step in steps for piece in step.pieces}
    for step in steps:
        if step.stage == "apart":
            continue
        before = [rows[owner[name]] for name in step.freed_by if owner.get(name) in rows]
        rows[step.id] = [*max(before, key=len, default=[]), step.id]
    return max(rows.values(), key=len, default=[])


def taken_down(subject: Subject) -> Question | None:
    """The first pieces of the row."""
    row = _named(subject)[:MOST]
    steps = [
        Answer(name, subject.say("order.down.why", before=row[n - 1]) if n else subject.say("order.down.first"))
        for n, name in enumerate(row)
    ]
    return _question(subject, "down", steps)


def put_together(subject: Subject) -> Question | None:
    """The last pieces of the row, the other way round."""
    row = _named(subject)[-MOST:][::-1]
    steps = [
        Answer(
            name, subject.say("order.together.why", after=row[n + 1]) if n + 1 < len(row) else subject.say("order.together.last")
        )
        for n, name in enumerate(row)
    ]
    return _question(subject, "together", steps)


def _question(subject: Subject, key: str, steps: list[Answer]) -> Question | None:
    if len(steps) < FEWEST or len({step.text for step in steps}) < len(steps):
        return None
    text = subject.say(f"order.{key}.text")
    if key == "down" and subject.going.movement.source.kind != "weight":
        text = f"{subject.say('order.down.let_down')} {text}"
    return Question(f"order.{key}", "order", text, tuple(steps), "order")


def _named(subject: Subject) -> list[str]:
    """The row by name; what has no name of its own is left out, and the order of the others stays as it must be."""
    found = taking_down(subject.going)
    names = [_name(subject, step) for step in chain(found.steps)] if found else []
    return [name for name in names if name is not None]


def _name(subject: Subject, step: str) -> str | None:
    for key in (f"side.names.{step}", f"parts.{step}"):
        if key in subject.wording:
            return subject.wording.say(key)
    for toothing in subject.going.plan.toothings:
        if toothing.id == step:
            return toothing.title
    if step in {arbor.id for arbor in subject.going.movement.arbors}:
        text = subject.arbor(step)
        return words.capital(text)
    return None
