"""Weights: turns, fall and torque, against a printed example and virtual work (more: tests/authorities/)."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.ground.constants import GRAVITY_STANDARD_M_S2
from tests.authority import KNOWN
from tests.parts.source_cases import INCH_MM, UNHURRIED, sized, source


def test_length_of_cunynghames_drum():
    """A drum of two inches has room for 24 turns of a cord a twelfth of an inch thick (Cunynghame, ch. IV); a little less has
    not, and that is said."""
    asked = KNOWN["cunynghame-barrel"].given
    cord, long_mm = asked["cord_thickness_in"] * INCH_MM, 2.0 * INCH_MM
    keys = {"drum_diameter_mm": asked["drum_diameter_in"] * INCH_MM, "cord_mm": cord, "turns": asked["barrel_turns"]}
    for length_mm, says in ((0.98 * long_mm, True), (1.02 * long_mm, False)):
        made = source("weight", drum_length_mm=length_mm, **keys)
        assert any(f.key == ("drum_length_mm",) for f in made.findings()) is says


def test_pulley_holds_the_same_energy():
    """Twice the weight on a pulley turns the drum as often and holds the same energy as the single line (Beckett)."""
    asked, keys = KNOWN["beckett-pulley"].given, {"drum_diameter_mm": 40.0, "cord_mm": 1.5}
    fall_mm = 12 * INCH_MM * asked["single_fall_ft"]
    single = source("weight", mass_kg=4.0, fall_mm=fall_mm, **keys)
    double = source("weight", mass_kg=4.0 * asked["weight_multiplier"], lines=2, fall_mm=fall_mm / 2, **keys)
    assert double.usable_turns == pytest.approx(single.usable_turns, rel=1e-12)
    assert double.stored.energy_j == pytest.approx(single.stored.energy_j, rel=1e-12)
    assert single.drive.energy_j() == pytest.approx(single.stored.energy_j, rel=1e-12)


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
    sinks_mm = (upper - lower) * np.pi * (drum + cord) / lines
    assert weight.falls_mm == pytest.approx(turns * np.pi * (drum + cord) / lines, rel=1e-12)
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
