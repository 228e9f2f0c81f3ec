"""What a period looks like at every moment, against the equation of motion, the path and the energies of the solution."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from scipy.integrate import trapezoid

from builder.going.beat_curves import Stretch, beat_curves
from builder.going.steady import Running
from tests.solved import DEMOS, demo

Period = tuple[Running, tuple[Stretch, ...]]


def period(slug: str) -> Period:
    running = demo(slug).windings[0].beat
    assert isinstance(running, Running)
    return running, beat_curves(running)


@pytest.mark.parametrize("slug", DEMOS)
def test_torque_obeys_the_equation_of_motion(slug: str) -> None:
    """I q'' + c q' + righting moment = torque, at every point of every leg, to 1e-7 of the greatest torque: the torque comes
    from the contact, the acceleration from the motion."""
    running, stretches = period(slug)
    terms = running.works.terms
    most = max(float(np.abs(stretch.torque_nm).max()) for stretch in stretches)
    for one in stretches:
        moved = terms.inertia_kg_m2 * one.acceleration_rad_s2 + terms.loss_nms * one.velocity_rad_s
        assert np.allclose(moved + terms.righting_nm(one.oscillator_rad), one.torque_nm, atol=1e-7 * most, rtol=0)


@pytest.mark.parametrize("slug", DEMOS)
def test_legs_follow_each_other(slug: str) -> None:
    """Time and angle are unbroken over the whole period; energy falls or jumps only at knocks, and comes back to its start."""
    running, stretches = period(slug)
    assert stretches[0].times_s[0] == 0
    assert stretches[-1].times_s[-1] == pytest.approx(running.period_s, rel=1e-12)
    for before, after in itertools.pairwise(stretches):
        assert after.times_s[0] == pytest.approx(before.times_s[-1], abs=1e-12)
        assert after.oscillator_rad[0] == pytest.approx(before.oscillator_rad[-1], abs=1e-9)
    assert stretches[-1].energy_j[-1] == pytest.approx(stretches[0].energy_j[0], rel=1e-9)
    assert stretches[-1].wheel_rad[-1] == pytest.approx(running.works.course.action.pitch_rad, abs=1e-9)


@pytest.mark.parametrize("slug", DEMOS)
def test_energy_changes_by_what_torque_and_loss_do(slug: str) -> None:
    """Along each leg the energy gained is the work of the torque less the loss, by the trapezium rule, to 2 % of the work."""
    running, stretches = period(slug)
    loss = running.works.terms.loss_nms
    scale = running.given_j
    for one in stretches:
        done = trapezoid(one.torque_nm, one.oscillator_rad) - trapezoid(loss * one.velocity_rad_s, one.oscillator_rad)
        assert one.energy_j[-1] - one.energy_j[0] == pytest.approx(done, abs=0.02 * scale)


@pytest.mark.parametrize("slug", DEMOS)
def test_angles_are_those_of_the_path(slug: str) -> None:
    """Drawings' path and these curves tell the same angles, within what the path's straight lines leave out."""
    winding = demo(slug).windings[0]
    _, stretches = period(slug)
    assert winding.path is not None
    for one in stretches:
        read = np.interp(one.times_s, winding.path.times_s, winding.path.oscillator_rad)
        assert np.abs(read - one.oscillator_rad).max() < 2e-3 * np.abs(winding.path.oscillator_rad).max()


@pytest.mark.parametrize("slug", ["pocket_watch", "shelf_timepiece"])
def test_a_free_balance_is_not_pushed(slug: str) -> None:
    """Outside the lift nothing touches a detached balance: on most of the period the torque is nought."""
    running, stretches = period(slug)
    free = sum(float(np.ptp(one.times_s)) for one in stretches if not np.any(one.torque_nm))
    assert free > 0.9 * running.period_s
