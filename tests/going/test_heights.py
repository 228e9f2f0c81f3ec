"""Heights along the arbors: as measured, or first free; what stands in a plate or in another part is told with figures."""

from __future__ import annotations

from itertools import combinations
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builder.going.axes import Laid
from builder.going.going import Going
from builder.going.pieces import pieces
from builder.going.solids import Hole, Outline, Ring, Sheet, Solid, inside, nearest_mm, over_by
from builder.ground.faults import Refused, key_text
from builder.movement.model import Movement
from tests.going.solid_shapes import DEMO, common_mm, demo, laid_out, shape
from tests.movement_texts import Data, eight_day

AREA_MM2 = 1e-3
"""Overlap in plan that counts as none: circles are polygons here."""


def plated(**heights: Any) -> Data:
    """The eight-day train between plates, with a dial; `heights` by arbor: height of its wheel or pinion."""
    data = eight_day()
    data["plates"] = {"width_mm": 160.0, "height_mm": 260.0, "thickness_mm": 3.0, "between_mm": 50.0}
    data["dial"] = {"diameter_mm": 200.0}
    for name, height in heights.items():
        arbor = next(each for each in data["arbors"] if each["id"] == name.removesuffix("_pinion"))
        arbor["pinion" if name.endswith("_pinion") else "wheel"]["height_mm"] = height
    return data


SOUND = {"great": 5.0, "second": 20.0, "third": 35.0}


def refused(data: Data) -> list[tuple[str, str, str, str]]:
    with pytest.raises(Refused) as caught:
        laid_out(Movement.model_validate(data))
    return [(key_text(c.key), c.value, c.allowed, c.advice) for c in caught.value.complaints]


def mates(going: Going) -> set[frozenset[str]]:
    """Parts whose teeth mesh, and those of the escapement that work in one another."""
    found = {
        frozenset((going.plan.of(p.driver, p.driver_part).id, going.plan.of(p.driven, p.driven_part).id))
        for p in going.train.pairs
    }
    return found | {frozenset(("escape-wheel", "pallets")), frozenset(("pallets", "roller"))}


def collisions(going: Going) -> list[str]:
    """Pairs of solids of different pieces that fill the same room: by shapely, mates left out."""
    assert going.movement.plates is not None
    found = pieces(Laid(going, going.movement.plates))
    own = mates(going)
    solids = [(piece.id, solid) for piece in (*found.off, found.stays) for solid in piece.solids]
    return [
        f"{a.part} and {b.part}"
        for (first, a), (second, b) in combinations(solids, 2)
        if first != second
        and common_mm(a, b) > 1e-9
        and frozenset((a.part, b.part)) not in own
        and shape(a.region).intersection(shape(b.region)).area > AREA_MM2
    ]


@pytest.mark.parametrize("slug", DEMO)
def test_demo_movements_stand_clear(slug: str) -> None:
    """Nothing of a demo movement fills the room of anything else: wheels, arbors, plates, cocks, springs, hands, dial."""
    assert collisions(demo(slug)) == []


def test_a_raised_wheel_collides() -> None:
    """Negative control: with the spring raised into the centre wheel, shapely sees it, and the file is refused with figures."""
    going = demo("shelf_timepiece")
    told = going.movement.heights.model_copy(update={"source_mm": 13.0})
    movement = going.movement.model_copy(update={"heights": told})
    with pytest.raises(Refused) as caught:
        laid_out(movement)
    (complaint,) = caught.value.complaints
    assert (key_text(complaint.key), complaint.allowed) == ("arbors[1].wheel.height_mm", "a height clear of mainspring")
    # by hand: the spring of 9 mm about 13 mm reaches 17.5; the centre wheel of 0.9 mm about 17 mm begins at 16.55
    assert (
        "16.6 to 17.4 mm" in complaint.advice and "8.50 to 17.5 mm" in complaint.advice and "0.95 mm in one" in complaint.advice
    )
    spring = Solid("a", Ring((0.0, -21.0), 17.5), 8.5, 17.5, "steel")
    wheel = Solid("b", Ring((0.0, 0.0), 15.06), 16.55, 17.45, "brass")
    assert common_mm(spring, wheel) > 0 and shape(spring.region).intersection(shape(wheel.region)).area > 1


@pytest.mark.parametrize("slug", DEMO)
def test_mates_share_a_height(slug: str) -> None:
    """Every wheel runs wholly on the leaves that it meets."""
    going = demo(slug)
    for pair in going.train.pairs:
        a, b = (
            going.elevation[going.plan.of(*side).id]
            for side in ((pair.driver, pair.driver_part), (pair.driven, pair.driven_part))
        )
        short, long = sorted((a, b), key=lambda span: span.thickness_mm)
        assert long.low_mm <= short.low_mm + 1e-9 and short.high_mm <= long.high_mm + 1e-9


def test_measured_heights_are_kept() -> None:
    """A measured height is where the wheel lies; its mate follows it; the rest finds room; each says which it is."""
    heights = laid_out(Movement.model_validate(plated(great=8.0))).elevation
    assert heights["great-wheel"].middle_mm == pytest.approx(8.0) and heights["great-wheel"].measured
    assert heights["second-pinion"].middle_mm == pytest.approx(8.0) and heights["second-pinion"].measured
    assert not heights["third-wheel"].measured and "third-wheel" in heights.estimated
    assert heights.between_mm == 50.0 and "between" in heights.measured


def test_a_wheel_in_a_plate_is_told() -> None:
    """Into the back plate or the front one, with how deep it stands in it."""
    told = refused(plated(**SOUND | {"great": 0.7}))
    _, value, allowed, advice = next(each for each in told if each[0] == "arbors[0].wheel.height_mm")
    # the great wheel is 2.2 modules thick where its thickness was not measured: 2.2 mm about 0.7 mm
    assert (value, allowed) == ("0.7000 mm", "a height clear of the back plate")
    assert "−0.400 to 1.80 mm" in advice and "0.40 mm in the back plate" in advice
    assert {each[2] for each in told} == {"a height clear of the back plate"}
    data = plated(**SOUND)
    data["arbors"][2]["pinion"]["thickness_mm"] = 4.0
    data["arbors"][2]["wheel"]["height_mm"] = 49.8
    data["arbors"][3]["pinion"]["thickness_mm"] = 2.0
    advice = next(each[3] for each in refused(data) if each[2] == "a height clear of the front plate")
    assert advice.endswith("Measure its height or its thickness again, or between_mm of the plates.")


def test_wheels_in_one_another_are_told() -> None:
    """Two wheels that overlap in plan need heights of their own; the advice says how much is shared."""
    told = refused(plated(**SOUND | {"third": 21.0}))
    assert [(key, allowed) for key, _, allowed, _ in told] == [("arbors[2].wheel.height_mm", "a height clear of second wheel")]
    assert "0.92 mm in one another" in told[0][3]  # 1.98 mm about 20 and 1.87 mm about 21: (0.99 + 0.935) − 1
    assert laid_out(Movement.model_validate(plated(**SOUND | {"third": 24.0}))).elevation.between_mm == 50.0


def test_mates_that_miss_are_told() -> None:
    """A pinion measured away from the wheel that drives it is refused, with how far the wheel runs past its leaves."""
    data = plated(**SOUND | {"third_pinion": 24.0})
    data["arbors"][2]["pinion"]["thickness_mm"] = 6.0
    ((key, _, allowed, advice),) = refused(data)
    assert (key, allowed) == ("arbors[1].wheel.height_mm", "a wheel wholly on the leaves it meets")
    assert "1.99 mm past the end of its mate" in advice or "2.0 mm past the end of its mate" in advice


def test_play_that_brings_two_together_is_a_finding() -> None:
    """Two wheels nearer than the endshake of both arbors are told of: shaken to opposite ends they touch."""
    data = plated(**SOUND | {"third": 22.0})
    data["arbors"][1]["endshake_mm"] = 0.1
    data["arbors"][2]["endshake_mm"] = 0.2
    assert [f.text for f in laid_out(Movement.model_validate(data)).elevation.findings] == [
        "second wheel and third wheel lie 0.075 mm apart in height, less than the endshake of both arbors together, 0.30 mm: "
        "shaken to opposite ends they touch"
    ]
    data["arbors"][2]["wheel"]["height_mm"] = 23.0
    assert laid_out(Movement.model_validate(data)).elevation.findings == ()


def test_a_minute_wheel_in_a_seconds_arbor_is_told() -> None:
    """An arbor that passes through the front plate to its hand needs room before it too."""
    data = plated(**SOUND)
    data["motion_work"]["direction_deg"] = 90
    data["motion_work"]["distance_mm"] = 50.0
    del data["motion_work"]["module_mm"]
    told = refused(data)
    assert ("motion_work", "minute wheel", "a motion work clear of the escape arbor") in {each[:3] for each in told}
    assert all("direction_deg" in advice and "back" not in advice for *_, advice in told)


def test_a_minute_wheel_in_the_winding_square_is_told() -> None:
    """So does the square that winds it; where it is in truth wound from behind, the file can say so."""
    data = plated(**SOUND)
    data["motion_work"] |= {"direction_deg": -80, "distance_mm": 48.0}
    del data["motion_work"]["module_mm"]
    (advice,) = (
        each[3] for each in refused(data) if each[2] == "a motion work clear of the great arbor" and "minute wheel" in each[1]
    )
    assert advice.endswith('measure its module again; or, where it is wound from behind, write winding = "back" under [heights].')


def test_balance_and_dial_have_their_room() -> None:
    """A balance measured into the plate that it swings behind, and a dial nearer than the hour wheel, are told."""
    watch = demo("pocket_watch").movement
    told = watch.heights.model_copy(update={"balance_mm": -1.5, "dial_mm": 8.5})
    with pytest.raises(Refused) as caught:
        laid_out(watch.model_copy(update={"heights": told}))
    found = {(key_text(c.key), c.allowed): c.advice for c in caught.value.complaints}
    # by hand: a rim of 0.055 × 17 = 0.935 mm about −1.5 reaches −1.03; the plate begins at −1.4
    assert "0.37 mm in the back plate" in found["heights.balance_mm", "a height clear of the back plate"]
    assert ("heights.dial_mm", "a dial in front of the minute pinion") in found


def test_a_wheel_that_rubs_the_plate_is_a_finding() -> None:
    """A wheel nearer to the front plate than its arbor's endshake is told of."""
    data = plated(**SOUND)
    data["arbors"][2]["wheel"]["height_mm"] = 48.0
    data["arbors"][2]["endshake_mm"] = 1.2
    data["arbors"][3]["pinion"]["thickness_mm"] = 2.0
    texts = [finding.text for finding in laid_out(Movement.model_validate(data)).elevation.findings]
    # 1.87 mm thick about 48 mm leaves 1.065 mm to the plate at 50 mm
    assert texts[0] == (
        "third wheel lies 1.1 mm from the front plate, less than its arbor's endshake, 1.2 mm: it rubs when the arbor slides "
        "forwards"
    )


def test_plates_too_near_for_usual_parts() -> None:
    """Estimated parts never refuse measured plates: where even slim ones find no room, that is said, and more room drawn."""
    data = plated()
    data["plates"]["between_mm"] = 3.0
    heights = laid_out(Movement.model_validate(data)).elevation
    assert [key_text(f.key) for f in heights.findings] == ["plates.between_mm"]
    assert heights.between_mm > 3.0 and "between" not in heights.measured


@pytest.mark.parametrize("slug", DEMO)
def test_storeys_are_in_the_order_of_heights(slug: str) -> None:
    """What drawings lay over what goes by height: of two wheels the one nearer the front has the higher storey."""
    going = demo(slug)
    wheels = [t for t in going.plan.toothings if t.wheel]
    for a, b in combinations(wheels, 2):
        za, zb = going.elevation[a.id].middle_mm, going.elevation[b.id].middle_mm
        assert (a.level < b.level) == (za < zb - 1e-9) or abs(za - zb) < 1e-9, (a.id, b.id)


@given(
    st.lists(st.integers(-130, 130), min_size=3, max_size=3),
    st.sampled_from(["weight", "open_spring", "going_barrel"]),
    st.booleans(),
)
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
def test_stand_ins_never_collide(turns: list[int], source: str, roomy: bool) -> None:
    """Whatever the layout: heights that nobody measured put no part into another or into a plate."""
    going = any_movement(turns, source, 90.0 if roomy else None)
    if going is not None:
        assert collisions(going) == []


SOURCES: dict[str, Data] = {
    "weight": {"kind": "weight", "arbor": "great", "turns": 16.0, "drum_diameter_mm": 40.0, "drum_length_mm": 30.0},
    "open_spring": {
        "kind": "open_spring", "arbor": "great", "turns": 6.0, "room_diameter_mm": 60.0, "arbor_diameter_mm": 9.0,
        "spring": {"thickness_mm": 0.4, "height_mm": 15.0, "length_mm": 2000.0},
    },
    "going_barrel": {
        "kind": "going_barrel", "arbor": "great", "turns": 6.0,
        "spring": {"thickness_mm": 0.4, "height_mm": 15.0, "length_mm": 2000.0},
        "barrel": {"inside_diameter_mm": 70.0, "arbor_diameter_mm": 20.0, "height_mm": 17.0},
        "ratchet": {"teeth": 40, "radius_mm": 18.0},
    },
    "fusee": {
        "kind": "fusee", "arbor": "great", "turns": 16.0, "large_diameter_mm": 30.0,
        "spring": {"thickness_mm": 0.4, "height_mm": 15.0, "length_mm": 2000.0},
        "barrel": {"inside_diameter_mm": 50.0, "arbor_diameter_mm": 15.0, "height_mm": 17.0},
        "line": {"kind": "chain", "thickness_mm": 2.0, "width_mm": 1.0},
    },
}  # fmt: skip


def any_movement(turns: list[int], source: str, between_mm: float | None = None, pendulum: bool = False) -> Going | None:
    """An eight-day train between plates, each mesh turned from the one before; None where the plan refuses it."""
    data = plated()
    directions = [sum(turns[: n + 1]) for n in range(len(turns))]
    data["motion_work"]["direction_deg"] = (directions[0] + 180) % 360
    data["source"] = SOURCES[source]
    if between_mm is None:
        del data["plates"]["between_mm"]
    else:
        data["plates"]["between_mm"] = between_mm
    for mesh, direction in zip(data["meshes"], directions, strict=True):
        mesh["direction_deg"] = direction % 360
    if pendulum:
        data["escapement"] = {
            "kind": "recoil_anchor", "arbor": "escape", "teeth": 30, "radius_mm": 12.0, "direction_deg": directions[-1] % 360,
        }  # fmt: skip
        data["oscillator"] = {
            "kind": "pendulum",
            "beats_per_hour": 3600,
            "rod": {"material": "steel", "length_mm": 1090.0, "diameter_mm": 4.0},
            "bob": {"shape": "lenticular", "material": "lead", "mass_g": 4200.0, "diameter_mm": 165.0},
            "suspension": {"thickness_mm": 0.15, "width_mm": 8.0, "length_mm": 14.0},
        }
    try:
        return laid_out(Movement.model_validate(data))
    except Refused:
        return None


RING, DISC = Ring((0.0, 0.0), 5.0, 3.0), Ring((1.0, 0.5), 1.5)
SQUARE = Outline(np.array([(4.0, -1.0), (6.0, -1.0), (6.0, 1.0), (4.0, 1.0)]))


@given(st.floats(-8, 8), st.floats(-8, 8), st.floats(0.1, 3.0))
@settings(deadline=None)
def test_overlap_agrees_with_shapely(x: float, y: float, radius: float) -> None:
    """Rings, outlines and plates overlap where shapely says so, away from touching."""
    moved = Ring((x, y), radius)
    for other in (RING, DISC, SQUARE, Sheet((Hole((0.0, 0.0), 4.0), Hole((3.0, 3.0), 1.0)))):
        if isinstance(other, Sheet):  # only what fits wholly into one hole is clear of a plate
            expected = min(4.0 - (x * x + y * y) ** 0.5 - radius, 10.0), 1.0 - ((x - 3) ** 2 + (y - 3) ** 2) ** 0.5 - radius
            assert over_by(moved, other) == pytest.approx(-max(expected))
            continue
        by, area = over_by(moved, other), shape(moved).intersection(shape(other)).area
        if abs(by) > 0.01:
            assert (by > 0) == (area > 1e-6), (other, by, area)


def test_nearest_and_inside() -> None:
    """By hand: a point beside a square, and one in it."""
    assert nearest_mm(SQUARE.points_mm, (3.0, 0.0)) == pytest.approx(1.0)
    assert nearest_mm(SQUARE.points_mm, (7.0, 2.0)) == pytest.approx(2**0.5)
    assert inside(SQUARE.points_mm, (5.0, 0.5)) and not inside(SQUARE.points_mm, (3.0, 0.0))
