"""What is felt of an uneven torque, against scipy's integration of the lag that it stands for."""

from fractions import Fraction
from math import exp, pi, sqrt

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from builder.going.felt import felt, lag_s, passings, slips
from builder.going.steady import Running
from tests.going.faulty import found, works
from tests.solved import demo


def test_energy_lags_by_q_over_omega():
    """A balance left alone loses its energy to 1/e in Q/ω: by the equation of motion itself, integrated."""
    terms = demo("shelf_timepiece").beat.terms
    w = 2 * pi / terms.small_period_s

    def motion(_, state):
        return [state[1], -(terms.stiffness_nm * state[0] + terms.loss_nms * state[1]) / terms.inertia_kg_m2]

    whole = lag_s(terms)
    swung = solve_ivp(motion, (0, whole), [1.0, 0.0], rtol=1e-9, atol=1e-12).y[:, -1]
    energy = swung[0] ** 2 + (swung[1] / w) ** 2
    assert energy == pytest.approx(exp(-1), rel=0.01)


@pytest.mark.parametrize("part", [0.2, 1.0, 5.0])
def test_a_ripple_and_a_dip_are_felt_as_the_lag_says(part: float):
    """dE/dt = (P − E)/t under a sine, and under a dip of a length: scipy finds the same depth."""
    lag, period = 1.0, 2 * pi * part
    sine = solve_ivp(
        lambda t, e: [(1 + np.sin(2 * pi * t / period)) - e[0]],
        (0, 30 * lag + 10 * period),
        [1.0],
        rtol=1e-8,
        atol=1e-10,
        max_step=period / 50,
    )
    last = sine.y[0][sine.t > sine.t[-1] - period]
    assert (last.max() - last.min()) / 2 == pytest.approx(1 / sqrt(1 + (2 * pi * lag / period) ** 2), rel=5e-3)
    dip = solve_ivp(lambda t, e: [-e[0]], (0, part), [1.0], rtol=1e-10)
    assert 1 - dip.y[0][-1] == pytest.approx(1 - exp(-part), rel=1e-6)


def test_a_pendulum_carries_over_what_a_balance_feels():
    """The hall clock's pendulum stores a quarter of an hour's loss and hardly feels its meshes; the balance feels those whose
    teeth take minutes. Neither can feel more than the meshes' own worst places."""
    parts = {}
    for slug in ("hall_clock", "shelf_timepiece"):
        made = works(slug)
        flow = made.flow(made.drive.turns)
        parts[slug] = felt(made.train, made.plan, flow, made.terms, ())
        assert np.prod([mesh.least_part for mesh in flow.meshes]) < parts[slug] < 1
    assert parts["hall_clock"] > 0.99 > 0.95 > parts["shelf_timepiece"]


def test_a_hurt_tooth_is_felt_once_a_turn():
    """A bent tooth of the centre wheel comes by every hour and lasts a pitch, 3600/64 s; it deepens the worst place."""
    made = works("shelf_timepiece", found("hurt_tooth", arbor="centre", harm="bent", by_mm=0.05))
    (one,) = passings(made.movement, made.train, made.plan, made.condition)
    assert (one.every_hours, one.lasts_s) == (1.0, 3600 / 64) and one.carries_power
    flow = made.flow(made.drive.turns)
    assert felt(made.train, made.plan, flow, made.terms, (one,)) < felt(made.train, made.plan, flow, made.terms, ())
    assert isinstance(made.steady_at(flow.escape_torque_nmm), Running)


def test_teeth_that_go_by_hurry_the_hands():
    """A tooth missing from the centre wheel of 64, its mesh worn so far apart that a tooth slips by each turn: 63 pitches then
    pass for 64, so the centre turns 64/63 times an hour; a leaf missing from the pinion of 8 that it drives lets 9 go by for 8.
    Upstream of the hands it is the winding alone that runs down sooner. Depthed right, no tooth slips (control)."""
    deep = [found("worn_hole", arbor="third", plate=plate, worn_mm=0.9, direction_deg=60) for plate in ("back", "front")]
    above = [found("worn_hole", arbor="great", plate=plate, worn_mm=0.9, direction_deg=270) for plate in ("back", "front")]
    for holes, tooth, hands, source in (
        (deep, {"arbor": "centre"}, Fraction(64, 63), Fraction(64, 63)),
        (deep, {"arbor": "third", "part": "pinion"}, Fraction(9, 8), Fraction(9, 8)),
        (above, {"arbor": "great"}, Fraction(1), Fraction(96, 95)),
        ([], {"arbor": "centre"}, Fraction(1), Fraction(1)),
    ):
        made = works("hall_clock", *holes, found("hurt_tooth", harm="missing", **tooth))
        passing = passings(made.movement, made.train, made.plan, made.condition)
        slipped = slips(made.movement, made.train, passing)
        assert (slipped.hands, slipped.source) == (hands, source)
        assert slipped.hands_s_per_day == pytest.approx(86_400 * float(hands - 1))
