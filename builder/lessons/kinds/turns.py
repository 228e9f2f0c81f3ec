"""How many turns: an hour, for one turn of another arbor, over one winding; and in what time one turn is made."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from math import prod

from builder.going.train import Pair
from builder.ground import words
from builder.ground.words import whole_and_part as said
from builder.lessons.question import Question, Subject, worked
from builder.parts.motion_work import HOUR


def ask(subject: Subject) -> Iterator[Question | None]:
    """Mesh by mesh up the train, two meshes at once, the whole train, one winding, the motion work."""
    train = subject.going.train
    for pair in train.path_pairs:
        yield _hourly(subject, pair)
        yield _time(subject, pair)
    for first, second in zip(train.path_pairs, train.path_pairs[1:], strict=False):
        yield _across(subject, first, second)
    yield _whole(subject)
    yield _winding(subject)
    work = [pair for pair in train.pairs if pair.key[0] == "motion_work"]
    for pair in work:
        yield _time(subject, pair)
    if len(work) > 1:
        yield _reduction(subject, *work)


def _mesh(subject: Subject, pair: Pair) -> dict[str, object]:
    """What a text about a mesh may name."""
    return {
        "driver": subject.arbor(pair.driver),
        "driven": subject.arbor(pair.driven),
        "driver_count": pair.driver_count,
        "driven_count": pair.driven_count,
        "ratio": said(pair.ratio),
        "inverse": said(1 / pair.ratio),
    }


def _hourly(subject: Subject, pair: Pair) -> Question | None:
    """Driver's turns times teeth over leaves."""
    train = subject.going.train
    given, right = abs(train[pair.driver].turns_per_hour), abs(train[pair.driven].turns_per_hour)
    slips = {
        "divided": given / pair.ratio,
        "ratio_alone": pair.ratio,
        "added": given + pair.ratio,
        "teeth_alone": given * pair.driver_count,
        "same": given,
    }
    return worked(
        subject, f"turns.hour.{pair.driven}", "turns.hourly", right, slips, _turns(subject),
        {**_mesh(subject, pair), "given": said(given), "given_turns": _turns(subject)(given)},
        shows=subject.parts_of(pair.driver, pair.driven), bare=True,
    )  # fmt: skip


def _turns(subject: Subject) -> Callable[[Fraction], str]:
    return lambda value: subject.say("turns.unit" if value > 1 else "turns.one", turns=said(value, 999))


def _time(subject: Subject, pair: Pair) -> Question | None:
    """Driver's time of one turn, times leaves over teeth."""
    train = subject.going.train
    given, right = train[pair.driver].hours_per_turn, train[pair.driven].hours_per_turn
    slips = {
        "multiplied": given * pair.ratio,
        "same": given,
        "teeth_alone": given / pair.driver_count,
        "leaves_alone": given * pair.driven_count,
        "twice": 2 * right,
    }
    return worked(
        subject, f"turns.time.{pair.driven}", "turns.time", right, slips, words.period,
        {**_mesh(subject, pair), "given": words.period(given)},
        drawing=subject.drawing_of(pair.driven), shows=subject.parts_of(pair.driver, pair.driven),
    )  # fmt: skip


def _across(subject: Subject, first: Pair, second: Pair) -> Question | None:
    """Two meshes: their ratios are multiplied."""
    right = first.ratio * second.ratio
    slips = {
        "added": first.ratio + second.ratio,
        "second_divided": first.ratio / second.ratio,
        "first_alone": first.ratio,
        "outer": Fraction(first.driver_count, second.driven_count),
        "inverse": 1 / right,
        "second_alone": second.ratio,
    }
    facts = {
        "start": subject.arbor(first.driver), "middle": subject.arbor(first.driven), "end": subject.arbor(second.driven),
        "one": f"{first.driver_count}/{first.driven_count}", "two": f"{second.driver_count}/{second.driven_count}",
        "one_ratio": said(first.ratio), "two_ratio": said(second.ratio),
        "first_driver": first.driver_count, "first_driven": first.driven_count,
        "second_driver": second.driver_count, "second_driven": second.driven_count,
    }  # fmt: skip
    key, shows = f"turns.across.{first.driver}.{second.driven}", subject.parts_of(first.driver, first.driven, second.driven)
    return worked(subject, key, "turns.across", right, slips, _turns(subject), facts, shows=shows, bare=True)


def _whole(subject: Subject) -> Question | None:
    """The train from end to end."""
    train = subject.going.train
    pairs, right = train.path_pairs, train.whole_ratio
    if len(pairs) < 2:
        return None
    slips = {
        "last_left_out": right / pairs[-1].ratio,
        "first_left_out": right / pairs[0].ratio,
        "escape_counted": right * train.escape_teeth,
        "added": sum((pair.ratio for pair in pairs), Fraction(0)),
        "teeth_alone": Fraction(prod(pair.driver_count for pair in pairs)),
    }
    fractions = [f"{pair.driver_count}/{pair.driven_count}" for pair in pairs]
    facts = {
        "start": subject.arbor(train.path[0]), "end": subject.arbor(train.path[-1]), "teeth": train.escape_teeth,
        "product": " × ".join(fractions), "counts": subject.say("words.listed").join(fractions),
        "first": fractions[0], "last": fractions[-1],
    }  # fmt: skip
    return worked(
        subject, "turns.whole", "turns.whole", right, slips, _turns(subject), facts, shows=subject.parts_of(*train.path),
        bare=True,
    )  # fmt: skip


def _winding(subject: Subject) -> Question | None:
    """Turns of one winding times the time of each."""
    train = subject.going.train
    if train.source_turns is None or train.going_hours is None:
        return None
    turns, each, right = train.source_turns, train[train.path[0]].hours_per_turn, train.going_hours
    slips = {
        "divided": max(each / turns, turns / each),
        "half": right / 2,
        "twice": 2 * right,
        "hours": turns,
        "days": 24 * turns,
    }
    facts = {"turns": words.turns(turns), "arbor": subject.arbor(train.path[0]), "period": words.period(each)}
    return worked(
        subject, "turns.winding", "turns.winding", right, slips, words.duration, facts, shows=subject.parts_of(train.path[0])
    )


def _reduction(subject: Subject, first: Pair, second: Pair) -> Question | None:
    """Turns of the cannon pinion for one of the hour wheel."""
    one, two = 1 / first.ratio, 1 / second.ratio
    right = one * two
    slips = {
        "added": one + two,
        "second_alone": two,
        "first_alone": one,
        "outer": Fraction(second.driven_count, first.driver_count),
        "other_dial": Fraction(24) if right == 12 else right / 2,
    }
    facts = {
        "start": subject.arbor(first.driver), "middle": subject.arbor(first.driven), "end": subject.arbor(HOUR),
        "first_driver": first.driver_count, "first_driven": first.driven_count, "one": said(one),
        "second_driver": second.driver_count, "second_driven": second.driven_count, "two": said(two),
    }  # fmt: skip
    return worked(
        subject, "turns.reduction", "turns.reduction", right, slips, _turns(subject), facts,
        drawing=subject.drawing_of(HOUR), shows=subject.parts_of(first.driver, first.driven, second.driven), bare=True,
    )  # fmt: skip
