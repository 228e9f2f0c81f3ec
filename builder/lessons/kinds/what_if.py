"""What follows if force, setting or warmth are others, or a count: answered by the changed movement itself."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from typing import Literal

from builder.going.beat import Winding
from builder.going.steady import Running, Stopped
from builder.ground import words
from builder.ground.constants import GRAVITY_STANDARD_M_S2, SECONDS_PER_DAY
from builder.ground.faults import Refused
from builder.lessons import changed
from builder.lessons.kinds import recount
from builder.lessons.kinds.beat import rate
from builder.lessons.question import Answer, Question, Subject, choice, worked
from builder.parts.oscillator.balance import Balance
from builder.parts.oscillator.pendulum import Pendulum
from builder.parts.oscillator.terms import Terms

FORCES: dict[str, float] = {"half": 0.5, "quarter_more": 1.25}

PART = 1.01
"""So much more inertia or length of spring."""

WARMER_C = 10.0

PLAIN = 0.04
"""An amplitude nearer than this part to the right one is not offered as wrong."""

Sort = Literal["balance", "pendulum"]


def ask(subject: Subject) -> Iterator[Question | None]:
    """Counts first, then what the beat's solver says."""
    yield from recount.ask(subject)
    going = subject.going
    winding, oscillator = changed.rated(going), going.movement.oscillator
    if winding is None:
        return
    yield from (_force(subject, name) for name in FORCES)
    yield _down(subject)
    yield _crooked(subject, winding)
    if isinstance(oscillator, Pendulum):
        yield _nut(subject, winding, oscillator)
    elif isinstance(oscillator, Balance):
        facts = {"part": words.figure(100 * (PART - 1), 1), "whole": words.figure(SECONDS_PER_DAY * (PART - 1), 3)}
        yield _rate(subject, "inertia", winding, changed.heavier(winding, PART), facts, ("balance",))
        yield _rate(subject, "spring", winding, changed.lengthened(winding, PART), facts, ("balance",))
    if isinstance(oscillator, Pendulum | Balance):
        yield _warmth(subject, winding, oscillator)


# Force and amplitude.


def _swings(subject: Subject, amplitude_deg: float) -> str:
    return subject.say("amplitude.swings", degrees=words.figure(amplitude_deg))


def _outcome(subject: Subject, beat: Running | Stopped) -> str:
    if isinstance(beat, Stopped):
        return subject.say("amplitude.stops")
    return subject.say("amplitude.rebanks") if beat.rebanks else _swings(subject, beat.amplitude_deg)


def _force(subject: Subject, name: str) -> Question | None:
    """The amplitude with another force, in the fullest state in which it goes."""
    part = FORCES[name]
    winding = next(each for each in subject.going.windings if isinstance(each.beat, Running))
    assert isinstance(winding.beat, Running)
    now, solved = winding.beat.amplitude_deg, changed.with_force(subject.going, winding, part)
    facts = {
        "now": words.figure(now), "least": words.figure(math.degrees(winding.beat.least_rad)),
        "root": words.figure(now * math.sqrt(part)), "proportion": words.figure(now * part),
        "reason": solved.text if isinstance(solved, Stopped) else "",
        "solved": "" if isinstance(solved, Stopped) else words.figure(solved.amplitude_deg),
    }  # fmt: skip
    source = "weight" if subject.going.movement.source.kind == "weight" else "spring"
    base = f"what_if.force.{name}"
    key = "stops" if isinstance(solved, Stopped) else "rebanks" if solved.rebanks else "swings"
    right = Answer(_outcome(subject, solved), subject.say(f"{base}.{key}", **facts))
    right_deg = math.inf if isinstance(solved, Stopped) else solved.amplitude_deg
    slips = {"proportion": now * part, "same": now, "root": now * math.sqrt(part)}
    wrong = [
        Answer(_swings(subject, value), subject.say(f"{base}.{slip}", **facts))
        for slip, value in slips.items()
        if abs(value / right_deg - 1) > PLAIN
    ]
    if key != "stops":
        wrong.insert(2, Answer(subject.say("amplitude.stops"), subject.say(f"{base}.not_stopped", **facts)))
    if key == "swings" and subject.going.movement.escapement.kind in ("club_lever", "pin_lever"):
        wrong.append(Answer(subject.say("amplitude.rebanks"), subject.say(f"{base}.not_rebanking", **facts)))
    text = subject.say(f"{base}.text_{source}", **facts)
    return choice(f"what_if.force.{name}", text, right, wrong, shows=("pallets", "escape-wheel", "balance"))


def _down(subject: Subject) -> Question | None:
    """The amplitude towards the end of a winding."""
    first, last = subject.going.windings[0], subject.going.windings[-1]
    if not isinstance(first.beat, Running):
        return None
    before, part = first.beat.amplitude_deg, last.power.source_torque_nmm / first.power.source_torque_nmm
    left = last.turns_left / first.turns_left
    even = abs(part - 1) < 1e-6
    key = "stops" if isinstance(last.beat, Stopped) else "even" if even else "swings"
    facts = {
        "now": words.figure(before), "percent": words.figure(100 * part, 2), "left": words.figure(100 * left, 2),
        "proportion": words.figure(before * part), "reason": last.beat.text if isinstance(last.beat, Stopped) else "",
        "solved": "" if isinstance(last.beat, Stopped) else words.figure(last.beat.amplitude_deg),
        "state": subject.wording.say(f"site.player.state_names.{last.name}").lower(),
    }  # fmt: skip
    right_deg = math.inf if isinstance(last.beat, Stopped) else last.beat.amplitude_deg
    slips = {"proportion": before * part, "same": before, "turns": before * left, "root_turns": before * math.sqrt(left)}
    wrong = [
        Answer(_swings(subject, value), subject.say(f"what_if.down.{slip}", wrong=words.figure(value), **facts))
        for slip, value in slips.items()
        if abs(value / right_deg - 1) > PLAIN
    ]
    if key != "stops":
        wrong.append(Answer(subject.say("amplitude.stops"), subject.say("what_if.down.not_stopped", **facts)))
    right = Answer(_outcome(subject, last.beat), subject.say(f"what_if.down.{key}", **facts))
    text = subject.say("what_if.down.text", **facts)
    return choice("what_if.down", text, right, wrong, shows=subject.parts_of(subject.going.train.path[0]))


def _crooked(subject: Subject, winding: Winding) -> Question | None:
    """What the ear hears of a movement that stands out of beat."""
    found = changed.plainly_out(winding)
    if found is None:
        return None
    angle_rad, beat = found
    one, other = (1e3 * each for each in beat.beats_s)
    nominal = 1e3 * float(subject.going.train.beat_s)
    facts = {
        **dict(zip(("one", "other", "even", "sum"), _side_by_side(one, other, nominal, one + other), strict=True)),
        "state": subject.wording.say(f"site.player.state_names.{winding.name}").lower(),
        "angle": words.figure(abs(math.degrees(angle_rad)), 2),
        "error": words.figure(beat.beat_error_ms),
    }
    slips = {"unchanged": (nominal, nominal), "slower": (max(one, other),) * 2, "double": (2 * nominal, 2 * nominal)}
    base = f"what_if.crooked_{subject.going.movement.oscillator.kind}"
    wrong = [
        Answer(_beats(subject, *pair), subject.say(f"what_if.crooked.{slip}", **facts)) for slip, pair in slips.items()
    ]  # fmt: skip
    wrong.append(Answer(subject.say("amplitude.stops"), subject.say("what_if.crooked.not_stopped", **facts)))
    right = Answer(_beats(subject, one, other), subject.say("what_if.crooked.why", **facts))
    return choice("what_if.crooked", subject.say(f"{base}.text", **facts), right, wrong, shows=("pallets", "balance"))


def _beats(subject: Subject, one_ms: float, other_ms: float) -> str:
    """Beats by turns, as the ear hears them."""
    one, other = _side_by_side(one_ms, other_ms)
    return subject.say("what_if.crooked.even" if one == other else "what_if.crooked.uneven", one=one, other=other)


def _side_by_side(*ms: float) -> list[str]:
    return words.levelled([words.figure(each, 4) for each in ms])


# Setting and warmth.


def _nut(subject: Subject, winding: Winding, pendulum: Pendulum) -> Question | None:
    """The bob let down by one turn of its nut."""
    nut = pendulum.rating_nut
    if nut is None:
        return None
    try:
        terms = changed.let_down(subject.going, pendulum, nut.pitch_mm)
    except Refused:
        return None
    length_mm = 1e3 * _length_m(terms)
    whole = SECONDS_PER_DAY * nut.pitch_mm / length_mm
    facts = {
        "pitch": words.figure(nut.pitch_mm, 2), "length": words.figure(length_mm), "whole": words.figure(whole),
        "half": words.figure(whole / 2),
    }  # fmt: skip
    return _rate(subject, "nut", winding, changed.with_terms(winding, terms), facts, ("pallets",))


def _length_m(terms: Terms) -> float:
    """Length of the simple pendulum that swings alike, by the standard gravity."""
    return GRAVITY_STANDARD_M_S2 * (terms.small_period_s / (2 * math.pi)) ** 2


def _warmth(subject: Subject, winding: Winding, oscillator: Pendulum | Balance) -> Question | None:
    try:
        terms = changed.warmed(subject.going, oscillator, WARMER_C)
    except Refused:
        return None
    facts = {"warmer": words.figure(WARMER_C, 2)}
    kind = oscillator.kind if oscillator.compensation is None else "compensated"
    return _rate(subject, f"warmth_{kind}", winding, changed.with_terms(winding, terms), facts, ("balance", "pallets"))


def _rate(
    subject: Subject, what: str, winding: Winding, beat: Running | Stopped, facts: Mapping[str, object], shows: tuple[str, ...]
) -> Question | None:  # fmt: skip
    """The rate that the changed oscillator has more than before."""
    assert isinstance(winding.beat, Running)
    if isinstance(beat, Stopped):
        return None
    right = beat.rate_s_per_day - winding.beat.rate_s_per_day
    slips = {"sign": -right, "twice": 2 * right, "none": 0.0, "half": right / 2}
    shown: Callable[[float], str] = rate(subject)
    key = what.partition("_")[0]
    return worked(subject, f"what_if.{key}", f"what_if.{what}", right, slips, shown, facts, shows=shows)
