"""From the hands to the counts: which arbor is sure of its rate and sense, and which meshes lie on the way from it."""

from __future__ import annotations

from itertools import pairwise

from builder.going.train import Pair
from builder.lessons.question import Subject
from builder.parts.motion_work import CANNON


def known(subject: Subject) -> tuple[str, str]:
    """An arbor that turns clockwise, and the hand that proves it; '' where no hand does and the source is taken to."""
    hands = subject.going.train.hands
    for wanted in ("minutes", "seconds", "hours"):
        for shows, carrier in hands:
            if shows == wanted:
                return carrier, shows
    return subject.going.train.path[0], ""


def hand_arbor(subject: Subject) -> str | None:
    """The arbor of the train that turns with the minute hand; None where there is none."""
    carrier, shows = known(subject)
    work = subject.going.movement.motion_work
    if shows != "minutes":
        return None
    return work.on if carrier == CANNON and work else carrier


def beyond_hand(subject: Subject) -> tuple[Pair, ...]:
    """The meshes between the minute hand's arbor and the escape wheel: their counts decide the rate."""
    train, carrier = subject.going.train, hand_arbor(subject)
    return train.path_pairs[train.path.index(carrier) :] if carrier in train.path else ()


def before_hand(subject: Subject) -> tuple[Pair, ...]:
    """The meshes between the source and the minute hand's arbor: their counts decide how long one winding lasts."""
    train, carrier = subject.going.train, hand_arbor(subject)
    return train.path_pairs[: train.path.index(carrier)] if carrier in train.path else ()


def between(subject: Subject, start: str, end: str) -> list[tuple[str, str]]:
    """The meshes on the way from one arbor to another; the cannon pinion rides on its arbor and meshes with nothing there."""
    here, there = _down(subject, start), _down(subject, end)
    while len(here) > 1 and len(there) > 1 and here[-2] == there[-2]:
        here.pop()
        there.pop()
    way = here + there[-2::-1]
    work = subject.going.movement.motion_work
    rides = {CANNON, work.on} if work else set()
    return [(a, b) for a, b in pairwise(way) if {a, b} != rides]


def _down(subject: Subject, name: str) -> list[str]:
    """From an arbor down to the source's."""
    found = [name]
    while (driver := _driver(subject, found[-1])) is not None:
        found.append(driver)
    return found


def _driver(subject: Subject, name: str) -> str | None:
    work = subject.going.movement.motion_work
    if name == CANNON and work:
        return work.on
    return next((pair.driver for pair in subject.going.train.pairs if pair.driven == name), None)
