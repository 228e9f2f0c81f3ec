"""Promises that every solved escapement keeps, against shapely and the laws of mechanics."""

import math
import time

import numpy as np
import pytest
import shapely

from builder.ground.geometry import cross, turned
from builder.parts.escapement import ESCAPEMENTS, Counted, DetachedLever, Working
from builder.parts.escapement.drafting import usual_span
from tests.parts.escapement_models import MODELS, ON_ARBOR, escapement, model
from tests.parts.escapement_overlap import instants, meets, polygons, thickness_mm, wheels

SOLVED = MODELS | ON_ARBOR


@pytest.fixture(scope="module", params=list(SOLVED))
def case(request):
    """Model, draft and action without and with friction."""
    m = model(request.param)
    return m, m.draft(), m.action(0.0), m.action()


def swings_of(action):
    return (action.up, action.down)


def integral(law, start, end):
    whole = law.integ()
    return float(whole(end) - whole(start))


def test_every_kind_is_tried():
    """No solved kind is listed in the family without a model here."""
    assert {table["kind"] for table in SOLVED.values()} | {"counted"} == set(ESCAPEMENTS)


def test_kinds_say_what_they_can():
    """Solved kinds are told from those only counted, levers from anchors, by what they offer; all count two beats a tooth."""
    counted = Counted(kind="counted", arbor="escape", name="duplex", teeth=15)
    assert not isinstance(counted, Working)
    for name in SOLVED:
        m = model(name)
        assert isinstance(m, Working) and m.beats_per_tooth == 2
        assert isinstance(m, DetachedLever) == ("lever" in type(m).model_fields)


def test_pieces_lie_end_to_end(case):
    """In both swings each piece begins where the one before ended; phi jumps only at drops, always forwards."""
    _, _, _, action = case
    for swing, far in zip(swings_of(action), (action.reach_rad, -action.reach_rad), strict=True):
        assert swing.pieces[0].start_rad == pytest.approx(-far, abs=1e-12)
        assert swing.pieces[-1].end_rad == pytest.approx(far, abs=1e-12)
        drops = {drop.at_rad: drop for drop in swing.drops}
        for one, after in zip(swing.pieces[:-1], swing.pieces[1:], strict=True):
            assert one.end_rad == pytest.approx(after.start_rad, abs=1e-12)
            jump = float(after.wheel_rad(after.start_rad) - one.wheel_rad(one.end_rad))
            if one.end_rad in drops:
                drop = drops[one.end_rad]
                assert drop.leaves == one.pallet and drop.lands_on == after.pallet
                assert jump == pytest.approx(drop.to_rad - drop.from_rad, abs=1e-12) and jump > 0
            else:
                assert jump == pytest.approx(0, abs=1e-11)
    turn = action.down.pieces[0]
    assert float(turn.wheel_rad(action.reach_rad)) == pytest.approx(
        float(action.up.pieces[-1].wheel_rad(action.reach_rad)), abs=1e-12
    )


def test_a_period_lets_one_tooth_pass(case):
    """The wheel gains one pitch in a period, 1/teeth of a turn, to a thousand-millionth of a degree."""
    m, _, _, action = case
    first, last = action.up.pieces[0], action.down.pieces[-1]
    gained = float(last.wheel_rad(last.end_rad) - first.wheel_rad(first.start_rad))
    assert math.degrees(gained) == pytest.approx(360 / m.teeth, abs=1e-9)


def test_slope_is_the_rate_of_the_wheel(case):
    """d phi / d theta from the direction of the contact's normal agrees with differences of phi (principle of virtual work)."""
    _, _, _, action = case
    for swing in swings_of(action):
        for piece in swing.pieces:
            low, high = sorted((piece.start_rad, piece.end_rad))
            h = 1e-4 * (high - low)
            theta = np.linspace(low + h, high - h, 9)
            rate = (piece.wheel_rad(theta + h) - piece.wheel_rad(theta - h)) / (2 * h)
            assert np.allclose(piece.slope(theta), rate, rtol=0, atol=2e-6 * max(1.0, float(np.max(np.abs(rate)))))


def test_energy_closes_without_friction(case):
    """Over a period the pallets get what the wheel gives, less what it loses in the drops: torque times pitch less drops."""
    _, _, free, _ = case
    given = sum(integral(p.gain, p.start_rad, p.end_rad) for s in swings_of(free) for p in s.pieces)
    lost = sum(drop.to_rad - drop.from_rad for s in swings_of(free) for drop in s.drops)
    assert given == pytest.approx(free.pitch_rad - lost, rel=1e-6)


def test_friction_is_coulombs(case):
    """The force that balances wheel and pallets leans from the normal by mu against the sliding, at every point of contact.

    The force is found from the two torques and the point of contact alone, the sliding from the two velocities.
    """
    m, draft, _, action = case
    for swing in swings_of(action):
        for piece in swing.pieces:
            theta = np.linspace(piece.start_rad, piece.end_rad, 7)[1:-1]
            way = math.copysign(1.0, piece.end_rad - piece.start_rad)
            c = np.stack([axis(theta) for axis in piece.touch_mm], axis=-1)
            b = c - np.array([0.0, draft.centre_mm])
            for ci, bi, gain, slope in zip(c, b, piece.gain(theta), piece.slope(theta), strict=True):
                force = np.linalg.solve([[-ci[1], ci[0]], [-bi[1], bi[0]]], [1.0, gain])
                sliding = way * (slope * np.array([-ci[1], ci[0]]) - np.array([-bi[1], bi[0]]))
                along = sliding / math.hypot(*sliding)
                assert force @ along / abs(cross(along, force)) == pytest.approx(m.friction, abs=1e-7)


def test_friction_always_costs(case):
    """With friction the oscillator gets less from a period than without."""
    _, _, free, action = case
    with_it, without = (
        sum(integral(p.gain, p.start_rad, p.end_rad) for s in swings_of(a) for p in s.pieces) for a in (action, free)
    )
    assert with_it < without


def test_drawn_parts_never_enter_each_other(case):
    """What is drawn overlaps by less than 1e-5 of the wheel's radius at a thousand instants, arms and bodies too; turned back
    by 1e-5 rad the wheel is free of everything, and turned on by 0.001 degrees (the control) it always overlaps.

    Where a pin rolls off a heel the wheel runs many times as fast as the pallets: there both turns grow with that rate, and in
    the last half hundredth of a degree the control would carry the heel right past.
    """
    _, draft, _, action = case
    theta, phi, steep = instants(action, draft, 520)
    fast = np.where(steep > 5, steep / 2, 1.0)
    assert len(theta) >= 1000
    middle = (0.0, draft.centre_mm)
    same_level = [part for part in draft.pallets if part.level == 0]
    pallets = [polygons(part.outline_mm, theta, offset=middle) for part in same_level]
    on = np.zeros(len(theta), dtype=bool)
    wheel, back, forward = (wheels(draft, phi + turn * fast) for turn in (0.0, -1e-5, math.radians(0.001)))
    for shapes in pallets:
        assert thickness_mm(wheel, shapes) <= 1e-5 * draft.tip_mm
        assert not np.any(meets(back, shapes))
        on |= meets(forward, shapes)
    sure = steep < 25
    assert np.count_nonzero(sure) >= 1000 and np.all(on[sure])


def upstream_bisection(draft, theta, near):
    """The first wheel angle from upstream at which the drawn wheel meets the pallets, by shapely alone: a scan, then bisection.

    Pins are taken as true circles: a pin is met when the drawn wheel is as near to its middle as its radius.
    """
    middle = np.array([0.0, draft.centre_mm])
    pins = [spot for shape in draft.surfaces.values() for spot in shape.spots if spot.radius_mm > 0]
    solid = [part for part in draft.pallets if part.level == 0 and (draft.hollow or not pins)]
    pallets = shapely.union_all([shapely.Polygon(turned(part.outline_mm, theta) + middle) for part in solid])
    shapely.prepare(pallets)

    def hits(phi):
        (wheel,) = wheels(draft, np.array([phi]))
        return pallets.intersects(wheel) or any(
            wheel.distance(shapely.Point(turned(pin.at_mm, theta) + middle)) <= pin.radius_mm for pin in pins
        )

    low = near - math.radians(0.02)
    assert not hits(low)
    high = low
    while not hits(high):
        high += math.radians(0.005)
    low = high - math.radians(0.005)
    while high - low > 1e-14:
        middle_rad = (low + high) / 2
        if middle_rad in (low, high):
            break
        low, high = (low, middle_rad) if hits(middle_rad) else (middle_rad, high)
    return (low + high) / 2


def test_faces_agree_with_bisection(case):
    """On straight faces and round pins the wheel angle agrees to 1e-9 degrees with shapely's own predicates, bisected; on the
    dead-beat's locking arcs, which are drawn as chords, to a thousandth."""
    _, draft, _, action = case
    for swing in swings_of(action):
        for piece in swing.pieces:
            curved = "locking" in piece.surface and not draft.bankings
            for part in (0.21, 0.78):
                theta = piece.start_rad + part * (piece.end_rad - piece.start_rad)
                phi = float(piece.wheel_rad(theta))
                found = upstream_bisection(draft, theta, phi)
                assert math.degrees(found - phi) == pytest.approx(0, abs=1e-3 if curved else 1e-9)


def test_a_model_is_solved_within_a_tenth_of_a_second(case):
    """Drafting and solving take at most 100 ms of one core."""
    m, *_ = case
    spent = []
    for _ in range(3):
        start = time.process_time()
        m.action()
        spent.append(time.process_time() - start)
    assert min(spent) < 0.1


def test_same_model_same_action():
    """Solving twice gives the same figures to the last digit."""
    one, other = model("pocket watch").action(), model("pocket watch").action()
    for a, b in zip(one.up.pieces + one.down.pieces, other.up.pieces + other.down.pieces, strict=True):
        assert np.array_equal(a.wheel_rad.coef, b.wheel_rad.coef) and a.start_rad == b.start_rad


def test_size_does_not_matter():
    """An escapement ten times as large does the same: angles and gains are the same to rounding."""
    small = escapement({"kind": "club_lever", "radius_mm": 2.0}).action()
    large = escapement({"kind": "club_lever", "radius_mm": 20.0}).action()
    for a, b in zip(small.up.pieces, large.up.pieces, strict=True):
        assert a.surface == b.surface
        middle = (a.start_rad + a.end_rad) / 2
        assert float(a.wheel_rad(middle)) == pytest.approx(float(b.wheel_rad(middle)), abs=1e-12)
        assert float(a.gain(middle)) == pytest.approx(float(b.gain(middle)), abs=1e-10)


@pytest.mark.parametrize(("teeth", "span"), [(15, 2.5), (16, 2.5), (20, 3.5)])
def test_usual_span_of_a_lever(teeth, span):
    """About a sixth of the teeth, a whole number and a half: 2 1/2 of 15 and of 16 (Playtner)."""
    assert usual_span(teeth, 1 / 6) == span


def test_heels_stand_above_the_toes():
    """Lift on the tooth sets the heel above the toe, by more for more of it."""
    low, high = (
        escapement({"kind": "club_lever", "radius_mm": 5.0, "tooth_lift_deg": lift}).draft().tip_mm for lift in (2.0, 5.0)
    )
    assert 5.0 < low < high
