"""Work out the missing wheel: one count is lost, all others, the beat and the hands are there."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from builder.going.train import Pair
from builder.ground import words
from builder.ground.words import whole_and_part as said
from builder.lessons.hands import before_hand, beyond_hand, hand_arbor
from builder.lessons.kinds.recount import an_hour
from builder.lessons.question import Answer, Question, Subject, choice

FEWEST = {"teeth": 6, "leaves": 4}
"""Counts that a wheel and a pinion have at least."""


def ask(subject: Subject) -> Iterator[Question | None]:
    """Every wheel and pinion between minute hand and escape wheel, the great wheel, and the hour wheel."""
    for pair in beyond_hand(subject):
        yield _in_train(subject, pair, "wheel")
        yield _in_train(subject, pair, "pinion")
    yield _great(subject)
    yield _hour(subject)


def _counts(subject: Subject, pairs: tuple[Pair, ...], lost: tuple[Pair, str]) -> str:
    """All meshes as fractions, the lost count a question mark."""

    def one(pair: Pair) -> str:
        over = "?" if lost == (pair, "wheel") else str(pair.driver_count)
        under = "?" if lost == (pair, "pinion") else str(pair.driven_count)
        return f"{over}/{under}"

    return " × ".join(one(pair) for pair in pairs)


def _in_train(subject: Subject, pair: Pair, lost: str) -> Question | None:
    """The escape wheel's turns fix the whole ratio from the minute hand on, the other counts leave the lost one."""
    train, pairs = subject.going.train, beyond_hand(subject)
    start = hand_arbor(subject)
    assert start is not None
    escape = abs(train[train.path[-1]].turns_per_hour)
    others = Fraction(1)
    for other in pairs:
        others *= other.ratio if other is not pair else Fraction(1)
    right = pair.driver_count if lost == "wheel" else pair.driven_count
    wanted = escape / others
    facts: dict[str, object] = {
        "arbor": subject.arbor(pair.driver if lost == "wheel" else pair.driven), "start": subject.arbor(start),
        "counts": _counts(subject, pairs, (pair, lost)), "teeth": train.escape_teeth, "each": train.beats_per_tooth,
        "beats": said(train.beats_per_hour), "escape": said(escape), "others": said(others), "wanted": said(wanted),
        "mate": pair.driven_count if lost == "wheel" else pair.driver_count, "right": right,
    }  # fmt: skip
    noun = "teeth" if lost == "wheel" else "leaves"
    slips = _slips(subject, pair, lost, right)
    text = subject.say(f"missing.{lost}.text", **facts)
    answer = Answer(str(right), subject.say(f"missing.{lost}.why", **facts), figure=Fraction(right))
    wrong = [
        Answer(
            str(count),
            subject.say(f"missing.{lost}.{slip}", wrong=count, **facts, **_consequence(subject, right, count, lost)),
            figure=Fraction(count),
        )
        for slip, count in slips
        if count >= FEWEST[noun]
    ]
    part = subject.going.plan.of(*((pair.driver, pair.driver_part) if lost == "wheel" else (pair.driven, pair.driven_part)))
    key = f"missing.{lost}.{part.arbor}"
    return choice(key, text, answer, wrong, shows=(part.id,))


def _slips(subject: Subject, pair: Pair, lost: str, right: int) -> list[tuple[str, int]]:
    """Counts that usual mistakes lead to; whole ones only, since no wheel has part of a tooth."""
    train, pairs = subject.going.train, beyond_hand(subject)
    each = train.beats_per_tooth
    forgot = Fraction(right * each) if lost == "wheel" else Fraction(right, each)
    twice = Fraction(right, each) if lost == "wheel" else Fraction(right * each)
    neighbours = [p.driver_count if lost == "wheel" else p.driven_count for p in pairs if p is not pair]
    off = 1 if right % 2 else -1
    found = [("forgot", forgot)] if each > 1 else []
    found += [("neighbour", Fraction(count)) for count in neighbours[:1]]
    found += [("gap" if off > 0 else "fewer", Fraction(right + off))]
    found += [("neighbour", Fraction(count)) for count in neighbours[1:]]
    found += [("twice", twice)] if each > 1 else []
    found += [("gap" if off < 0 else "fewer", Fraction(right - off)), ("more", Fraction(right + 2 * off))]
    return [(slip, int(count)) for slip, count in found if count.denominator == 1 and count != right]


def _consequence(subject: Subject, right: int, count: int, lost: str) -> dict[str, str]:
    """How the minute hand would go with a wrong count: the oscillator keeps its beat."""
    speed = Fraction(right, count) if lost == "wheel" else Fraction(count, right)
    then = an_hour(subject)(60 * (speed - 1))
    return {"then": words.small(then)}


def _great(subject: Subject) -> Question | None:
    """The first wheel, from how long one winding is to last."""
    train, before = subject.going.train, before_hand(subject)
    if len(before) != 1 or train.source_turns is None or train.going_hours is None:
        return None
    pair = before[0]
    right, leaves = pair.driver_count, pair.driven_count
    facts = {
        "arbor": subject.arbor(pair.driver), "driven": subject.arbor(pair.driven), "leaves": leaves, "right": right,
        "turns": words.turns(train.source_turns), "hours": said(train.going_hours, 12),
        "each": said(train[pair.driver].hours_per_turn),
    }  # fmt: skip
    lasts = {"gap": right + 1, "leaves": right + leaves, "fewer": right - leaves, "half": right // 2, "double": 2 * right}
    wrong = [
        Answer(
            str(count),
            subject.say(
                f"missing.great.{slip}", wrong=count, then=f"{said(train.going_hours * count / right, 12)}{words.THIN}h", **facts
            ),
            figure=Fraction(count),
        )
        for slip, count in lasts.items()
        if count >= FEWEST["teeth"]
    ]
    answer = Answer(str(right), subject.say("missing.great.why", **facts), figure=Fraction(right))
    part = subject.going.plan.of(pair.driver, pair.driver_part)
    return choice("missing.great", subject.say("missing.great.text", **facts), answer, wrong, shows=(part.id,))


def _hour(subject: Subject) -> Question | None:
    """The hour wheel, from the dial's hours."""
    pairs = [pair for pair in subject.going.train.pairs if pair.key[0] == "motion_work"]
    work = subject.going.movement.motion_work
    if len(pairs) != 2 or work is None:
        return None
    first, second = pairs
    right = second.driven_count
    facts = {
        "cannon": first.driver_count, "minute": first.driven_count, "pinion": second.driver_count, "right": right,
        "hours": work.dial_hours, "first": said(1 / first.ratio), "second": said(1 / second.ratio),
    }  # fmt: skip
    slips = {
        "alone": Fraction(work.dial_hours * second.driver_count),
        "upside": work.dial_hours * second.driver_count * (1 / first.ratio),
        "other": Fraction(right * 36 - right * work.dial_hours, work.dial_hours) if work.dial_hours in (12, 24) else Fraction(0),
        "gap": Fraction(right + 1),
        "cannon_counted": Fraction(work.dial_hours * first.driver_count, 1),
        "fewer": Fraction(right - second.driver_count),
    }
    hours = {slip: count / second.driver_count / first.ratio for slip, count in slips.items()}
    wrong = [
        Answer(str(count), subject.say(f"missing.hour.{slip}", wrong=count, then=said(hours[slip]), **facts), figure=count)
        for slip, count in slips.items()
        if count.denominator == 1 and count >= FEWEST["teeth"]
    ]
    why = "missing.hour.in_step" if first.ratio == 1 else "missing.hour.why"
    answer = Answer(str(right), subject.say(why, **facts), figure=Fraction(right))
    drawing, shows = subject.drawing_of(second.driven), subject.parts_of(second.driven)
    return choice("missing.hour", subject.say("missing.hour.text", **facts), answer, wrong, drawing=drawing, shows=shows)
