"""Name the numbered parts: the train from the front, its balloons numbered anew in each variant."""

from __future__ import annotations

from collections.abc import Iterator

from builder.drawing.handout import named, renumbered, retold
from builder.lessons.question import FRONT
from builder.lessons.task import Names, Picture, Setter, Task


def tasks(setter: Setter) -> Iterator[Task | None]:
    """One; its answer is the drawing with the names."""
    plate = setter.subject.plates[FRONT]
    rows = setter.mixed(plate.rows, "label", lambda row: row.part)
    numbers = {row.part: n for n, row in enumerate(rows, start=1)}
    name = setter.subject.going.name
    drawn = retold(plate.sheet, "to-name", setter.say("label.title", name=name), setter.say("label.desc", parts=len(rows)))
    given = renumbered(drawn, numbers)
    picture = Picture(given, named(given, {row.part: row.name for row in rows}))
    names = Names(tuple((n, row.name) for n, row in enumerate(rows, start=1)))
    yield Task("label", setter.say("label.text"), (picture, names), len(rows), ())
