"""Published trains and motion works: through the model of movement files and the train that the site shows."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from math import prod
from typing import Any

from builder.authorities.counted import Data, movement_data
from builder.authorities.entry import Entry
from builder.going.plan import plan
from builder.going.train import Train, train
from builder.movement.model import Movement
from builder.parts.motion_work import CANNON, HOUR


def _hours(t: Train) -> list[Fraction]:
    return [t[name].hours_per_turn for name in t.path]


def _carrier(t: Train) -> str:
    """What drives the hands: the cannon pinion, or the arbor that carries the pinion of report."""
    return next((a.id for a in t.arbors if a.id == CANNON), None) or next(p.driver for p in t.pairs if p.driven == HOUR)


FIGURES: dict[str, Callable[[Train], Any]] = {
    "beats_per_hour": lambda t: t.beats_per_hour,
    "beats_per_second": lambda t: 1 / t.beat_s,
    "half_beats_per_hour": lambda t: t.beats_per_hour / 2,
    "whole_beats_per_minute": lambda t: t.beats_per_hour // 60,
    "beat_s": lambda t: t.beat_s,
    "whole_periods_per_second": lambda t: 1 / (2 * t.beat_s),
    "beats_per_great_turn": lambda t: t.beats_per_hour * _hours(t)[0],
    "half_beats_per_great_turn": lambda t: t.beats_per_hour * _hours(t)[0] / 2,
    "beats_per_hour_wheel_turn": lambda t: t.beats_per_hour * t[HOUR].hours_per_turn,
    "great_hours": lambda t: _hours(t)[0],
    "great_turns_in_12_hours": lambda t: 12 / _hours(t)[0],
    "third_minutes": lambda t: 60 * _hours(t)[2],
    "going_hours": lambda t: t.going_hours,
    "going_days": lambda t: t.going_hours and t.going_hours / 24,
    "escape_turns_per_hour": lambda t: 1 / _hours(t)[-1],
    "escape_step_deg": lambda t: 360 / _hours(t)[-1] / t.beats_per_hour,
    "escape_interval_deg": lambda t: Fraction(360, t.escape_teeth),
    "ratio": lambda t: t.whole_ratio,
    "quotients": lambda t: [pair.ratio for pair in t.path_pairs],
    "hours_per_turn": _hours,
    "minutes_per_turn": lambda t: [60 * each for each in _hours(t)],
    "seconds_per_turn": lambda t: [3600 * each for each in _hours(t)],
    "reduction": lambda t: t[HOUR].hours_per_turn / t[_carrier(t)].hours_per_turn,
    "first_wheels_product": lambda t: prod(pair.driver_count for pair in t.path_pairs[:3]),
}
"""What sources print of a train, as it says it. Of several arbors a source may name the first few."""

WORK_KEYS = ("cannon_leaves", "minute_wheel_teeth", "minute_pinion_leaves", "hour_wheel_teeth")


def counted(given: Mapping[str, Any]) -> Data:
    """The data of a movement file with the counts of an entry."""
    return movement_data(given["wheels"], given["pinions"], **{k: v for k, v in given.items() if k not in ("wheels", "pinions")})


def figures(found: Train, expect: Mapping[str, Any]) -> dict[str, Any]:
    """What is expected of a train, as it comes out."""
    values = {name: FIGURES[name](found) for name in expect}
    return {name: value[: len(expect[name])] if isinstance(value, list) else value for name, value in values.items()}


def train_check(entry: Entry) -> dict[str, Any]:
    """Counts as a movement file has them."""
    return figures(train(Movement.model_validate(counted(entry.given))), entry.expect)


def motion_work(entry: Entry) -> dict[str, Any]:
    """Two pairs of counts (cannon pinion and minute wheel, minute pinion and hour wheel) on the centre arbor of a clock; the
    modules as they are laid out on one pair of centres."""
    counts = dict(zip(WORK_KEYS, [count for pair in entry.given["pairs"] for count in pair], strict=True))
    work = {"kind": "minute_and_hour", "on": "second", "module_mm": 1.0, **counts}
    data = movement_data(
        [96, 64, 60], [8, 8, 8], 30, motion_work=work, modules_mm=[1.0, 0.9, 0.85], directions_deg=[90.0, 60.0, 124.0]
    )
    movement = Movement.model_validate(data)
    found = train(movement)
    values: dict[str, Any] = {"reduction": FIGURES["reduction"](found)}
    if "module_ratio" in entry.expect:
        first, second = (one for one in plan(movement, found).sized if one.pair.key == ("motion_work",))
        values["module_ratio"] = second.module_mm / first.module_mm
    return values
