"""The movement laid out: arbors at their distances, teeth in mesh and not in one another, wheels clear of arbors."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import combinations
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, affinity

from builder.going.placed import Frame, Toothing
from builder.going.plan import Plan, plan
from builder.going.train import Train, train
from builder.ground.faults import Refused, key_text
from builder.movement.model import Movement
from tests.movement_texts import Data, eight_day, movement_data


def laid(data: Data) -> tuple[Movement, Train, Plan]:
    movement = Movement.model_validate(data)
    solved = train(movement)
    return movement, solved, plan(movement, solved)


def after(change: Callable[[Data], Any]) -> Data:
    data = eight_day()
    change(data)
    return data


def shape(toothing: Toothing, found: Plan, solved: Train, hours: float = 0.0, ahead_rad: float = 0.0) -> Polygon:
    """The part where it stands after some hours, as a polygon; `ahead_rad` turns it on in its own sense."""
    turning = solved[toothing.arbor].turns_per_hour
    turned = toothing.phase_rad + math.tau * float(turning) * hours + math.copysign(ahead_rad, turning)
    polygon = Polygon(toothing.gear.outline(1e-4))
    assert polygon.is_valid
    assert polygon.area > 0
    polygon = affinity.rotate(polygon, turned, origin=(0, 0), use_radians=True)
    return affinity.translate(polygon, *found.centres[toothing.arbor])


def overlaps(found: Plan, solved: Train, hours: float = 0.0, ahead: float = 0.0) -> dict[str, float]:
    """For each mesh the area that both parts cover, in squares of the module; `ahead` is a part of the driver's tooth pitch."""
    areas = {}
    for one in found.sized:
        driver, driven = found.of(one.pair.driver, one.pair.driver_part), found.of(one.pair.driven, one.pair.driven_part)
        a = shape(driver, found, solved, hours, ahead * driver.gear.angle_rad)
        areas[f"{driver.id} {driven.id}"] = a.intersection(shape(driven, found, solved, hours)).area / one.module_mm**2
    return areas


WITHIN = 1e-4
"""Squares of the module; 0 in fact, since teeth are drawn with chords inside their curves."""


@pytest.mark.parametrize("hours", [0.0, 0.0123, 1.7, 9.987])
def test_teeth_mesh_without_entering_one_another(hours: float) -> None:
    """At 12 o'clock and ever after: no tooth stands in another, in the train and in the motion work."""
    _, solved, found = laid(eight_day())
    areas = overlaps(found, solved, hours)
    assert len(areas) == 5
    assert max(areas.values()) < WITHIN, areas


def test_teeth_touch() -> None:
    """Negative control: a driver turned on by a twentieth of its pitch enters the driven, in every mesh. They do touch."""
    _, solved, found = laid(eight_day())
    areas = overlaps(found, solved, ahead=0.05)
    assert min(areas.values()) > 100 * WITHIN, areas


def test_every_mesh_stands_at_its_distance() -> None:
    """Centres are the sum of the pitch radii apart, in the direction given, from the dial's centre outwards."""
    movement, solved, found = laid(eight_day())
    for one in found.sized:
        assert math.dist(found.centres[one.pair.driver], found.centres[one.pair.driven]) == pytest.approx(one.distance_mm)
    assert found.centres["second"] == (0, 0) == found.centres["cannon"] == found.centres["hour_wheel"]
    assert found.centres["great"] == pytest.approx((0, -52))
    for mesh, one in zip(movement.meshes, found.sized, strict=False):
        assert mesh.direction_deg is not None
        assert math.degrees(found.line_rad(one)) == pytest.approx(mesh.direction_deg)
    assert set(found.centres) == {arbor.id for arbor in solved.arbors}


def test_centres_as_measured() -> None:
    """Given centres are kept; whatever else there is hangs on them."""
    _, _, found = laid(after(lambda d: d["arbors"][0].update(at_mm=[10, -60])))
    assert found.centres["great"] == (10, -60)
    assert found.centres["second"] == pytest.approx((10, -8))


def test_no_direction_is_needed_between_given_centres() -> None:
    """Where both centres are measured the direction is known."""
    data = after(lambda d: (d["arbors"][0].update(at_mm=[0, -52]), d["arbors"][1].update(at_mm=[0, 0])))
    del data["meshes"][0]["direction_deg"]
    _, _, found = laid(data)
    assert math.degrees(found.line_rad(found.sized[0])) == pytest.approx(90)


def test_every_missing_direction_is_told() -> None:
    """All of them, together with what else is wrong with sizes."""
    data = after(lambda d: [mesh.pop("direction_deg") for mesh in d["meshes"]] and d["arbors"][1]["wheel"].pop("module_mm"))
    with pytest.raises(Refused) as caught:
        laid(data)
    assert sorted((key_text(c.key), c.allowed) for c in caught.value.complaints) == [
        ("meshes[0]", "a mesh with a direction"),
        ("meshes[1]", "a mesh of known size"),
        ("meshes[1]", "a mesh with a direction"),
        ("meshes[2]", "a mesh with a direction"),
    ]


def test_centres_that_suit_no_mesh_between_them() -> None:
    """An arbor between two measured ones must suit both: a twentieth of a module is let pass, more is told."""
    x, y = laid(eight_day())[2].centres["escape"]
    near = after(lambda d: (d["arbors"][1].update(at_mm=[0, 0]), d["arbors"][3].update(at_mm=[x, y + 0.04])))
    assert laid(near)[2].centres["escape"] == (x, y + 0.04)
    far = after(lambda d: (d["arbors"][1].update(at_mm=[0, 0]), d["arbors"][3].update(at_mm=[x, y + 0.06])))
    with pytest.raises(Refused) as caught:
        laid(far)
    assert [key_text(c.key) for c in caught.value.complaints] == ["meshes[2]"]


@pytest.mark.parametrize("clear", [True, False])
def test_a_wheel_clears_an_arbor_or_does_not(clear: bool) -> None:
    """The great wheel's tips and the escape arbor: refused from the very touch on, here by a hundredth of a millimetre."""

    def data(between_deg: float) -> Data:
        return movement_data(
            [96, 64], [8, 8], beats_per_hour=18000, modules_mm=[1.0, 0.9], directions_deg=[90, 270 - between_deg]
        )

    found = laid(data(90))[2]
    reach = found.of("great", "wheel").gear.tip_mm + found.arbor_mm["escape"] + (0.01 if clear else -0.01)
    # Of the triangle great, second, escape all three sides are known: the law of cosines gives the angle at the second arbor.
    between_deg = math.degrees(math.acos((52**2 + 32.4**2 - reach**2) / (2 * 52 * 32.4)))
    if clear:
        centres = laid(data(between_deg))[2].centres
        assert math.dist(centres["great"], centres["escape"]) == pytest.approx(reach)
        return
    with pytest.raises(Refused) as caught:
        laid(data(between_deg))
    (complaint,) = caught.value.complaints
    assert (key_text(complaint.key), complaint.allowed) == ("arbors[0].wheel", "a wheel clear of the escape arbor")
    assert "0.010 mm too near" in complaint.advice


def test_no_direction_mends_two_that_mesh() -> None:
    """A wheel larger than the way to the arbor that drives its own pinion: the advice is to measure, not to turn."""
    data = movement_data([43, 100], [12, 10], beats_per_hour=18000, modules_mm=[0.8, 0.8], directions_deg=[90, 90])
    with pytest.raises(Refused) as caught:
        laid(data)
    (complaint,) = caught.value.complaints
    assert complaint.allowed == "a wheel clear of the great arbor"
    assert complaint.advice.endswith("The two mesh, so no direction helps: count and measure the teeth of both arbors again.")


def anchored(direction_deg: float, radius_mm: float = 12.0) -> Data:
    data = eight_day()
    data["escapement"] = {
        "kind": "recoil_anchor",
        "arbor": "escape",
        "teeth": 30,
        "radius_mm": radius_mm,
        "direction_deg": direction_deg,
    }
    return data


def test_escape_wheel_and_pallets_need_their_room() -> None:
    """An escape wheel that reaches the arbor before it, and pallets whose arbor would stand in a wheel, are refused."""
    assert "pallets" in laid(anchored(90))[2].centres
    with pytest.raises(Refused) as caught:
        laid(anchored(90, 30.0))
    assert {(key_text(c.key), c.allowed) for c in caught.value.complaints} >= {
        ("escapement.radius_mm", "a wheel clear of the third arbor")
    }
    with pytest.raises(Refused) as caught:
        laid(anchored(-56))  # back towards the third wheel
    assert {c.allowed for c in caught.value.complaints} == {"a wheel clear of the pallet arbor"}


@pytest.mark.parametrize("direction_deg", [90.0, 60.0, 150.0])
def test_the_draft_lies_where_the_file_points(direction_deg: float) -> None:
    """Pallets stand in the stated direction from the escape arbor, as far as they are drafted."""
    _, _, found = laid(anchored(direction_deg))
    assert found.draft is not None
    (x0, y0), (x1, y1) = found.centres["escape"], found.centres["pallets"]
    assert math.degrees(math.atan2(y1 - y0, x1 - x0)) == pytest.approx(direction_deg)
    assert math.hypot(x1 - x0, y1 - y0) == pytest.approx(found.draft.centre_mm)


@pytest.mark.parametrize(("hand", "mirrored"), [("second", True), ("third", False)])
def test_a_draft_is_seen_from_its_back_where_the_wheel_turns_clockwise(hand: str, mirrored: bool) -> None:
    """Drafts turn counter-clockwise; the escape wheel goes with the hand two meshes down, against the one next to it."""
    data = anchored(90)
    del data["motion_work"], data["arbors"][3]["hand"]
    data["arbors"][("great", "second", "third").index(hand)]["hand"] = "minutes"
    _, solved, found = laid(data)
    assert solved["escape"].clockwise == mirrored == found.frame.mirrored
    assert found.frame.sense == (-1 if mirrored else 1)


def test_a_mirrored_frame_keeps_the_way_round() -> None:
    """Outlines stay counter-clockwise and their area stays what it was; a point above stays above."""
    triangle = np.array([[0.0, 0.0], [2.0, 0.0], [0.0, 1.0]])
    for mirrored in (False, True):
        turned = Frame(mirrored, 0.7).points(triangle)
        assert Polygon(turned).exterior.is_ccw
        assert Polygon(turned).area == pytest.approx(1.0)
    assert Frame(True, 0.0).points(np.array([[1.0, 2.0]])).tolist() == [[-1.0, 2.0]]


def test_mates_share_a_storey_and_no_others_overlap() -> None:
    """Parts of one storey mesh with each other or lie apart."""
    _, solved, found = laid(eight_day())
    mates = {frozenset((p.driver, p.driven)) for p in solved.pairs}
    for a, b in combinations(found.toothings, 2):
        if a.level == b.level and a.arbor != b.arbor:
            apart = math.dist(found.centres[a.arbor], found.centres[b.arbor])
            assert frozenset((a.arbor, b.arbor)) in mates or apart >= a.gear.tip_mm + b.gear.tip_mm, (a.id, b.id)
    for pair in solved.pairs:
        assert found.of(pair.driver, pair.driver_part).level == found.of(pair.driven, pair.driven_part).level


def test_a_wheel_that_drives_two_stands_in_phase_with_both() -> None:
    """One wheel, two pinions: the teeth of both meshes stay out of one another."""
    data = after(lambda d: d["arbors"].append({"id": "idle", "pinion": {"leaves": 10}}))
    data["meshes"].append({"driver": "great", "driven": "idle", "direction_deg": 10})
    _, solved, found = laid(data)
    areas = overlaps(found, solved, 0.3)
    assert len(areas) == 6
    assert max(areas.values()) < WITHIN, areas


@given(
    st.lists(st.integers(40, 90), min_size=2, max_size=4),
    st.integers(8, 14),
    st.lists(st.integers(-180, 180), min_size=4, max_size=4),
)
@settings(max_examples=60, deadline=None)
def test_any_layout_is_clear_or_refused(wheels: list[int], leaves: int, directions: list[int]) -> None:
    """Whatever the directions: either no arbor stands in a wheel, or each that does is named."""
    n = len(wheels)
    data = movement_data(
        wheels, [leaves] * n, 15, beats_per_hour=18000, modules_mm=[0.9**i for i in range(n)], directions_deg=directions[:n]
    )
    movement = Movement.model_validate(data)
    solved = train(movement)
    angle, x, y = np.radians(directions[:n]), [0.0], [0.0]
    for i, teeth in enumerate(wheels):
        distance = 0.9**i * (teeth + leaves) / 2
        x.append(x[-1] + distance * math.cos(angle[i]))
        y.append(y[-1] + distance * math.sin(angle[i]))
    deep = [
        (i, j)
        for i in range(n)
        for j in range(n + 1)
        if i != j and math.hypot(x[i] - x[j], y[i] - y[j]) < 0.9**i * (wheels[i] / 2 + 1)
    ]
    try:
        found = plan(movement, solved)
    except Refused as refused:
        told = {(key_text(c.key), c.allowed) for c in refused.complaints}
        ids = list(solved.path)
        assert {(f"arbors[{i}].wheel", f"a wheel clear of the {ids[j]} arbor") for i, j in deep} <= told
        return
    assert not deep
    assert np.array([found.centres[name] for name in solved.path]) == pytest.approx(np.stack([x, y], axis=-1))
