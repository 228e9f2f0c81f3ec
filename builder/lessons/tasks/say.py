"""Say in words what a part does and how its wear shows."""

from __future__ import annotations

from collections.abc import Iterator

from builder.going.parts_tree import tree
from builder.ground import words
from builder.lessons.question import FRONT
from builder.lessons.task import Setter, Task, to_write

POINTS = 2


def tasks(setter: Setter) -> Iterator[Task | None]:
    """One part of the train or the escapement; parts of one kind, of which the same is to be said, count as one."""
    nodes, wording = tree(setter.subject.going).nodes, setter.subject.wording
    kinds: dict[str, str] = {}
    for row in setter.subject.rows(FRONT):
        key = f"parts_tree.kinds.{nodes[row.part].kind}" if row.part in nodes else ""
        if key and f"{key}.does" in wording and f"{key}.worn" in wording:
            kinds.setdefault(key, row.name)
    if not kinds:
        return
    key, name = setter.dealt(kinds.items(), "say", str)[0]
    does, worn = wording.say(f"{key}.does"), wording.say(f"{key}.worn")
    text = setter.say("say.text", part=words.small(name))
    yield Task(
        "say",
        text,
        (to_write(does + worn, least=3),),
        POINTS,
        (setter.say("say.does", text=does), setter.say("say.worn", text=worn)),
    )
