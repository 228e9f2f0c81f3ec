"""What each kind must do to be that kind: facts of the trade, and refusals of what cannot be."""

import math

import numpy as np
import pytest

from builder.ground.faults import Refused
from tests.parts.escapement_models import MODELS, ON_ARBOR, escapement, model


def of_kind(*kinds):
    return [name for name, table in MODELS.items() if table["kind"] in kinds]


def all_pieces(action):
    return action.up.pieces + action.down.pieces


@pytest.mark.parametrize("name", of_kind("dead_beat") + list(ON_ARBOR))
def test_wheel_stands_dead(name):
    """While a tooth rests on a dead-beat's locking face, or on the outside or inside of a cylinder, the wheel does not move at
    all, so the pallets feel friction alone."""
    m = model(name)
    action, free = m.action(), m.action(0.0)
    for piece, without in zip(all_pieces(action), all_pieces(free), strict=True):
        if "locking" in piece.surface:
            theta = np.linspace(piece.start_rad, piece.end_rad, 11)
            assert np.ptp(piece.wheel_rad(theta)) < 1e-13 and np.max(np.abs(piece.slope(theta))) < 1e-13
            assert np.max(np.abs(without.gain(theta))) < 1e-13
            way = math.copysign(1.0, piece.end_rad - piece.start_rad)
            assert np.all(way * piece.gain(theta) < 0)
    assert action.entry.recoil_wheel_deg < 1e-9 and action.exit.recoil_wheel_deg < 1e-9


@pytest.mark.parametrize("name", of_kind("dead_beat"))
def test_tip_lies_on_the_locking_arc(name):
    """While it rests, the tip of the tooth is exactly as far from the pallet arbor as the locking corner: the face is an arc
    about that arbor, not chords of one."""
    m = model(name)
    draft, action = m.draft(), m.action()
    resting = [p for p in all_pieces(action) if "locking" in p.surface]
    assert {p.pallet for p in resting} == {"entry", "exit"}
    for piece in resting:
        (corner,) = [spot for spot in draft.surfaces[piece.pallet].spots if spot.name == "locking corner"]
        distances = [
            math.hypot(
                m.radius_mm * math.cos(phi + tooth * action.pitch_rad),
                m.radius_mm * math.sin(phi + tooth * action.pitch_rad) - draft.centre_mm,
            )
            for tooth in range(m.teeth)
            for phi in [float(piece.wheel_rad(piece.start_rad))]
        ]
        assert min(abs(d - math.hypot(*corner.at_mm)) for d in distances) < 1e-12 * m.radius_mm


@pytest.mark.parametrize("name", of_kind("dead_beat"))
def test_dead_beat_has_the_angles_asked_for(name):
    """Lock, impulse and drop come out as they were asked for."""
    m = model(name)
    action = m.action()
    for report in (action.entry, action.exit):
        assert report.lock_deg == pytest.approx(m.lock_deg, abs=1e-8)
        assert report.lift_deg == pytest.approx(m.impulse_deg, abs=1e-8)
        assert report.drop_wheel_deg == pytest.approx(math.degrees(m.drop_rad), abs=1e-8)
        assert report.draw_deg == 0 and report.run_deg == 0


@pytest.mark.parametrize("name", of_kind("recoil_anchor"))
def test_recoil_anchor_pushes_the_wheel_back(name):
    """From the fall of a tooth to the end of the swing the wheel goes backwards, against its torque, on both pallets; the pallets
    then get that work back, less friction."""
    m = model(name)
    action = m.action()
    for swing, report in ((action.up, action.exit), (action.down, action.entry)):
        (recoil,) = [p for p in swing.pieces[1:] if "recoil" in p.surface and p.pallet != swing.pieces[0].pallet]
        assert recoil.start_rad == pytest.approx(swing.drops[0].at_rad, abs=1e-9)
        theta = np.linspace(recoil.start_rad, recoil.end_rad, 15)
        assert np.all(np.diff(recoil.wheel_rad(theta)) < 0)
        way = math.copysign(1.0, recoil.end_rad - recoil.start_rad)
        assert np.all(way * recoil.gain(theta) < 0)
        assert report.recoil_wheel_deg > 0.5 and report.lock_deg == 0
    back = [p for p in action.up.pieces if "recoil" in p.surface and p.pallet == "entry"]
    assert all(float(p.gain(p.start_rad)) > 0 for p in back)


@pytest.mark.parametrize("name", of_kind("recoil_anchor"))
def test_recoil_is_harder_to_push_than_it_pushes_back(name):
    """On one face at one place friction adds to the push against the recoil and takes from the push that comes back."""
    action = model(name).action()
    out = next(p for p in action.down.pieces if "recoil" in p.surface and p.pallet == "entry")
    home = next(p for p in action.up.pieces if "recoil" in p.surface and p.pallet == "entry")
    for theta in np.linspace(home.start_rad, home.end_rad, 5):
        assert abs(float(out.gain(theta))) > abs(float(home.slope(theta))) > abs(float(home.gain(theta)))


@pytest.mark.parametrize("name", of_kind("club_lever", "pin_lever"))
def test_draw_holds_the_lever_to_its_banking(name):
    """From lock to banking the wheel's torque turns the lever towards its banking with all friction against it, the wheel goes on
    forwards, and unlocking must push it back."""
    m = model(name)
    action = m.action()
    for swing, report in ((action.up, action.exit), (action.down, action.entry)):
        way = math.copysign(1.0, swing.pieces[0].end_rad - swing.pieces[0].start_rad)
        (run,) = [p for p in swing.pieces if "locking" in p.surface and p.pallet != swing.pieces[0].pallet]
        theta = np.linspace(run.start_rad, run.end_rad, 7)
        assert np.all(way * run.gain(theta) > 0) and np.all(np.diff(run.wheel_rad(theta)) > 0)
        unlocking = swing.pieces[0]
        assert "locking" in unlocking.surface
        theta = np.linspace(unlocking.start_rad, unlocking.end_rad, 7)
        assert np.all(way * unlocking.gain(theta) < 0) and np.all(np.diff(unlocking.wheel_rad(theta)) < 0)
        assert report.draw_deg > 8 and 0.1 < report.recoil_wheel_deg < 0.6


@pytest.mark.parametrize("pallet", ["entry", "exit"])
def test_draw_must_exceed_the_angle_of_friction(pallet):
    """A locking face holds the lever only if its draw is more than the angle of friction, arctan mu (a wedge that slides): just
    above, the wheel's torque draws the lever on; just below, friction lets it stay where it is."""
    mu = 0.15
    angle = math.degrees(math.atan(mu))
    for draw, holds in ((angle + 0.5, True), (angle - 0.5, False)):
        shallow = {"kind": "club_lever", "radius_mm": 3.75, "lock_deg": 0.3, "run_deg": 0.05, "draw_deg": draw}
        action = escapement(shallow).action(mu)
        swing, way = (action.down, -1.0) if pallet == "entry" else (action.up, 1.0)
        (run,) = [p for p in swing.pieces if "locking" in p.surface and p.pallet == pallet and p is not swing.pieces[0]]
        unlocked = abs(run.start_rad)
        near_corner = run.gain(way * unlocked)
        assert (way * float(near_corner) > 0) == holds


@pytest.mark.parametrize("name", of_kind("club_lever"))
def test_club_tooth_lifts_first_on_the_stone_then_on_the_tooth(name):
    """The toe comes first, on the locking face and then on the impulse face; the tooth is let off from the release corner or
    the heel."""
    m = model(name)
    action = m.action()
    for swing in (action.up, action.down):
        names = [p.surface for p in swing.pieces if p.pallet == swing.pieces[0].pallet]
        assert names[:2] == ["toe on locking face", "toe on impulse face"]
        assert names[-1] in ("release corner on tooth face", "heel on impulse face")
    for report in (action.entry, action.exit):
        assert report.lock_deg == pytest.approx(m.lock_deg, abs=1e-8) and report.lift_deg == pytest.approx(m.lift_deg, abs=1e-8)
        assert report.draw_deg == pytest.approx(m.draw_deg, abs=1e-6) and report.run_deg == pytest.approx(m.run_deg, abs=1e-8)


@pytest.mark.parametrize("name", of_kind("club_lever"))
def test_club_drop_is_the_drafted_one_and_the_draw(name):
    """The drop that is measured is the drop drafted and what draw lets the wheel go on while the lock is taken up."""
    m = model(name)
    action = m.action()
    for drop, report in ((action.entry.drop_wheel_deg, action.exit), (action.exit.drop_wheel_deg, action.entry)):
        onward = drop - math.degrees(m.drop_rad)
        rough = m.lock_deg * math.tan(math.radians(m.draw_deg)) * math.tan(math.pi * m.embraced / m.teeth)
        assert onward == pytest.approx(rough, rel=0.3)
        assert report.recoil_wheel_deg > onward


@pytest.mark.parametrize("name", of_kind("pin_lever"))
def test_pin_lever_has_the_drops_asked_for(name):
    """Both drops are the one asked for and the little that a pin still has to roll when the contact is cut."""
    m = model(name)
    action = m.action()
    for report in (action.entry, action.exit):
        assert 0 < report.drop_wheel_deg - math.degrees(m.drop_rad) < 0.03
        assert report.lock_deg == pytest.approx(m.lock_deg, abs=1e-3) and report.lift_deg == pytest.approx(m.lift_deg, abs=1e-3)
    surfaces = [p.surface for p in action.up.pieces if p.pallet == "entry"]
    ordered = list(dict.fromkeys(surfaces))
    assert ordered == ["pin on locking face", "pin on toe", "pin on impulse face", "pin on heel"]


@pytest.mark.parametrize("name", ON_ARBOR)
def test_each_tooth_stops_twice_on_a_cylinder(name):
    """A tooth that leaves the entry lip is caught by the inside of the shell, and only its follower by the outside; both drops
    are the one asked for and the little that a lip still has to roll when the contact is cut. In the mean of both lips lock
    and lift are as asked for."""
    m = model(name)
    action = m.action()
    (into,), (out,) = action.up.drops, action.down.drops
    assert (into.leaves, into.lands_on, out.leaves, out.lands_on) == ("entry", "exit", "exit", "entry")
    for drop in (into, out):
        assert 0 < math.degrees(drop.to_rad - drop.from_rad - m.drop_rad) < 0.03
    driven = out.to_rad - action.pitch_rad, into.from_rad
    assert math.degrees(driven[1] - driven[0]) == pytest.approx(180 / m.teeth - math.degrees(m.drop_rad), abs=0.8)
    assert (action.entry.lock_deg + action.exit.lock_deg) / 2 == pytest.approx(m.lock_deg, abs=0.3)
    assert (action.entry.lift_deg + action.exit.lift_deg) / 2 == pytest.approx(m.lift_deg, abs=0.3)


@pytest.mark.parametrize("name", ON_ARBOR)
def test_a_tooth_fits_the_cylinder_and_the_cylinder_the_gap(name):
    """While a tooth's point rests inside, its heel clears the inside; while the next rests outside, the heel of the tooth that
    has left clears the outside: both by less than the drop, measured at the heels."""
    m = model(name)
    form, action = m.form(), m.action()

    def heel_to_arbor_mm(point_rad):
        rad = point_rad - m.tooth_rad
        return math.hypot(m.radius_mm * math.cos(rad), m.radius_mm * math.sin(rad) - form.centre_mm)

    inside = form.inner_mm - heel_to_arbor_mm(action.up.drops[0].to_rad)
    outside = heel_to_arbor_mm(action.down.drops[0].to_rad) - form.outer_mm
    for freedom in (inside, outside):
        assert 0 < freedom < m.drop_rad * m.radius_mm


def refused(table):
    with pytest.raises(Refused) as caught:
        escapement(table).draft()
    return caught.value.complaints


def test_a_span_must_be_a_whole_number_and_a_half():
    """Both pallets share the teeth only at half numbers; the nearest that would do is named."""
    (complaint,) = refused({"kind": "dead_beat", "teeth": 30, "radius_mm": 20.0, "span": 8.0})
    assert complaint.key == ("span",) and "7.5" in complaint.advice


def test_too_wide_a_span_names_one_that_would_do():
    """Nibs that run into neighbouring teeth are refused with a smaller span, and that span does indeed do."""
    table = {"kind": "dead_beat", "teeth": 40, "radius_mm": 20.0, "span": 10.5, "impulse_deg": 3.0, "lock_deg": 1.0}
    (complaint,) = refused(table)
    assert complaint.key == ("span",) and "back of a tooth" in complaint.allowed
    span = float(complaint.advice.split("span of ")[1].split(" ")[0])
    assert span < 10.5
    escapement({**table, "span": span}).draft()


def test_a_pin_that_comes_back_onto_its_tooth_is_refused():
    """A pin lever's drop must exceed half a pin at the wheel."""
    complaints = refused({"kind": "pin_lever", "radius_mm": 7.5, "pin_mm": 0.9, "drop_deg": 1.5})
    assert complaints[0].key == ("drop_deg",) and "half a pin" in complaints[0].allowed


def test_a_shell_that_meets_the_tooth_that_left_is_refused():
    """A cylinder with too little drop is refused with the balance's angle at which it meets a tooth."""
    table = {"kind": "cylinder", "teeth": 16, "radius_mm": 5.0, "lift_deg": 45.0, "lock_deg": 3.6, "shell_deg": 188.0}
    (complaint,) = refused({**table, "drop_deg": 0.47})
    assert complaint.key == ("drop_deg",) and "into the shell" in complaint.allowed
    escapement({**table, "drop_deg": 1.0}).draft()


def test_all_complaints_come_at_once():
    """A drop that leaves no pallet and a reach that ends before let-off are told together."""
    complaints = refused({"kind": "dead_beat", "teeth": 30, "radius_mm": 20.0, "drop_deg": 5.5, "reach_deg": 1.0})
    assert {c.key for c in complaints} == {("drop_deg",), ("reach_deg",)}


@pytest.mark.parametrize(("given", "key"), [({}, "impulse_deg"), ({"reach_deg": 24.0}, "reach_deg")])
def test_pallets_that_dip_too_deep(given: dict[str, float], key: str) -> None:
    """What is blamed is what the file gives: the reach, or the impulse that it follows from."""
    (complaint,) = refused({"kind": "dead_beat", "teeth": 30, "radius_mm": 20.0, "lock_deg": 4.5, "impulse_deg": 11.0, **given})
    assert complaint.key == (key,)
    assert "from the middle, would dip" in complaint.allowed


def test_too_much_friction_sticks():
    """A face too steep for the friction is refused rather than solved with a torque of the wrong sign."""
    table = {"kind": "recoil_anchor", "teeth": 30, "radius_mm": 17.0, "span": 7.5, "impulse_deg": 1.2, "friction": 0.6}
    complaints = refused(table)
    assert complaints[0].key == ("friction",)


@pytest.mark.parametrize(
    ("kind", "teeth"),
    [
        *[(kind, teeth) for kind in ("dead_beat", "recoil_anchor") for teeth in (12, 30, 31, 48, 75, 120)],
        *[(kind, teeth) for kind in ("club_lever", "pin_lever") for teeth in (10, 15, 21, 30, 40)],
        *[("cylinder", teeth) for teeth in (10, 15, 24)],
    ],
)
def test_teeth_and_size_are_enough(kind, teeth):
    """A beginner who can only count the teeth and measure the wheel gets an escapement that goes, whatever the count."""
    action = escapement({"kind": kind, "teeth": teeth, "radius_mm": 10.0}).action()
    assert action.entry.lift_deg > 0 and action.exit.lift_deg > 0
