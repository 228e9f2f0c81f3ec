"""The path of a steady beat in time: what drawings follow."""

import math

import numpy as np
import pytest

from builder.going.beat_path import AT_ONCE_S, path
from builder.going.course import course, crutch
from builder.going.steady import solve
from tests.going.in_time import run_in_time
from tests.going.made_up import fork_law
from tests.going.test_steady import CASES, DEG, balance, dead_beat, lever, lever_action, pendulum, torque_nmm

HEAVY = {"dead-beat": 3e-4, "lever": 1e-11}


def solved(name, wheel=0.0):
    terms, action, coupling, amplitude = CASES[name]
    torque = torque_nmm(terms, action, amplitude)
    return terms, action, coupling, 1e-3 * torque, solve(terms, course(action, coupling), torque, wheel)


@pytest.fixture(scope="module", params=[(n, 0.0) for n in CASES] + list(HEAVY.items()), ids=str)
def case(request):
    """(terms, action, coupling, torque N·m, running, path)."""
    found = solved(*request.param)
    return *found, path(found[-1])


def test_a_period_is_closed(case):
    """Times rise strictly from 0 to the period; the oscillator comes back, the wheel one pitch on to 1e-9."""
    _, action, _, _, running, found = case
    assert found.times_s[0] == 0.0
    assert found.times_s[-1] == pytest.approx(running.period_s, rel=1e-13)
    assert np.all(np.diff(found.times_s) > 0)
    assert found.oscillator_rad[-1] == pytest.approx(found.oscillator_rad[0], rel=1e-10)
    assert found.wheel_rad[-1] - found.wheel_rad[0] == pytest.approx(action.pitch_rad, abs=1e-9)
    assert -found.oscillator_rad.min() == pytest.approx(running.low_rad, rel=1e-12)
    assert found.oscillator_rad.max() == pytest.approx(running.high_rad, rel=1e-12)
    assert len(found.times_s) < 400


def test_events_are_instants_of_the_path(case):
    """Every named event is one of the path's own instants, to 1e-10 s."""
    *_, found = case
    assert len(found.events) >= 6
    for t, _, _ in found.events:
        assert np.abs(found.times_s - t).min() <= AT_ONCE_S


def test_straight_lines_stay_close(case):
    """Between its instants straight lines keep within 1e-3 of amplitude, pallet angle and pitch of a path a thousand times
    finer."""
    _, action, _, _, running, found = case
    fine = path(running, 1e-6)
    jumps = np.flatnonzero(np.diff(fine.times_s) < 3 * AT_ONCE_S)
    calm = np.ones(len(fine.times_s), dtype=bool)
    for j in jumps:
        calm[max(j - 1, 0) : j + 3] = False
    for coarse, dense, scale in (
        (found.oscillator_rad, fine.oscillator_rad, running.amplitude_rad),
        (found.pallet_rad, fine.pallet_rad, np.abs(fine.pallet_rad).max()),
        (found.wheel_rad, fine.wheel_rad, action.pitch_rad),
    ):
        off = np.abs(np.interp(fine.times_s, found.times_s, coarse) - dense)[calm]
        assert off.max() < 1.05e-3 * scale


@pytest.mark.parametrize("name", ["dead-beat out of beat", "lever"])
def test_path_agrees_with_integration_in_time(name):
    """The oscillator's path agrees with scipy's steps within the straight lines' own error; a finer path to 1e-6."""
    terms, action, coupling, torque_nm, running = solved(name)
    steps = []
    run_in_time(terms, action, coupling, torque_nm, running.low_rad, trace=steps)
    t, q = (np.concatenate(part) for part in zip(*steps, strict=True))
    for tolerance in (1e-3, 1e-6):
        found = path(running, tolerance)
        off = np.abs(np.interp(t, found.times_s, found.oscillator_rad) - q)
        assert off.max() < 1.05 * tolerance * running.amplitude_rad


def test_a_wheel_without_inertia_drops_at_once():
    """Within 1e-10 s of let-off the wheel stands where the tooth leaves, and then where the next is caught."""
    _, action, _, _, running = solved("dead-beat")
    found = path(running)
    for (t, _, _), drop in zip(
        [event for event in found.events if event[1] == "lets off"], (*action.up.drops, *action.down.drops), strict=True
    ):
        i = int(np.searchsorted(found.times_s, t - 0.5 * AT_ONCE_S))
        assert found.times_s[i - 1] == pytest.approx(t - AT_ONCE_S, abs=1e-12)
        assert found.wheel_rad[i] == pytest.approx(drop.from_rad, abs=1e-12)
        assert found.times_s[i + 1] == pytest.approx(t + AT_ONCE_S, abs=1e-12)
        assert found.wheel_rad[i + 1] == pytest.approx(drop.to_rad, abs=1e-12)


def test_a_heavy_wheel_falls_as_bodies_fall():
    """In the drop the wheel's angle is that of a body under constant torque, with the speed it had at let-off: the fall is
    shorter than from rest, sqrt(2 I drop / torque)."""
    _, action, _, torque_nm, running = solved("dead-beat", HEAVY["dead-beat"])
    found = path(running, 1e-6)
    times = {name: t for t, name, _ in running.up.events}
    start, end = times["lets off"], times["locks"]
    inside = (found.times_s >= start) & (found.times_s <= end)
    t, phi = found.times_s[inside] - start, found.wheel_rad[inside]
    pull = torque_nm / HEAVY["dead-beat"]
    speed = (phi[-1] - phi[0]) / t[-1] - 0.5 * pull * t[-1]
    assert phi - phi[0] == pytest.approx(speed * t + 0.5 * pull * t**2, abs=1e-9)
    assert speed > 0
    drop = action.up.drops[0]
    assert end - start < math.sqrt(2 * (drop.to_rad - drop.from_rad) / pull)


def test_pallets_follow_the_fork():
    """A lever's pallets stand at the fork's own angle inside the lift and on the banking outside it."""
    terms, action = balance(), lever_action()
    running = solve(terms, course(action, lever()), torque_nmm(terms, action, 260))
    found = path(running)
    theta, _ = fork_law(0.22)
    edge = lever().to_rad
    q = found.oscillator_rad
    assert found.pallet_rad == pytest.approx(np.where(np.abs(q) < edge, theta(q), np.sign(q) * 5.5 * DEG), abs=1e-9)


def test_pallets_on_a_crutch_lean_by_what_is_out_of_beat():
    """On a crutch the pallets' angle is the pendulum's and the lean."""
    terms, action = pendulum(out_of_beat_deg=0.25), dead_beat()
    found = path(solve(terms, course(action, crutch()), torque_nmm(terms, action, 2.2)))
    assert found.pallet_rad - found.oscillator_rad == pytest.approx(np.full(len(found.times_s), 0.25 * DEG), abs=1e-12)
