"""Figures of force, power and beat: in every state, traceable to their inputs, and the same as the solution's."""

from __future__ import annotations

import json
import math
import re
from fractions import Fraction
from itertools import pairwise

import pytest

from builder.going.budget import budget
from builder.going.facts import Fact, facts
from builder.going.facts.power import state_key
from builder.going.going import Going
from builder.going.steady import Running
from tests.solved import DEMOS, changed, demo, light, stops_when_nearly_down, wording

THIN = "\u202f"


def by_key(going: Going) -> dict[str, Fact]:
    return {fact.key: fact for fact in facts(going)}


def number(text: str) -> float:
    """The figure that a text begins with."""
    found = re.match(r"[+±−-]?[\d\u202f]+(?:\.\d+)?", text)
    assert found, text
    return float(found[0].replace(THIN, "").replace("−", "-").lstrip("±+"))


@pytest.mark.parametrize("name", [*DEMOS, "light", "stops"])
def test_every_figure_can_be_labelled_and_traced(name: str) -> None:
    """Label, formula and names of inputs stand in the wording; no key twice; text and JSON hold only finite numbers."""
    going = {"light": light, "stops": stops_when_nearly_down}[name]() if name in ("light", "stops") else demo(name)
    found = facts(going)
    assert len({fact.key for fact in found}) == len(found)
    for fact in found:
        assert wording()[f"facts.{fact.kind}.label"]
        assert wording()[f"facts.{fact.kind}.formula"]
        assert wording()[f"facts.groups.{fact.group}"]
        assert all(wording()[f"facts.inputs.{key}"] and text for key, text in fact.inputs)
        assert fact.text
        assert "nan" not in fact.said
        assert fact.state in (None, "wound", "half wound", "nearly down")
        assert re.fullmatch(r"[a-z0-9_.\-]+", fact.key)
    text = json.dumps({fact.key: fact.as_json() for fact in found}, allow_nan=False)
    assert json.loads(text)["beat.beats_per_hour"]["inputs"]["teeth"]


@pytest.mark.parametrize("slug", DEMOS)
def test_every_state_has_the_same_figures(slug: str) -> None:
    """A key of one state exists for the other two, where all three go and pass through the same phases."""
    keys: dict[str, set[str]] = {}
    for fact in facts(demo(slug)):
        if fact.state and fact.group != "phases":
            keys.setdefault(fact.state, set()).add(fact.key.replace(state_key(fact.state), "*", 1))
    assert len(keys) == 3
    assert keys["wound"] == keys["half wound"] == keys["nearly down"]


@pytest.mark.parametrize("slug", DEMOS)
def test_power_from_torque_and_turns(slug: str) -> None:
    """2π × torque × turns ÷ 3600, with the texts of the inputs put in, gives the power to the digits shown."""
    for fact in facts(demo(slug)):
        if fact.kind != "arbor_power":
            continue
        inputs = dict(fact.inputs)
        turns = sum(Fraction(part) for part in inputs["turns_per_hour"].split(" "))
        expected = 2 * math.pi * number(inputs["torque"]) * float(turns) / 3600 * 1000
        assert float(fact.value) == pytest.approx(expected, rel=2e-3)
        assert number(fact.text) == pytest.approx(float(fact.value), rel=1e-3)


@pytest.mark.parametrize("slug", DEMOS)
def test_the_budget_in_figures(slug: str) -> None:
    """Terms in µW add up to the source's power with what is not accounted for; J a day are 0.0864 of them."""
    going, found = demo(slug), by_key(demo(slug))
    for winding in going.windings:
        start = f"budget.{state_key(winding.name)}."
        terms = {
            key: float(fact.value) for key, fact in found.items() if key.startswith(start) and fact.kind.startswith("spent_")
        }
        left = float(found[f"{start}unaccounted_uw"].value)
        source = float(found[f"power.{state_key(winding.name)}.{going.train.path[0]}.uw"].value)
        assert sum(terms.values()) + left == pytest.approx(source, rel=1e-12)
        assert abs(left) < 1e-6 * source
        assert len(terms) == len(budget(going.train, winding).terms)
        for key, uw in terms.items():
            assert float(found[key.replace("_uw", "_joules_a_day")].value) == pytest.approx(0.0864 * uw)


@pytest.mark.parametrize("slug", DEMOS)
def test_pivot_loss_from_its_inputs(slug: str) -> None:
    """Friction × load × radius × 2π × turns ÷ 3600 of the texts gives the loss to the digits shown."""
    for fact in facts(demo(slug)):
        if fact.kind != "spent_pivots":
            continue
        inputs = dict(fact.inputs)
        turns = float(sum(Fraction(part) for part in inputs["turns_per_hour"].split(" ")))
        torque = number(inputs["friction"]) * number(inputs["pivot_load"]) * number(inputs["pivot_radius"])
        assert float(fact.value) == pytest.approx(torque * turns * 2 * math.pi / 3.6, rel=0.02)


@pytest.mark.parametrize("slug", DEMOS)
def test_the_beat_in_figures(slug: str) -> None:
    """Amplitude, rate and energies are the solution's; parts of the rate add up; the reserve is above 1 while it goes."""
    going, found = demo(slug), by_key(demo(slug))
    least = float(found["beat.least_torque_nmm"].value)
    for winding in going.windings:
        assert isinstance(winding.beat, Running)
        start = f"beat.{state_key(winding.name)}."
        value = {key.removeprefix(start): fact.value for key, fact in found.items() if key.startswith(start)}
        assert value["amplitude_deg"] == winding.beat.amplitude_deg
        parts = value["setting_s_per_day"] + value["circular_s_per_day"] + value["escapement_s_per_day"]
        assert parts == pytest.approx(value["rate_s_per_day"], abs=1e-9)
        assert value["spare_deg"] == pytest.approx(math.degrees(winding.beat.spare_rad))
        assert value["given_a_beat_uj"] == pytest.approx(0.5e6 * winding.beat.given_j)
        assert value["reserve"] == pytest.approx(winding.power.escape_torque_nmm / least)
        assert float(value["reserve"]) > 1
        assert value["rebanks"] in ("yes", "no")


@pytest.mark.parametrize("slug", DEMOS)
def test_phases_fill_the_period(slug: str) -> None:
    """The phases' times, in ms, follow each other and add up to the solved period."""
    going, found = demo(slug), facts(demo(slug))
    for winding in going.windings:
        assert isinstance(winding.beat, Running)
        rows = [fact for fact in found if fact.group == "phases" and fact.state == winding.name]
        assert sum(float(fact.value) for fact in rows) == pytest.approx(1000 * winding.beat.period_s)
        for before, after in pairwise(rows):
            assert dict(before.inputs)["to_ms"] == dict(after.inputs)["from_ms"]


def test_a_pendulums_length() -> None:
    """A pendulum of two seconds at standard gravity is 993.6 mm long: g / π² (closed form)."""
    fact = by_key(demo("hall_clock"))["oscillator.equivalent_length_mm"]
    assert float(fact.value) == pytest.approx(1000 * 9.80665 / math.pi**2, rel=1e-3)


def test_a_stopped_clock_says_why() -> None:
    """In place of a beat: the reason, the least amplitude, and how much of its loss it is given at best."""
    found = by_key(light())
    assert found["beat.wound.stops"].value == "too little energy"
    assert "at most" in found["beat.wound.stops"].text
    assert 0 < float(found["beat.wound.covered"].value) < 1
    assert not [key for key in found if "amplitude" in key and "least" not in key]
    assert "budget.wound.drop_uw" not in found
    assert "budget.wound.great_pivots_uw" in found


def test_what_is_not_known_is_left_out() -> None:
    """Without force there is no power, no budget and no beat; turns and hours still stand."""
    found = by_key(changed("hall_clock", lambda data: data["source"].pop("mass_kg")))
    assert not [key for key in found if key.startswith(("power.", "budget.", "oscillator.", "winding.energy", "winding.stored"))]
    assert "winding.going_hours" in found
    assert "escapement.entry.lift_deg" in found, "the angles need no force"


def test_energy_of_a_weight() -> None:
    """Mass × g × fall; the same as the torque over all turns."""
    found = by_key(demo("shop_regulator"))
    inputs = dict(found["winding.stored_j"].inputs)
    joules = number(inputs["mass"]) * 9.80665 * number(inputs["fall"]) / 1000
    assert float(found["winding.stored_j"].value) == pytest.approx(joules, rel=1e-3)
    assert float(found["winding.energy_j"].value) == pytest.approx(joules, rel=1e-3)


def test_units_are_said_once() -> None:
    """A text that holds its unit is not given it again; a bare figure is, with a thin space, degrees without."""
    said = Fact("k", "g", "k", "", 1.0, "mm", "1.00").said, Fact("k", "g", "k", "", 1.0, "s", f"60{THIN}s").said
    assert said == (f"1.00{THIN}mm", f"60{THIN}s")
    assert Fact("k", "g", "k", "", 1.0, "°", "2.5").said == "2.5°"
    assert Fact("k", "g", "k", "", 1, "1/h", "60").said == "60"
    assert Fact("k", "g", "k", "", 4.2, "kg·m²", f"4.2{THIN}kg·m²").said == f"4.2{THIN}kg·m²"
