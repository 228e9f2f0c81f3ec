"""Worn holes, leaves and pallets in a movement, against similar triangles, shapely's bisection and the geometry of the faces."""

import math

import numpy as np
import pytest

from builder.going.power import mesh_contact
from builder.going.repair import condition
from builder.going.steady import Running, Stopped
from builder.going.worn import worn_plan
from builder.ground.faults import Refused
from builder.parts.teeth.contact import solve
from tests.going.faulty import beat, escape_nmm, found, running, sound, works
from tests.parts.test_mesh_contact import rests_by_bisection
from tests.solved import demo

HOLE = {"arbor": "third", "plate": "front", "worn_mm": 0.5, "direction_deg": 60}
"""The hall clock's third arbor stands in this direction from the centre."""


def meshes(made):
    """Meshes of a worn plan by their driver."""
    return {one.pair.driver: one for one in made.plan.sized if one.pair.key[0] == "meshes"}


def test_an_arbor_in_a_worn_hole_stands_off_by_similar_triangles():
    """Half a millimetre at the front plate is so much less at a wheel between the plates as it is nearer to the back one: the
    plates are 60 mm apart and 3 thick (holes 63 apart, from −1.5), centre wheel at 56.2, third wheel at 17.5."""
    made = works("hall_clock", found("worn_hole", **HOLE))
    apart = meshes(made)
    assert apart["centre"].too_far_mm == pytest.approx(0.5 * (56.2 + 1.5) / 63, abs=2e-3)
    at_third = 0.5 * (17.5 + 1.5) / 63
    to_escape = math.radians(124.12 - 60)
    assert apart["third"].too_far_mm == pytest.approx(-at_third * math.cos(to_escape), abs=2e-3)
    assert apart["great"].too_far_mm == 0.0
    back = meshes(works("hall_clock", found("worn_hole", **{**HOLE, "plate": "back"})))
    assert back["centre"].too_far_mm == pytest.approx(0.5 * (60 + 1.5 - 56.2) / 63, abs=2e-3)


def test_the_worn_mesh_is_the_true_contact_there():
    """Where the pinion rests at that distance, by shapely's bisection of the drawn teeth; and its torque goes on to the escape
    wheel by the mean that scipy would take of it (test_mesh_contact has the efficiency itself)."""
    made = works("hall_clock", found("worn_hole", **HOLE))
    one, friction = meshes(made)["centre"], demo("hall_clock").movement.friction.teeth
    seen = solve(one.gears, friction, one.too_far_mm)
    distance = one.gears.distance_mm + one.too_far_mm
    for k in (3, len(seen.driver_rad) // 2):
        rests = rests_by_bisection(one.gears, distance, seen.driver_rad[k], seen.driven_rad[k] + 0.02)
        assert rests == pytest.approx(seen.driven_rad[k], abs=2e-5)
    others = [mesh_contact(each.gears, friction, each.too_far_mm) for each in meshes(made).values()]
    were = [mesh_contact(each.gears, friction) for each in demo("hall_clock").plan.sized if each.pair.key[0] == "meshes"]
    ratio = math.prod(now.efficiency / was.efficiency for now, was in zip(others, were, strict=True))
    assert escape_nmm(made) / (1e3 * sound("hall_clock").works.torque_nm) == pytest.approx(ratio, rel=5e-3)
    assert seen.torque_ratio.min() < 0.9 * were[1].torque_ratio.min()


def test_too_near_jams_and_too_far_is_refused():
    """Worn towards the centre wheel there is no play left: it stands, and says which wheels jam. So far apart that the tips
    miss each other is a slip of the pen, refused at the finding's own key; so is a hole beyond the plate's edge."""
    jam = beat(works("hall_clock", found("worn_hole", **{**HOLE, "direction_deg": 240})))
    assert isinstance(jam, Stopped) and jam.reason == "the train jams" and "centre and third" in jam.text
    assert isinstance(beat(works("hall_clock", found("worn_hole", **{**HOLE, "worn_mm": 0.05, "direction_deg": 240}))), Running)
    with pytest.raises(Refused) as refused:
        works("hall_clock", found("worn_hole", **{**HOLE, "worn_mm": 4.0}))
    assert [c.key for c in refused.value.complaints] == [("findings", "worn_mm")]
    assert "centre and third" in refused.value.complaints[0].advice
    solved = demo("hall_clock")
    assert solved.movement.plates is not None
    x = solved.plan.centres["third"][0]
    narrow = solved.movement.plates.model_copy(update={"width_mm": 2 * (x + 0.4)})
    movement = solved.movement.model_copy(update={"plates": narrow})
    for worn_mm, fits in ((0.3, True), (0.5, False)):
        hole = condition(solved, [found("worn_hole", **{**HOLE, "worn_mm": worn_mm, "direction_deg": 0})])
        try:
            worn_plan(movement, solved.train, solved.plan, solved.elevation, hole)
            assert fits
        except Refused as beyond:
            assert not fits and beyond.complaints[0].key == ("worn_mm",) and "inside the plate" in beyond.complaints[0].allowed


def test_a_worn_hole_of_the_pallets_moves_them():
    """Worn away from the wheel, back and front alike, the pallets stand so much higher: the anchor touches later, and the wheel
    drops further."""
    holes = [found("worn_hole", arbor="pallets", plate=plate, worn_mm=0.1, direction_deg=90) for plate in ("back", "front")]
    made, was = works("hall_clock", *holes), demo("hall_clock").plan.draft
    assert made.plan.draft.centre_mm - was.centre_mm == pytest.approx(0.1, abs=1e-9)
    drops = [
        action.entry.drop_wheel_deg + action.exit.drop_wheel_deg
        for action in (works("hall_clock").course.action, made.course.action)
    ]
    assert drops[1] > drops[0]


def test_worn_leaves_wear_where_they_are_rubbed():
    """Left out, the pit lies where the wheel's teeth touch the leaves; it then costs evenness, and a hair's pit costs nothing."""
    made = works("hall_clock", found("worn_leaves", arbor="third", depth_mm=0.12))
    one = meshes(made)["centre"]
    was = next(each for each in demo("hall_clock").plan.sized if each.pair.driver == "centre")
    seen = solve(was.gears, 0.15)
    rubbed = np.abs(seen.point_mm - was.gears.distance_mm)
    radii = np.linspace(one.gears.driven.root_mm, one.gears.driven.tip_mm, 400)
    lost = radii * (was.gears.driven.flank.half_angle(radii)[0] - one.gears.driven.flank.half_angle(radii)[0])
    where = radii[lost > 1e-9]
    assert lost.max() == pytest.approx(0.12, rel=1e-3)
    assert where.min() >= rubbed.min() - 0.02 and where.max() <= rubbed.max() + 0.02
    pitted = solve(one.gears, 0.15)
    assert pitted.transmission_error_rad > 3 * seen.transmission_error_rad
    assert pitted.torque_ratio.min() < seen.torque_ratio.min()
    hair = meshes(works("hall_clock", found("worn_leaves", arbor="third", depth_mm=1e-7)))["centre"]
    assert solve(hair.gears, 0.15).efficiency == pytest.approx(seen.efficiency, rel=1e-4)


def test_leaves_worn_through_are_refused():
    """A pit deeper than the leaf is thick: said with its key."""
    with pytest.raises(Refused) as refused:
        works("hall_clock", found("worn_leaves", arbor="third", depth_mm=3.0))
    assert refused.value.complaints[0].key == ("findings", "depth_mm")


def test_a_worn_locking_face_changes_lock_lift_and_drop():
    """Regulator, dead beat. At the tangent point a tooth runs straight at the locking face, so that wear d lets it fall d/R
    further; and the corner slides along the impulse face, which rises by R·w over the impulse: lock gains, lift loses,
    impulse·d/(R w) (drawing of the face; w = half a tooth space less the drop)."""
    solved, depth = demo("shop_regulator"), 0.05
    escapement = solved.movement.escapement
    made = works("shop_regulator", found("worn_pallet", pallet="entry", face="locking face", depth_mm=depth))
    was, now = works("shop_regulator").course.action, made.course.action
    width = math.pi / escapement.teeth - escapement.drop_rad
    slid = escapement.impulse_deg * depth / (escapement.radius_mm * width)
    assert now.exit.drop_wheel_deg == pytest.approx(
        was.exit.drop_wheel_deg + math.degrees(depth / escapement.radius_mm), rel=0.05
    )
    assert now.entry.lock_deg - was.entry.lock_deg == pytest.approx(slid, rel=0.08)
    assert now.entry.lift_deg - was.entry.lift_deg == pytest.approx(-slid, rel=0.08)
    assert now.exit.lock_deg == pytest.approx(was.exit.lock_deg, abs=1e-9)


@pytest.mark.parametrize(
    ("slug", "pallet", "face"),
    [
        ("hall_clock", "exit", "impulse face"),
        ("pocket_watch", "exit", "locking face"),
        ("shelf_timepiece", "entry", "pin"),
    ],
)
def test_every_worn_pallet_takes_something_from_the_swing_and_goes_on(slug: str, pallet: str, face: str):
    """A little wear costs some amplitude and lets the tooth drop further; the other pallet's own drop is then the one that
    changes. A hair's wear changes nothing that counts."""
    action = demo(slug).movement.escapement.action()
    depth = 0.004 * demo(slug).movement.escapement.radius_mm
    now = running(slug, found("worn_pallet", pallet=pallet, face=face, depth_mm=depth))
    drops = [each.entry.drop_wheel_deg + each.exit.drop_wheel_deg for each in (action, now.works.course.action)]
    assert drops[1] > drops[0]
    hair = running(slug, found("worn_pallet", pallet=pallet, face=face, depth_mm=1e-7))
    assert hair.amplitude_rad == pytest.approx(sound(slug).amplitude_rad, rel=1e-3)


def test_what_is_not_worn_is_the_same_plan():
    """Negative control: nothing worn, nothing made anew."""
    solved = demo("hall_clock")
    plain = condition(solved, [found("out_of_beat", by_deg=0.1)])
    assert worn_plan(solved.movement, solved.train, solved.plan, solved.elevation, plain) is solved.plan
