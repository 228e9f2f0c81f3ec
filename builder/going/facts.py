"""Every computed figure of a movement with what it was computed from: for the table of figures and for other programs.

A fact's `kind` names its label and formula in the wording; `key` is stable, for programs that read the JSON.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from builder.going.going import Going
from builder.ground import words
from builder.parts.motion_work import MinuteAndHour

Value = int | float | Fraction | str | None


@dataclass(frozen=True)
class Fact:
    """One figure. `inputs` are (name of the input in the wording, its text)."""

    key: str
    group: str
    kind: str
    subject: str
    value: Value
    unit: str
    text: str
    inputs: tuple[tuple[str, str], ...] = ()

    def as_json(self) -> dict[str, Any]:
        """Rationals as exact text beside the number nearest to them."""
        value: Any = self.value
        entry: dict[str, Any] = {"kind": self.kind, "subject": self.subject, "unit": self.unit, "text": self.text}
        if isinstance(value, Fraction):
            entry["exact"] = str(value)
            value = value.numerator if value.denominator == 1 else float(value)
        entry["value"] = value
        return entry


def facts(going: Going) -> tuple[Fact, ...]:
    """All figures, group by group, in the order of the power path."""
    return (*_beat(going), *_arbors(going), *_meshes(going), *_winding(going), *_motion_work(going), *_sizes(going))


def _beat(going: Going) -> list[Fact]:
    train = going.train
    escape = train[train.path[-1]]
    turns = words.whole_and_part(abs(escape.turns_per_hour))
    beats = train.beats_per_hour
    said = words.whole_and_part
    return [
        Fact(
            "beat.beats_per_hour", "beat", "beats_per_hour", escape.title, beats, "1/h", said(beats),
            (("turns_per_hour", turns), ("teeth", str(train.escape_teeth)), ("beats_per_tooth", str(train.beats_per_tooth))),
        ),
        Fact("beat.beats_per_second", "beat", "beats_per_second", escape.title, beats / 3600, "1/s", said(beats / 3600), (("beats_per_hour", said(beats)),)),
        Fact("beat.beat_s", "beat", "beat_s", escape.title, train.beat_s, "s", said(train.beat_s), (("beats_per_hour", said(beats)),)),
        Fact(
            "beat.teeth_per_minute", "beat", "teeth_per_minute", escape.title, train.teeth_per_minute, "1/min", said(train.teeth_per_minute),
            (("beats_per_hour", said(beats)), ("beats_per_tooth", str(train.beats_per_tooth))),
        ),
    ]  # fmt: skip


def _arbors(going: Going) -> list[Fact]:
    found = []
    for arbor in going.train.arbors:
        inputs: tuple[tuple[str, str], ...] = ()
        if arbor.driven_by is not None:
            pair = going.train.pairs[arbor.driven_by]
            driver = going.train[pair.driver]
            inputs = (
                ("driver_turns", words.whole_and_part(abs(driver.turns_per_hour))),
                ("driver_count", str(pair.driver_count)),
                ("driven_count", str(pair.driven_count)),
            )
        turns = abs(arbor.turns_per_hour)
        text = words.whole_and_part(turns)
        start = f"train.{arbor.id}"
        kind = "turns_per_hour" if arbor.driven_by is not None else "turns_per_hour_first"
        found += [
            Fact(f"{start}.turns_per_hour", "train", kind, arbor.title, turns, "1/h", text, inputs),
            Fact(
                f"{start}.period_s", "train", "period", arbor.title, arbor.hours_per_turn * 3600, "s",
                words.period(arbor.hours_per_turn), (("turns_per_hour", text),),
            ),
            Fact(
                f"{start}.sense", "train", "sense", arbor.title,
                "clockwise" if arbor.clockwise else "counter-clockwise", "", "clockwise" if arbor.clockwise else "counter-clockwise",
            ),
        ]  # fmt: skip
    return found


def _meshes(going: Going) -> list[Fact]:
    found = []
    for pair in going.train.pairs:
        subject = f"{going.train[pair.driver].title} – {going.train[pair.driven].title}"
        inputs = (("driver_count", str(pair.driver_count)), ("driven_count", str(pair.driven_count)))
        key = f"mesh.{pair.driver}.{pair.driven}.ratio"
        found.append(Fact(key, "train", "ratio", subject, pair.ratio, "", words.whole_and_part(pair.ratio), inputs))
    ratio = going.train.whole_ratio
    product = " × ".join(f"{pair.driver_count}/{pair.driven_count}" for pair in going.train.path_pairs) or "1"
    ends = f"{going.train[going.train.path[0]].title} – {going.train[going.train.path[-1]].title}"
    found.append(
        Fact("train.ratio", "train", "whole_ratio", ends, ratio, "", words.whole_and_part(ratio), (("product", product),))
    )
    return found


def _winding(going: Going) -> list[Fact]:
    train = going.train
    if train.source_turns is None or train.going_hours is None:
        return []
    first = train[train.path[0]]
    text = words.whole_and_part(train.source_turns)
    inputs = (("source_turns", text), ("hours_per_turn", words.period(first.hours_per_turn)))
    return [
        Fact("winding.turns", "winding", "source_turns", first.title, train.source_turns, "", text),
        Fact(
            "winding.going_hours", "winding", "going_hours", first.title, train.going_hours, "h",
            words.duration(train.going_hours), inputs,
        ),
    ]  # fmt: skip


def _motion_work(going: Going) -> list[Fact]:
    work = going.movement.motion_work
    if work is None:
        return []
    if isinstance(work, MinuteAndHour):
        inputs: tuple[tuple[str, str], ...] = (
            ("driven_product", f"{work.minute_wheel_teeth} × {work.hour_wheel_teeth}"),
            ("driver_product", f"{work.cannon_leaves} × {work.minute_pinion_leaves}"),
        )
    else:
        inputs = (("driven_product", str(work.hour_wheel_teeth)), ("driver_product", str(work.pinion_leaves)))
    text = f"{words.whole_and_part(work.reduction)} : 1"
    return [Fact("motion_work.reduction", "motion_work", "reduction", "", work.reduction, "", text, inputs)]


def _sizes(going: Going) -> list[Fact]:
    found = []
    for one in going.plan.sized:
        pair = one.pair
        subject = f"{going.train[pair.driver].title} – {going.train[pair.driven].title}"
        start = f"mesh.{pair.driver}.{pair.driven}"
        module = words.figure(one.module_mm, 3)
        counts = (("driver_count", str(pair.driver_count)), ("driven_count", str(pair.driven_count)))
        distance = words.figure(one.distance_mm, 4)
        found += [
            Fact(f"{start}.module_mm", "sizes", "module", subject, one.module_mm, "mm", module, (("measured", one.measured),)),
            Fact(
                f"{start}.distance_mm", "sizes", "distance", subject, one.distance_mm, "mm", distance,
                (("module", module), *counts),
            ),
        ]  # fmt: skip
    for toothing in going.plan.toothings:
        outside = 2 * toothing.gear.tip_mm
        inputs = (("module", words.figure(toothing.gear.module_mm, 3)), ("count", str(toothing.gear.teeth)))
        found.append(
            Fact(
                f"{toothing.id}.outside_diameter_mm", "sizes", "outside_diameter", toothing.title, outside, "mm",
                words.figure(outside, 4), inputs,
            )
        )  # fmt: skip
    return found
