"""What follows if a count is another: the train solved anew with one leaf or tooth more or fewer."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from itertools import product

from builder.ground import words
from builder.ground.words import whole_and_part as said
from builder.lessons import changed
from builder.lessons.hands import before_hand, beyond_hand
from builder.lessons.question import Answer, Question, Subject, choice, worked

MOST_PARTS = 12
"""A part of a minute with a greater denominator is said in seconds."""


def ask(subject: Subject) -> Iterator[Question | None]:
    """Beyond the minute hand a count changes the rate; before it, how long one winding lasts."""
    beyond = beyond_hand(subject)
    for pair in beyond:
        yield _hand(subject, "leaf", pair.driven, pair.driven_part, pair.driven_count, 1)
    for pair in beyond[:1]:
        yield _hand(subject, "tooth", pair.driver, pair.driver_part, pair.driver_count, 1)
    if beyond:
        train = subject.going.train
        yield _hand(subject, "escape", train.path[-1], "escape", train.escape_teeth, -1)
    yield _lasts(subject)


def _hand(subject: Subject, what: str, arbor: str, part: str, count: int, more: int) -> Question | None:
    """What the minute hand does while the oscillator keeps its beat."""
    train = changed.recounted(subject.going.movement, arbor, part, count + more)
    if train is None:
        return None
    speed = changed.hand_speed(subject.going, train)
    right = 60 * (speed - 1)
    slips = {"sign": -right, "base": 60 * (1 - 1 / speed), "none": Fraction(0), "twice": 2 * right}
    facts = {
        "arbor": subject.arbor(arbor), "count": count, "changed": count + more, "speed": said(speed, 999),
        "asked": said(train.beats_per_hour), "beats": said(subject.going.train.beats_per_hour),
    }  # fmt: skip
    shows = ("escape-wheel",) if part == "escape" else (subject.going.plan.of(arbor, part).id,)
    return worked(subject, f"what_if.{what}.{arbor}", f"what_if.{what}", right, slips, an_hour(subject), facts, shows=shows)


def an_hour(subject: Subject) -> Callable[[Fraction], str]:
    """What the minute hand gains or loses in an hour."""

    def shown(minutes: Fraction) -> str:
        if minutes == 0:
            return subject.say("rate.no_change")
        size = abs(minutes)
        plain = size.denominator <= MOST_PARTS and size >= 1
        figure = f"{said(size)}{words.THIN}min" if plain else f"{words.figure(float(60 * size), 4)}{words.THIN}s"
        return subject.say("rate.gains_an_hour" if minutes > 0 else "rate.loses_an_hour", figure=figure)

    return shown


def _lasts(subject: Subject) -> Question | None:
    """One leaf more on the first pinion: the rate stays, the winding lasts otherwise."""
    before = before_hand(subject)
    now = subject.going.train.going_hours
    if not before or now is None:
        return None
    pair = before[0]
    train = changed.recounted(subject.going.movement, pair.driven, pair.driven_part, pair.driven_count + 1)
    if train is None or train.going_hours is None:
        return None
    part = train.going_hours / now
    facts = {
        "arbor": subject.arbor(pair.driven), "count": pair.driven_count, "changed": pair.driven_count + 1,
        "now": words.duration(now),
        "then": words.duration(train.going_hours), "other": words.duration(now / part), "first": subject.arbor(pair.driver),
        "period": words.period(train[pair.driver].hours_per_turn), "minutes": said(60 * abs(1 / part - 1)),
    }  # fmt: skip
    answers = {
        (even, right): Answer(
            subject.say(
                "what_if.lasts.even" if even else "what_if.lasts.uneven", lasts=facts["then" if right else "other"], **facts
            ),
            subject.say(
                f"what_if.lasts.{'why' if even and right else 'rate' if right else 'inverse' if even else 'both'}", **facts
            ),
        )
        for even, right in product((True, False), (True, False))
    }
    answer = answers.pop((True, True))
    text, shows = subject.say("what_if.lasts.text", **facts), (subject.going.plan.of(pair.driven, pair.driven_part).id,)
    return choice("what_if.lasts", text, answer, answers.values(), shows=shows)
