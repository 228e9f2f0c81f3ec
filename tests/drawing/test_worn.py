"""New and worn side by side: what is drawn touches and does not overlap, and differs by the wear that was asked (by shapely)."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from shapely.affinity import translate
from shapely.geometry import LineString, Point, Polygon

from builder.drawing.sheet import Sheet
from builder.drawing.worn import hole, mesh, pallet, spring
from builder.drawing.worn.mesh import Met
from builder.drawing.worn.pair import HEIGHT_PX, WIDTH_PX, Pair
from builder.drawing.worn.pictures import of_mesh
from builder.parts.finding.condition import Hurt, PalletWear
from builder.parts.teeth.wear import worn as pitted
from tests.drawing.drawn import NUMBER
from tests.solved import demo, wording

WINDOW = Polygon([(sx * WIDTH_PX / 2, sy * HEIGHT_PX / 2) for sx, sy in ((-1, -1), (1, -1), (1, 1), (-1, 1))])
GRAIN_PX2 = 2.0
"""Overlap that rounding to a tenth of a px makes along a flank."""


def outline(d: str) -> np.ndarray:
    """A path of one relative polyline as points (N, 2)."""
    start, _, rest = d.removeprefix("M").rstrip("z").partition("l")
    first = np.array([float(n) for n in NUMBER.findall(start)])
    steps = np.array([float(n) for n in NUMBER.findall(rest)]).reshape(-1, 2)
    return first + np.concatenate([[[0.0, 0.0]], np.cumsum(steps, axis=0)])


def bodies(sheet: Sheet, part: str) -> list[Polygon]:
    """What is in sight of a part."""
    found = [Polygon(outline(shape.d)).buffer(0) for figure in sheet.figures if figure.part == part for shape in figure.shapes]
    assert all(body.area > 0 for body in found)
    return [body.intersection(WINDOW) for body in found]


def spot(sheet: Sheet) -> Point:
    """The marked point of touch."""
    d = next(shape.d for figure in sheet.figures for shape in figure.shapes if shape.classes == "spot")
    x, y, r = (float(n) for n in NUMBER.findall(d)[:3])
    return Point(x + r, y)


def mesh_pair(kind: str) -> Pair:
    """The shelf timepiece's centre wheel and third pinion in one sort of wear."""
    one = next(s for s in demo("shelf_timepiece").plan.sized if (s.pair.driver, s.pair.driven) == ("centre", "third"))
    new = Met(one.gears, 0.15)
    names = ("third pinion", "centre-wheel", "third-pinion")
    gear = one.gears.driven
    worn, hurt = new, None
    if kind == "apart":
        worn = Met(one.gears, 0.15, 0.2)
    elif kind == "leaves":
        worn = Met(replace(one.gears, driven=pitted(gear, 0.05, gear.root_mm + 0.3, gear.pitch_mm)), 0.15)
    elif kind == "bent":
        hurt = (Hurt("centre", "wheel", "bent", 0.15), "driver")
    elif kind == "leaf":
        hurt = (Hurt("third", "pinion", "bent", -0.15), "driven")
    what = {"apart": "apart", "leaves": "leaves"}.get(kind, "tooth")
    return mesh.draw(kind, what, names, new, worn, wording(), hurt)  # type: ignore[arg-type]


@pytest.mark.parametrize("kind", ["apart", "leaves", "bent", "leaf"])
def test_teeth_touch_and_do_not_overlap(kind: str) -> None:
    """New and worn: wheel and pinion share no area but for rounding, and are in touch; a pixel nearer they overlap."""
    pair = mesh_pair(kind)
    for sheet in (pair.new, pair.worn):
        (wheel,), (pinion,) = bodies(sheet, "centre-wheel"), bodies(sheet, "third-pinion")
        assert wheel.intersection(pinion).area < GRAIN_PX2
        assert wheel.distance(pinion) < 0.2
        nearer = max(wheel.intersection(translate(pinion, dx, dy)).area for dx, dy in ((-2, 0), (0, 2), (0, -2)))
        assert nearer > 10 * GRAIN_PX2, "the test would find an overlap"


@pytest.mark.parametrize("kind", ["apart", "leaves"])
def test_the_point_of_touch_lies_on_both(kind: str) -> None:
    """Where the mark is, both flanks are."""
    pair = mesh_pair(kind)
    for sheet in (pair.new, pair.worn):
        for part in ("centre-wheel", "third-pinion"):
            (body,) = bodies(sheet, part)
            assert body.exterior.distance(spot(sheet)) < 0.3


def test_a_bent_tooth_pushes_its_mate_on() -> None:
    """By about as much, along the pitch circle, as it is bent; a leaf bent back lets the wheel reach it as much too early."""
    one = next(s for s in demo("shelf_timepiece").plan.sized if (s.pair.driver, s.pair.driven) == ("centre", "third"))
    met = Met(one.gears, 0.15)
    turn, _ = met.stood(0.0)
    for hurt, side in ((Hurt("centre", "wheel", "bent", 0.15), "driver"), (Hurt("third", "pinion", "bent", -0.15), "driven")):
        of = {"driver": None, "driven": None, side: hurt}
        pushed = mesh._pushed_rad(met, 0.0, turn, of)  # type: ignore[arg-type]
        assert 0.05 < pushed * one.gears.driven.pitch_mm < 0.3
        back = {"driver": None, "driven": None, side: replace(hurt, by_mm=-hurt.by_mm)}
        assert mesh._pushed_rad(met, 0.0, turn, back) == pytest.approx(0.0, abs=1e-3)  # type: ignore[arg-type]


WEAR = [
    ("hall_clock", PalletWear("entry", "impulse face", 0.15)),
    ("shop_regulator", PalletWear("exit", "locking face", 0.1)),
    ("pocket_watch", PalletWear("entry", "impulse face", 0.02)),
    ("shelf_timepiece", PalletWear("entry", "pin", 0.05)),
]


@pytest.mark.parametrize(("slug", "wear"), WEAR, ids=[slug for slug, _ in WEAR])
def test_a_worn_pallet_is_as_deep_as_asked_and_the_tooth_lies_in_it(slug: str, wear: PalletWear) -> None:
    """The hollow reaches as far from the face as was measured; the tooth touches it without entering it."""
    escapement = demo(slug).movement.escapement
    pair = pallet.draw("p", "pallet", escapement.draft(), escapement.action(), wear, wording())  # type: ignore[union-attr]
    assert pair is not None
    new, worn = bodies(pair.new, "pallets"), bodies(pair.worn, "pallets")
    lost = [before.difference(after) for before, after in zip(new, worn, strict=True)]
    deep = max(lost, key=lambda each: each.area)
    before = new[lost.index(deep)]
    rule = next(figure for figure in pair.new.figures if figure.words)
    long_px = outline_width(rule.shapes[1].d)
    px_per_mm = long_px / float(rule.words[0].text.split()[0])
    reached = max(before.exterior.distance(Point(point)) for part in polygons(deep) for point in part.exterior.coords)
    assert reached == pytest.approx(wear.depth_mm * px_per_mm, rel=0.05)
    (wheel,) = bodies(pair.worn, "escape-wheel")
    assert sum(wheel.intersection(body).area for body in worn) < GRAIN_PX2
    assert min(wheel.distance(body) for body in worn) < 0.3
    assert sum(wheel.intersection(body).area for body in new) > 5 * GRAIN_PX2, "it lies where the good face was"


def outline_width(d: str) -> float:
    """How long the rule is: M x y v… m… H x."""
    x = float(NUMBER.findall(d)[0])
    end = float(d.partition("H")[2].split("m")[0])
    return end - x


def polygons(shape: object) -> list[Polygon]:
    """The pieces of a shape."""
    return [shape] if isinstance(shape, Polygon) else list(shape.geoms)  # type: ignore[attr-defined]


def test_no_face_no_drawing() -> None:
    """A face that no tooth comes to is not drawn."""
    escapement = demo("hall_clock").movement.escapement
    wear = PalletWear("entry", "pin of another kind", 0.1)
    assert pallet.draw("p", "pallet", escapement.draft(), escapement.action(), wear, wording()) is None  # type: ignore[union-attr]


def test_a_worn_hole_is_what_the_round_one_sweeps() -> None:
    """Its area is that of the circle and a rectangle (π r² + 2 r s), and the pivot lies inside it, touching its end."""
    pair = hole.draw("h", "third", 0.5, 0.2, 30.0, wording())
    plate = next(figure for figure in pair.worn.figures if figure.part == "plates")
    oval = Polygon(outline(plate.shapes[1].d))
    scale = HEIGHT_PX / max(hole.AROUND * 0.5, 3.4 * 0.5 + 2.2 * 0.2)
    radius, by = 0.5 * hole.FREEDOM * scale, (0.2 - 0.5 * (hole.FREEDOM - 1)) * scale
    assert oval.area == pytest.approx(np.pi * radius**2 + 2 * radius * by, rel=2e-3)
    angle = np.radians(30)
    pivot = Point(0.2 * scale * np.cos(angle), -0.2 * scale * np.sin(angle)).buffer(0.5 * scale, 64)
    assert pivot.difference(oval).area < GRAIN_PX2
    assert oval.exterior.distance(pivot) < 0.2


def test_the_tired_spring_is_as_long_as_the_good_one() -> None:
    """Both are drawn with the strip's own length; the tired one lies in so many coils more."""
    housed = demo("shelf_timepiece").movement.source.mainspring.housed  # type: ignore[union-attr]
    assert housed is not None
    pair = spring.draw("s", "mainspring", housed, 3.0, wording())
    lines = [outline(next(f for f in sheet.figures if f.part == "mainspring").shapes[0].d) for sheet in (pair.new, pair.worn)]
    lengths = [LineString(line).length for line in lines]
    assert lengths[0] == pytest.approx(lengths[1], rel=0.02)
    turns = [np.ptp(np.unwrap(np.arctan2(line[:, 1], line[:, 0]))) / (2 * np.pi) for line in lines]
    assert turns[1] - turns[0] == pytest.approx(3.0, abs=0.05)


@pytest.mark.parametrize(("slug", "driven", "by_mm"), [("hall_clock", "escape", 0.031), ("shelf_timepiece", "third", 0.17)])
def test_a_mesh_is_called_worse_only_where_it_is(slug: str, driven: str, by_mm: float) -> None:
    """The words beside a mesh with its centres apart follow its figures: it loses more, or no more than before."""
    going = demo(slug)
    one = next(each for each in going.plan.sized if each.pair.driven == driven)
    picture = of_mesh(going, replace(one, too_far_mm=by_mm), "apart", "mesh", wording())
    assert picture is not None
    worse = any(float(picture.facts[f"{what}_worn"]) < float(picture.facts[f"{what}_new"]) for what in ("passes", "least"))
    assert (picture.what == "apart") == worse
    assert worse == (slug == "shelf_timepiece")
