"""Torque curves and the energy under them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.interpolate import PchipInterpolator

from builder.parts.source.drive import Curve, Drive, Straight
from tests.parts.source_cases import UNHURRIED

READING = st.tuples(st.floats(0.05, 5.0), st.floats(0.1, 50.0))


def curve_of(steps: list[tuple[float, float]], fading: bool = True) -> Curve:
    """A curve through the running sums of the steps (torques themselves where it need not fade)."""
    turns, torques = np.array(steps).T
    return Curve(tuple(np.cumsum(turns)), tuple(np.cumsum(torques) if fading else torques))


@UNHURRIED
@given(st.lists(READING, min_size=2, max_size=12), st.booleans())
def test_curve_is_the_shape_preserving_cubic(steps, fading):
    """Same curve and same area as scipy's monotone cubic interpolator (Fritsch and Butland)."""
    curve = curve_of(steps, fading)
    theirs = PchipInterpolator(curve.turns, curve.torques_nmm)
    inside = np.linspace(curve.turns[0], curve.turns[-1], 57)
    np.testing.assert_allclose(curve.torque_nmm(inside), theirs(inside), rtol=1e-9, atol=1e-9)
    low, high = curve.turns[0], curve.turns[-1]
    area = float(theirs.integrate(low, high))
    ours = float(curve.work_j(np.array(high)) - curve.work_j(np.array(low))) * 1000 / (2 * np.pi)
    assert ours == pytest.approx(area, rel=1e-9)


@UNHURRIED
@given(st.lists(READING, min_size=2, max_size=12))
def test_a_fading_spring_stays_fading_between_its_readings(steps):
    """Torque never rises as the spring runs down, and every energy is positive."""
    curve = curve_of(steps)
    drive = Drive(curve.turns[-1], curve, "measured")
    torque = drive.torque_nmm(np.linspace(0, drive.turns, 301))
    assert np.all(np.diff(torque) >= -1e-9 * torque.max())
    assert torque.min() >= curve.torques_nmm[0] * (1 - 1e-12)
    energies = [drive.energy_j(to_turns=part * drive.turns) for part in np.linspace(0, 1, 20)]
    assert np.all(np.diff(energies) <= 1e-12)
    assert drive.energy_j() > 0


def test_work_beyond_the_readings_is_that_of_the_held_torque():
    """Below the first and above the last reading the torque is held: its area is a rectangle (scipy's quadrature)."""
    drive = Drive(10.0, Curve((2.0, 5.0, 8.0), (30.0, 50.0, 55.0)), "measured")
    area, _ = quad(lambda t: float(drive.torque_nmm(t)), 0.0, 10.0, points=[2.0, 5.0, 8.0])
    assert drive.energy_j() == pytest.approx(2 * np.pi * area / 1000, rel=1e-10)
    assert drive.energy_j(2.0, 0.0) == pytest.approx(2 * np.pi * 30.0 * 2.0 / 1000, rel=1e-12)


def test_curve_is_not_a_polyline():
    """Negative control: joined by straight lines the same readings give another area."""
    turns, torques = (0.0, 1.0, 4.0), (10.0, 40.0, 50.0)
    curve = Curve(turns, torques)
    straight = 2 * np.pi / 1000 * np.trapezoid(torques, turns)
    assert abs(float(curve.work_j(np.array(4.0))) / straight - 1) > 0.01


@UNHURRIED
@given(st.floats(0.0, 1e3), st.floats(0.0, 1e2), st.floats(0.1, 100.0))
def test_straight_line_energy_is_the_trapezium(base, slope, turns):
    """Area under a straight line: mean of its ends times its length (elementary)."""
    drive = Drive(turns, Straight(base, slope), "computed")
    mean = (base + base + slope * turns) / 2
    assert drive.energy_j() == pytest.approx(2 * np.pi * mean * turns / 1000, rel=1e-12, abs=1e-15)
