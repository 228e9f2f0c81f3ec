"""Figures for people and programs: every one exact where it is exact, with what it was computed from, under a lasting key."""

from __future__ import annotations

import json
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest

from builder.build import TEMPLATES
from builder.going.facts import Fact, facts
from builder.going.going import Going, going
from builder.ground.wording import Wording
from builder.movement.model import Movement
from tests.movement_texts import Data, eight_day


def solved(change: Callable[[Data], Any] = lambda data: None) -> Going:
    data = eight_day()
    change(data)
    return going("clock", Movement.model_validate(data))


def by_key(going: Going) -> dict[str, Fact]:
    return {fact.key: fact for fact in facts(going)}


HOUR_ONLY = {"kind": "hour_only", "on": "great", "pinion_leaves": 12, "hour_wheel_teeth": 12, "module_mm": 1.6}
SINGLE = lambda d: (d.update(motion_work=HOUR_ONLY), d["arbors"][3].pop("hand"))  # noqa: E731


@pytest.mark.parametrize(
    ("key", "value", "text"),
    [
        ("beat.beats_per_hour", Fraction(3600), "3600"),
        ("beat.beats_per_second", Fraction(1), "1"),
        ("beat.beat_s", Fraction(1), "1"),
        ("beat.teeth_per_minute", Fraction(30), "30"),
        ("train.great.turns_per_hour", Fraction(1, 12), "1/12"),
        ("train.great.period_s", Fraction(43200), "12\u202fh"),
        ("train.great.sense", "counter-clockwise", "counter-clockwise"),
        ("train.second.sense", "clockwise", "clockwise"),
        ("train.third.period_s", Fraction(450), "7 1/2\u202fmin"),
        ("train.escape.turns_per_hour", Fraction(60), "60"),
        ("train.cannon.turns_per_hour", Fraction(1), "1"),
        ("train.hour_wheel.period_s", Fraction(43200), "12\u202fh"),
        ("mesh.great.second.ratio", Fraction(12), "12"),
        ("mesh.third.escape.ratio", Fraction(15, 2), "7 1/2"),
        ("train.ratio", Fraction(720), "720"),
        ("winding.turns", Fraction(16), "16"),
        ("winding.going_hours", Fraction(192), "8\u202fdays"),
        ("motion_work.reduction", Fraction(12), "12 : 1"),
        ("mesh.great.second.distance_mm", 52.0, "52.00"),
        ("mesh.great.second.module_mm", 1.0, "1.00"),
    ],
)
def test_the_house_clock_in_figures(key: str, value: Any, text: str) -> None:
    """The usual house clock (Beckett 1903, p. 133) in figures and words."""
    fact = by_key(solved())[key]
    assert (fact.value, fact.text) == (value, text)


def test_turns_say_what_they_were_computed_from() -> None:
    """The inputs of a figure, put into its formula, give the figure."""
    found = by_key(solved())
    inputs = dict(found["train.third.turns_per_hour"].inputs)
    assert Fraction(inputs["driver_turns"]) * Fraction(inputs["driver_count"]) / Fraction(inputs["driven_count"]) == 8
    assert dict(found["train.ratio"].inputs)["product"] == "96/8 × 64/8 × 60/8"
    assert dict(found["motion_work.reduction"].inputs) == {"driven_product": "36 × 72", "driver_product": "36 × 6"}


@pytest.mark.parametrize("change", [lambda d: None, SINGLE], ids=["two hands", "one hand"])
def test_every_figure_can_be_labelled_and_traced(change: Callable[[Data], Any]) -> None:
    """Each kind has a label and a formula in the wording, each group and input a name; no key stands for two figures."""
    wording = Wording.load(TEMPLATES / "wording" / "en")
    found = facts(solved(change))
    assert len({fact.key for fact in found}) == len(found)
    for fact in found:
        assert wording[f"facts.{fact.kind}.label"]
        assert wording[f"facts.{fact.kind}.formula"]
        assert wording[f"facts.groups.{fact.group}"]
        assert all(wording[f"facts.inputs.{name}"] for name, _ in fact.inputs)
        assert fact.text


def test_what_is_not_known_is_left_out() -> None:
    """Without counted turns nothing is said of the winding; without motion work nothing of it."""
    found = by_key(solved(lambda d: (d["source"].pop("turns"), d.pop("motion_work"), d["arbors"][1].update(hand="minutes"))))
    assert not [key for key in found if key.startswith(("winding.", "motion_work.", "train.cannon"))]
    assert found["train.second.turns_per_hour"].value == 1


def test_numbers_for_other_programs_are_exact() -> None:
    """A rational is given as exact text beside the nearest number, whole ones as whole numbers; all of it is JSON."""
    found = by_key(solved())
    entry = json.loads(json.dumps(found["train.great.turns_per_hour"].as_json()))
    assert Fraction(entry["exact"]) == Fraction(1, 12)
    assert entry["value"] == pytest.approx(1 / 12)
    assert found["beat.beats_per_hour"].as_json()["value"] == 3600
    assert set(entry) == {"kind", "subject", "unit", "text", "exact", "value", "inputs"}
    assert "exact" not in found["mesh.great.second.module_mm"].as_json()
    json.dumps({key: fact.as_json() for key, fact in found.items()}, allow_nan=False)


@pytest.mark.parametrize(
    ("text", "unit", "said"),
    [("9.91\u202fg·cm²", "kg·m²", "9.91\u202fg·cm²"), ("2.5", "mm", "2.5\u202fmm"), ("4.00", "°", "4.00°"), ("yes", "", "yes")],
)
def test_a_figure_is_said_with_one_unit(text: str, unit: str, said: str) -> None:
    """A text that brings a unit of its own, one with a raised figure too, gets no second one."""
    assert Fact("escapement.wheel_inertia_kg_m2", "escapement", "wheel_inertia", "", 1.0, unit, text).said == said
