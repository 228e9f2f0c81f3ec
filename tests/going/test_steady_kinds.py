"""The steady beat of every solved escapement kind, against scipy's integration in time."""

import math

import numpy as np
import pytest

from builder.going.beat_path import path
from builder.going.course import course, crutch, fork
from builder.going.phase_plane import Works
from builder.going.steady import Running, Stopped, solve
from builder.going.swing import swing
from builder.parts.escapement import DetachedLever
from tests.going.closure import left_over
from tests.going.in_time import steady_in_time
from tests.going.test_steady import torque_nmm
from tests.parts.escapement_models import MODELS, model
from tests.parts.test_oscillator import long_pendulum
from tests.parts.test_oscillator_balance import balance


def beating(name):
    """(terms, action, coupling, torque N·mm, inertia at the escape wheel) of a class model that goes."""
    escapement = model(name)
    action = escapement.action()
    if isinstance(escapement, DetachedLever):
        law = escapement.fork()
        terms, coupling = balance().terms(), fork(law.theta_rad, law.slope, law.lever_half_rad)
        return terms, action, coupling, torque_nmm(terms, action, 260, 0.6), 8e-12
    terms = long_pendulum().terms()
    least_deg = math.degrees(max(drop.at_rad for drop in action.up.drops))
    return terms, action, crutch(), torque_nmm(terms, action, 1.15 * least_deg, 0.45), 3e-8


@pytest.fixture(scope="module", params=list(MODELS))
def case(request):
    """The same with its steady beat, wheel massless."""
    found = beating(request.param)
    terms, action, coupling, torque, _ = found
    running = solve(terms, course(action, coupling), torque)
    assert isinstance(running, Running), running
    return request.param, *found, running


def test_agrees_with_integration_in_time(case):
    """Amplitude to 1e-6 and period to 1e-8 (pin-pallet levers 1e-4 and 1e-6) of scipy's solution with events."""
    name, terms, action, coupling, torque, _, running = case
    amplitude, period, drops = steady_in_time(terms, action, coupling, 1e-3 * torque, running.low_rad)
    pins = MODELS[name]["kind"] == "pin_lever"
    assert running.low_rad == pytest.approx(amplitude, rel=1e-4 if pins else 1e-6)
    assert running.period_s == pytest.approx(period, rel=1e-6 if pins else 1e-8)
    locks = [t for t, what, _ in running.events if what == "locks"]
    assert locks == pytest.approx(drops, rel=1e-6 if pins else 1e-8)


def test_energy_closes_and_wheel_advances(case):
    """With the wheel's inertia: energy closes to 1e-6 (pins 1e-3), the path's wheel gains one pitch to 1e-9, the losses
    are losses, and a heavy wheel costs amplitude."""
    name, terms, action, coupling, torque, inertia, light = case
    running = solve(terms, course(action, coupling), torque, inertia)
    assert abs(left_over(running)) < (1e-3 if MODELS[name]["kind"] == "pin_lever" else 1e-6)
    found = path(running)
    assert found.wheel_rad[-1] - found.wheel_rad[0] == pytest.approx(action.pitch_rad, abs=1e-9)
    assert np.all(np.diff(found.times_s) > 0)
    work = running.work
    assert min(work.oscillator, work.sliding, work.drop, work.impulse) > 0
    assert running.amplitude_rad < light.amplitude_rad
    assert running.efficiency < light.efficiency


def test_less_than_the_least_torque_stops_it(case):
    """Below the least torque it stops, above it goes; what drives it now is more than that."""
    _, terms, action, coupling, torque, _, running = case
    road, least = course(action, coupling), running.critical_nmm
    assert least < torque
    assert isinstance(solve(terms, road, 0.98 * least), Stopped)
    assert isinstance(solve(terms, road, 1.02 * least), Running)


@pytest.mark.parametrize("name", [name for name, table in MODELS.items() if table["kind"] == "pin_lever"])
def test_every_swing_of_a_pin_lever_ends(name):
    """A heavy wheel, left behind where a pin rolls off a heel, neither hangs the solution nor loses energy on the way, from
    whatever amplitude the balance comes."""
    terms, action, coupling, torque, inertia = beating(name)
    works = Works(terms, course(action, coupling), 1e-3 * torque, inertia)
    for amplitude in np.linspace(0.7, 5.5, 25):
        up = swing(works, -amplitude, rising=True)
        assert up.drops == 1
        stored = terms.energy_j(amplitude) - terms.energy_j(up.x_to)
        assert up.work.impulse - up.work.unlocking - up.work.oscillator == pytest.approx(
            -stored, abs=1e-9 * terms.energy_j(amplitude)
        )
