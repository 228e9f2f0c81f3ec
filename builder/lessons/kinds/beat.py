"""Count the beat: beats and teeth in a time, the time of a beat, and what a count at the bench says of the rate."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction

from builder.ground import words
from builder.ground.constants import SECONDS_PER_DAY
from builder.ground.words import whole_and_part as said
from builder.lessons.question import Question, Subject, worked

COUNTED_MINUTES = (1, 2, 5, 10, 20, 30, 60)
"""How long one counts beats at the bench; the first that brings enough of them, and a whole number, is taken."""

ENOUGH_BEATS = 600


def ask(subject: Subject) -> Iterator[Question | None]:
    """From the escape wheel to the ear, and back."""
    yield _an_hour(subject)
    yield _one(subject)
    yield _a_turn(subject)
    yield _teeth(subject)
    yield _hand(subject)
    yield from (_counted(subject, off) for off in (-1, 2))


def _facts(subject: Subject) -> dict[str, object]:
    train = subject.going.train
    return {
        "teeth": train.escape_teeth, "each": train.beats_per_tooth, "beats": said(train.beats_per_hour),
        "turns": said(abs(train[train.path[-1]].turns_per_hour)), "arbor": subject.arbor(train.path[-1]),
        "seconds": _seconds(train.beat_s),
        "per_tooth": subject.say("beat.each" if train.beats_per_tooth > 1 else "beat.one", each=train.beats_per_tooth),
        "per_minute": said(train.beats_per_hour / 60),
    }  # fmt: skip


ESCAPE = ("escape-wheel", "pallets")


def _an_hour(subject: Subject) -> Question | None:
    """Turns times teeth times beats a tooth. Where that is one, forgetting it is no mistake: what comes to the right answer is
    not offered as wrong."""
    train = subject.going.train
    right, turns = train.beats_per_hour, abs(train[train.path[-1]].turns_per_hour)
    leaves = train.path_pairs[-1].driven_count if train.path_pairs else train.escape_teeth
    slips = {
        "forgot": right / train.beats_per_tooth,
        "leaves": turns * leaves * train.beats_per_tooth,
        "twice": 2 * right,
        "minute": right / 60,
    }
    facts = {**_facts(subject), "leaves": leaves}
    return worked(subject, "beat.hour", "beat.hour", right, slips, _beats(subject), facts, shows=ESCAPE, bare=True)


def _beats(subject: Subject) -> Callable[[Fraction], str]:
    return lambda value: subject.say("beat.unit", beats=said(value))


def _one(subject: Subject) -> Question | None:
    """An hour over its beats."""
    right = subject.going.train.beat_s
    per_minute = subject.going.train.beats_per_hour / 60
    slips = {
        "period": 2 * right,
        "half": right / 2,
        "inverse": 1 / right,
        "minute": 1 / per_minute,
    }
    facts = {**_facts(subject), "seconds_per_hour": said(Fraction(3600))}
    return worked(subject, "beat.time", "beat.time", right, slips, _seconds, facts, shows=("pallets", "balance"))


def _seconds(value: Fraction) -> str:
    return f"{said(value, 999)}{words.THIN}s"


def _a_turn(subject: Subject) -> Question | None:
    """Beats while the escape wheel turns once."""
    train = subject.going.train
    teeth, each = train.escape_teeth, train.beats_per_tooth
    leaves = train.path_pairs[-1].driven_count if train.path_pairs else teeth
    slips = {
        "forgot": teeth,
        "leaves": leaves * each,
        "twice": 2 * teeth * each,
        "gaps": teeth * each - 1,
    }
    facts = {**_facts(subject), "leaves": leaves}
    return worked(
        subject, "beat.turn", "beat.turn", Fraction(teeth * each), {k: Fraction(v) for k, v in slips.items()}, _beats(subject),
        facts, shows=ESCAPE, bare=True,
    )  # fmt: skip


def _teeth(subject: Subject) -> Question | None:
    """Teeth of the escape wheel that go by in a minute."""
    train = subject.going.train
    right, beats = train.teeth_per_minute, train.beats_per_hour / 60
    slips = {
        "beats": beats,
        "half": right / 2,
        "wheel": Fraction(train.escape_teeth),
        "second": beats / 60,
        "double": 2 * beats,
    }
    facts = {**_facts(subject), "minutes_per_hour": 60}
    return worked(subject, "beat.teeth", "beat.teeth", right, slips, _teeth_said(subject), facts, shows=ESCAPE, bare=True)


def _teeth_said(subject: Subject) -> Callable[[Fraction], str]:
    return lambda value: subject.say("beat.teeth.one" if value == 1 else "beat.teeth.unit", teeth=said(value))


def _hand(subject: Subject) -> Question | None:
    """Beats while a seconds hand, or else the minute hand, goes once round."""
    train = subject.going.train
    carriers = dict(train.hands)
    shows = next((each for each in ("seconds", "minutes") if each in carriers), None)
    if shows is None:
        return None
    right = train.beats_per_hour / abs(train[carriers[shows]].turns_per_hour)
    slips = {
        "half": right / 2,
        "sixty": Fraction(60) if shows == "seconds" else right / 60,
        "twice": 2 * right,
        "teeth": Fraction(train.escape_teeth),
        "wheel": Fraction(train.escape_teeth * train.beats_per_tooth),
    }
    facts = {**_facts(subject), "period": words.period(1 / abs(train[carriers[shows]].turns_per_hour))}
    key = f"beat.{'second' if shows == 'seconds' else 'minute'}_hand"
    return worked(
        subject, "beat.hand", key, right, slips, _beats(subject), facts, shows=subject.parts_of(carriers[shows]), bare=True
    )


def _counted(subject: Subject, off: int) -> Question | None:
    """Some beats more or fewer than there should be in some minutes, as seconds a day."""
    per_minute = subject.going.train.beats_per_hour / 60
    whole = [n for n in COUNTED_MINUTES if (n * per_minute).denominator == 1]
    if not whole:
        return None
    minutes = next((n for n in whole if n * per_minute >= ENOUGH_BEATS), whole[-1])
    should, day = per_minute * minutes, Fraction(SECONDS_PER_DAY)
    right = day * off / should
    slips = {"sign": -right, "half": right / 2, "hour": right / 24, "beats": Fraction(off * 1440, minutes), "twice": 2 * right}
    facts = {
        **_facts(subject), "minutes": minutes, "counted": said(should + off), "should": said(should), "off": abs(off),
        "day": said(day),
    }  # fmt: skip
    way = "fewer" if off < 0 else "more"
    return worked(subject, f"beat.counted.{way}", f"beat.{way}", right, slips, rate(subject), facts, shows=("balance", "pallets"))


def rate(subject: Subject) -> Callable[[Fraction | float], str]:
    """Gains or loses, in seconds a day, or minutes from an hour on."""

    def shown(seconds: Fraction | float) -> str:
        size = abs(float(seconds))
        if float(f"{size:.3g}") == 0:
            return subject.say("rate.none")
        figure = f"{words.figure(size / 60)}{words.THIN}min" if size >= 3600 else f"{words.figure(size)}{words.THIN}s"
        return subject.say("rate.gains" if seconds > 0 else "rate.loses", figure=figure)

    return shown
