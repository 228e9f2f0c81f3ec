"""Draw an arrow for the way that each arbor turns, in every second variant as seen from behind."""

from __future__ import annotations

from collections.abc import Iterator

from builder.drawing.circles import circles
from builder.going.train import HAND_NAMES
from builder.lessons.hands import hand_arbor, known
from builder.lessons.task import Picture, Setter, Task, capital


def tasks(setter: Setter) -> Iterator[Task | None]:
    """One; the arbor that is sure of its way has its arrow already."""
    subject, train = setter.subject, setter.subject.going.train
    if len(train.path) < 2:
        return
    back = setter.variant % 2 == 0
    start, shows = _start(setter)
    side = setter.say("arrows.back" if back else "arrows.front")
    title, desc = setter.say("arrows.title", name=subject.going.name, side=side), setter.say("arrows.desc", side=side)
    picture = Picture(circles(subject.going, title, desc, back, (start,)), circles(subject.going, title, desc, back, train.path))
    why = setter.say(
        f"arrows.hand_{'back' if back else 'front'}" if shows else "arrows.source",
        arbor=subject.arbor(start), hand=HAND_NAMES.get(shows, ""),
    )  # fmt: skip
    listed = [
        setter.say("arrows.turns", arbor=capital(subject.arbor(name)), way=_way(setter, train[name].clockwise != back))
        for name in train.path
    ]
    text = setter.say("arrows.text", side=side, arbor=subject.arbor(start))
    yield Task("arrows", text, (picture,), len(train.path) - 1, (why, setter.say("arrows.each"), *listed))


def _start(setter: Setter) -> tuple[str, str]:
    """An arbor of the path, and the hand that proves its way; '' where none does."""
    carrier, shows = known(setter.subject)
    path = setter.subject.going.train.path
    if carrier in path:
        return carrier, shows
    arbor = hand_arbor(setter.subject)
    return (arbor, shows) if arbor in path and arbor else (path[0], "")


def _way(setter: Setter, clockwise: bool) -> str:
    return setter.subject.wording.say("drawings.clockwise" if clockwise else "drawings.counter_clockwise")
