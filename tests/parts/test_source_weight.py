"""Weights: turns, fall and torque, against printed examples and virtual work."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.ground.constants import GRAVITY_STANDARD_M_S2
from tests.parts.source_cases import AUTHORITY, FOOT_MM, INCH_MM, LB_KG, UNHURRIED, sized, source

CUNYNGHAME = AUTHORITY["cunynghame_barrel"]


def cunynghame_weight(**keys):
    """His month's barrel: nine feet of cord a twelfth of an inch thick, the diameter taken to the cord's middle."""
    diameter = CUNYNGHAME["cord_ft"] * FOOT_MM / CUNYNGHAME["barrel_turns"] / np.pi
    cord = CUNYNGHAME["cord_thickness_in"] * INCH_MM
    return source("weight", drum_diameter_mm=float(diameter - cord), cord_mm=cord, **keys)


def test_cunynghame_barrel():
    """Nine feet of cord in 24 turns need a barrel 'rather less than one and a half inches' thick and two inches long."""
    asked = CUNYNGHAME
    thick = asked["drum_diameter_in"] * INCH_MM
    turns = source("weight", drum_diameter_mm=thick, fall_mm=asked["cord_ft"] * FOOT_MM).usable_turns
    assert turns == pytest.approx(asked["barrel_turns"], rel=asked["drum_diameter_within_in"] / asked["drum_diameter_in"])
    assert cunynghame_weight().fall_per_turn_mm == pytest.approx(asked["cord_per_turn_in"] * INCH_MM, rel=1e-9)
    double = cunynghame_weight(turns=asked["barrel_turns"], lines=2)
    assert double.falls_mm == pytest.approx(asked["fall_double_line_ft"] * FOOT_MM, rel=1e-9)
    for length_in, says in ((0.98 * asked["drum_length_in"], True), (1.02 * asked["drum_length_in"], False)):
        made = cunynghame_weight(turns=asked["barrel_turns"], drum_length_mm=length_in * INCH_MM)
        assert any(f.key == ("drum_length_mm",) for f in made.findings()) is says


def test_cunynghame_fall_per_beat():
    """Eight days of seconds beats let the weight sink an inch in 12 800 beats."""
    asked = AUTHORITY["cunynghame_fall_per_beat"]
    weight = cunynghame_weight(turns=CUNYNGHAME["barrel_turns"], lines=2)
    beats = asked["going_days"] * asked["beats_per_day"]
    assert beats * INCH_MM / weight.falls_mm == pytest.approx(asked["beats_for_an_inch"], rel=1e-9)


def test_eight_day_barrels():
    """Sixteen turns of a great wheel of twelve hours last eight days (Beckett; Derham)."""
    beckett, derham = AUTHORITY["beckett_eight_day_barrel"], AUTHORITY["derham_eight_day_barrel"]
    weight = source("weight", turns=float(beckett["barrel_turns"]))
    assert weight.usable_turns * beckett["great_wheel_hours"] == beckett["going_days"] * 24 == derham["going_hours"]


def test_pulley_doubles_the_weight_and_halves_the_fall():
    """Twice the weight on a pulley pulls as the single line does and sinks half as far (Beckett)."""
    asked = AUTHORITY["beckett_pulley"]
    single = source("weight", mass_kg=4.0, drum_diameter_mm=40.0, cord_mm=1.5, fall_mm=asked["single_fall_ft"] * FOOT_MM)
    mass = 4.0 * asked["weight_multiplier"]
    fall = asked["double_fall_ft"] * FOOT_MM
    double = source("weight", mass_kg=mass, drum_diameter_mm=40.0, cord_mm=1.5, lines=2, fall_mm=fall)
    assert double.usable_turns == pytest.approx(single.usable_turns, rel=1e-12)
    assert float(double.drive.torque_nmm(1.0)) == pytest.approx(float(single.drive.torque_nmm(1.0)), rel=1e-12)
    assert double.stored.energy_j == pytest.approx(single.stored.energy_j, rel=1e-12)


def test_longcase_power():
    """Twelve pounds sinking five feet in eight days give 118 µW: fifteen hundred such clocks for one small motor."""
    asked = AUTHORITY["longcase"]
    fall = asked["fall_ft"] * FOOT_MM
    weight = source("weight", mass_kg=asked["weight_lb"] * LB_KG, drum_diameter_mm=50.0, cord_mm=1.6, fall_mm=fall)
    power = weight.drive.mean_power_uw(asked["days"] * 24 / weight.usable_turns)
    assert power == pytest.approx(asked["power_w"] * 1e6, rel=asked["within"])
    assert asked["motor_w"] * 1e6 / power == pytest.approx(asked["clocks_for_a_motor"], rel=asked["clocks_within"])


def test_regulator_energy():
    """Fifteen pounds through four feet hold sixty pound-feet (Beckett's regulator)."""
    asked = AUTHORITY["beckett_regulator"]
    fall = asked["fall_ft"] * FOOT_MM
    weight = source("weight", mass_kg=asked["clock_weight_lb"] * LB_KG, drum_diameter_mm=45.0, fall_mm=fall)
    pound_foot_j = LB_KG * GRAVITY_STANDARD_M_S2 * FOOT_MM / 1000
    assert weight.stored.energy_j / pound_foot_j == pytest.approx(asked["energy_lb_ft"], rel=1e-12)
    assert weight.drive.energy_j() == pytest.approx(weight.stored.energy_j, rel=1e-12)


@UNHURRIED
@given(
    st.floats(0.1, 100), st.floats(5, 400), st.floats(0, 8), st.sampled_from([1, 2]), st.floats(0.5, 1), st.floats(0.5, 100),
    st.tuples(st.floats(0, 1), st.floats(0, 1)),
)  # fmt: skip
def test_virtual_work(mass, drum, cord, lines, efficiency, turns, between):
    """Work at the drum is weight times sinking, less the pulley's stated loss (conservation of energy)."""
    share = efficiency if lines == 2 else 1.0
    keys = {"mass_kg": mass, "drum_diameter_mm": drum, "cord_mm": cord, "lines": lines, "pulley_efficiency": share}
    weight = source("weight", turns=turns, **keys)
    upper, lower = max(between) * turns, min(between) * turns
    sinks_mm = weight.sunk_mm(lower) - weight.sunk_mm(upper)
    expected = share * mass * GRAVITY_STANDARD_M_S2 * sinks_mm / 1000
    assert weight.drive.energy_j(upper, lower) == pytest.approx(expected, rel=1e-9, abs=1e-9)


def test_the_floor_is_in_the_way():
    """More turns than the fall allows is refused, with the fall that they need; the turns allowed then pass."""
    keys = {"mass_kg": 5.0, "drum_diameter_mm": 50.0, "fall_mm": 1500.0}
    (complaint,) = source("weight", turns=16.0, **keys).complaints()
    assert complaint.key == ("turns",)
    assert "2510" in complaint.advice and "lines = 2" in complaint.advice
    allowed = 1500.0 / (np.pi * 50.0)
    assert f"{allowed:.2f}" in complaint.allowed
    assert source("weight", turns=allowed, **keys).complaints() == []
    assert source("weight", turns=16.0, lines=2, **keys).complaints() == []


def test_no_pulley_no_loss():
    """A pulley's efficiency on a single line is a contradiction; a loss left out on two lines is said."""
    assert [c.key for c in source("weight", turns=5.0, pulley_efficiency=0.9).complaints()] == [("pulley_efficiency",)]
    assert [f.key for f in sized("weight", pulley_efficiency=None).findings()] == [("pulley_efficiency",)]
    assert sized("weight").findings() == []


def test_mass_without_a_drum_says_what_is_missing():
    """A weight on the scales and no drum measured: no torque, and the page can say why."""
    made = source("weight", mass_kg=5.0, turns=12.0)
    assert made.drive is None
    assert [f.key for f in made.findings()] == [("drum_diameter_mm",)]
