"""Fork, roller and safety action, against plane geometry by shapely and the angles that Playtner and the Keystone state."""

import math

import numpy as np
import pytest
import shapely
from shapely import affinity

from builder.ground.faults import Refused
from builder.ground.geometry import turned
from builder.parts.escapement.fork import LeverTable, fork_for
from tests.parts.escapement_models import MODELS, escapement, model

LEVERS = [name for name, table in MODELS.items() if table["kind"].endswith("_lever")]


@pytest.fixture(scope="module", params=LEVERS)
def lever(request):
    """A model with a lever, its draft and its fork."""
    m = model(request.param)
    return m, m.draft(), m.fork()


def body(draft, name):
    return next(shapely.Polygon(part.outline_mm) for part in (*draft.pallets, *draft.balance) if part.name == name)


def lever_at(draft, theta):
    """Lever and guard pin about the pallet arbor, turned to theta."""
    shapes = [body(draft, name) for name in ("lever", "guard pin")]
    return [affinity.rotate(shape, theta, origin=(0, 0), use_radians=True) for shape in shapes]


def balance_at(draft, q):
    """Safety roller and impulse pin about the pallet arbor; q > 0 turns them clockwise."""
    placed = []
    for name in ("safety roller", "impulse pin"):
        here = affinity.rotate(body(draft, name), -q, origin=(0, 0), use_radians=True)
        placed.append(affinity.translate(here, *draft.balance_mm))
    return placed


def test_lever_angle_is_that_of_the_line_to_the_pin(lever):
    """In the middle of its shake the lever points at the pin: the angle at the pallet arbor of a triangle with the pin circle's
    radius and the centre distance (tan theta = k sin q / (1 - k cos q)); at the ends of the lift it stands at its bankings."""
    _, _, fork = lever
    q = np.linspace(-fork.balance_half_rad, fork.balance_half_rad, 41)
    k = fork.pin_circle_mm / fork.centre_mm
    assert np.allclose(np.tan(fork.theta_rad(q)), k * np.sin(q) / (1 - k * np.cos(q)), atol=1e-14)
    assert fork.theta_rad(fork.balance_half_rad) == pytest.approx(fork.lever_half_rad, abs=1e-14)
    assert np.allclose(fork.balance_rad(fork.theta_rad(q)), q, atol=1e-12)


def test_slope_is_the_derivative(lever):
    """d theta / d q agrees with differences, and the torque of the lever on the balance goes as it does (virtual work)."""
    _, _, fork = lever
    q = np.linspace(-fork.balance_half_rad, fork.balance_half_rad, 21)
    h = 1e-5
    assert np.allclose(fork.slope(q), (fork.theta_rad(q + h) - fork.theta_rad(q - h)) / (2 * h), atol=1e-9)


@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_pin_on_a_wall_touches_it(lever, side):
    """Pressed to one side, the round pin stands off the lever's middle line by half its shake: its edge is on the wall."""
    _, _, fork = lever
    for q in np.linspace(-fork.balance_half_rad, fork.balance_half_rad, 9):
        pin = np.array([-fork.pin_circle_mm * math.sin(q), fork.centre_mm - fork.pin_circle_mm * math.cos(q)])
        seen = turned(pin, -float(fork.theta_rad(q, side)))
        assert -seen[0] == pytest.approx(side * fork.shake_mm / 2, abs=1e-12)
        assert fork.pin_mm + side * -seen[0] == pytest.approx(fork.slot_mm / 2, abs=1e-12)


def test_pin_and_dart_pass_freely(lever):
    """Through the lift the pin lies in the slot and the guard pin in the crescent, and outside the lift, lever banked, pin and
    horn, roller and guard pin clear each other all the way round; the control, a lever turned a further two shakes, does not."""
    _, draft, fork = lever
    for q in np.linspace(-fork.balance_half_rad, fork.balance_half_rad, 41):
        for side in (-0.98, 0.0, 0.98):
            body_now, guard = lever_at(draft, float(fork.theta_rad(q, side)))
            roller, pin = balance_at(draft, q)
            assert pin.intersection(body_now).area == 0 and roller.intersection(guard).area == 0
        if abs(q) < 0.5 * fork.balance_half_rad:  # deep in the slot, not at its mouth
            far = float(fork.theta_rad(q)) + 2 * fork.shake_mm / fork.guard_mm
            assert lever_at(draft, far)[0].intersection(balance_at(draft, q)[1]).area > 0
    for q in np.linspace(fork.balance_half_rad, math.tau - fork.balance_half_rad, 121):
        body_now, guard = lever_at(draft, fork.lever_half_rad if q < math.pi else -fork.lever_half_rad)
        roller, pin = balance_at(draft, q)
        assert pin.intersection(body_now).area == 0 and roller.intersection(guard).area == 0


def test_no_jolt_unlocks_the_lever(lever):
    """Wherever the balance stands outside the lift, a lever knocked off its banking is stopped, by horn on pin or by guard pin
    on safety roller, before lock and run are used up."""
    m, draft, fork = lever
    safe = math.radians(m.lock_deg + m.run_deg)
    for q in np.linspace(fork.balance_half_rad, math.tau - fork.balance_half_rad, 61):
        way = 1.0 if q < math.pi else -1.0
        body_now, guard = lever_at(draft, way * (fork.lever_half_rad - safe))
        roller, pin = balance_at(draft, q)
        assert pin.intersection(body_now).area + roller.intersection(guard).area > 0


def test_freedoms_are_those_stated(lever):
    """Knocked off its banking the lever meets the safety roller after the guard pin's freedom and the leaving pin after the
    horn's, neither sooner nor later."""
    _, draft, fork = lever
    beyond = math.radians(0.01)
    for freedom, q, mine, theirs in (
        (fork.guard_freedom_rad, math.pi, 1, 0),
        (fork.horn_freedom_rad, fork.balance_half_rad, 0, 1),
    ):
        for off, touches in ((freedom - beyond, False), (freedom + beyond, True)):
            one = lever_at(draft, fork.lever_half_rad - off)[mine]
            assert (one.intersection(balance_at(draft, q)[theirs]).area > 0) == touches


def test_bankings_stop_the_lever(lever):
    """At either end of its run the lever just touches a banking pin, and nowhere before."""
    _, draft, fork = lever
    for banking, theta in zip(draft.bankings, (fork.lever_half_rad, -fork.lever_half_rad), strict=True):
        at = shapely.Point(banking.at_mm)
        assert lever_at(draft, theta)[0].distance(at) == pytest.approx(banking.radius_mm, abs=1e-9)
        assert lever_at(draft, theta * 0.99)[0].distance(at) > banking.radius_mm
        assert lever_at(draft, theta * 1.01)[0].distance(at) < banking.radius_mm


def test_unsafe_freedoms_are_refused_together():
    """A guard pin and a horn that leave more freedom than lock and run are both named, with figures that would do."""
    table = LeverTable(guard_freedom_deg=2.0, horn_freedom_deg=1.9)
    with pytest.raises(Refused) as refused:
        fork_for(table, 4.0, math.radians(1.75), math.radians(5.25))
    assert {c.key for c in refused.value.complaints} == {("lever", "guard_freedom_deg"), ("lever", "horn_freedom_deg")}
    assert "1.750" in str(refused.value) and "1.25" in str(refused.value) and "1.50" in str(refused.value)


def test_a_wider_lift_needs_a_smaller_roller():
    """The balance's lift angle and the pin circle go against each other (Keystone, ch. I: angles inversely as radii)."""
    circles = [
        escapement({"kind": "club_lever", "radius_mm": 3.0, "lever": {"balance_lift_deg": lift}}).fork().pin_circle_mm
        for lift in (30.0, 40.0, 50.0)
    ]
    assert circles[0] > circles[1] > circles[2]
    assert circles[0] / circles[1] == pytest.approx(40 / 30, rel=0.06)
