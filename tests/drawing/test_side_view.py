"""Side view, stack and step-by-step drawings: true distances and heights, balloons that stay clear, steps in order."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations, pairwise

import numpy as np
import pytest
from shapely import LineString, Point

from builder.build import solve
from builder.drawing.diagrams import side_view, stack, taking_down
from builder.drawing.sheet import Sheet
from builder.drawing.table import Plate
from builder.drawing.unrolled import unrolled
from builder.going.axes import Laid
from builder.going.going import Going
from builder.going.pieces import pieces
from builder.going.pivots import pivots
from builder.going.taking_down import taking_down as work_of
from builder.ground.wording import Wording
from builder.movement.model import Movement
from builder.movement.reading import opened
from tests.drawing.drawn import figures, numbers
from tests.going.solid_shapes import DEMO, ROOT, demo

MODELS = ROOT / "tests" / "models"
WORDING = Wording.load(ROOT / "templates" / "wording" / "en")
PX = 0.11
"""Coordinates in sections are rounded to a tenth of a px."""


def plate_of(draw, slug: str) -> Plate:  # type: ignore[no-untyped-def]
    found = draw(demo(slug), WORDING)
    assert found is not None
    return found


def laid(going: Going) -> Laid:
    assert going.movement.plates is not None
    return Laid(going, going.movement.plates)


def shapes_of(sheet: Sheet, part: str, classes: str = "") -> list[np.ndarray]:
    """Corner points (x, y) of every shape of a part whose classes hold a word; a wheel's collet is looked at by itself."""
    found = []

    def said(words: str) -> bool:
        return classes in words and "detail" not in words and ("collet" in words) == (classes == "collet")

    for figure, _ in figures(sheet):
        if figure.part == part and figure.classes != "balloon":
            found += [corners(shape.d) for shape in figure.shapes if said(shape.classes)]
    return [points for points in found if len(points)]


def corners(d: str) -> np.ndarray:
    """Absolute corners of paths made of M, H, V and L."""
    points, x, y = [], 0.0, 0.0
    for letter, rest in re.findall(r"([MHVLz])([^MHVLz]*)", d):
        values = numbers(rest)
        if letter in "ML" and len(values) >= 2:
            x, y = values[-2:]
        elif letter == "H":
            x = values[0]
        elif letter == "V":
            y = values[0]
        points.append((float(x), float(y)))
    return np.array(points)


def extent(sheet: Sheet, part: str, classes: str = "") -> tuple[float, float, float, float]:
    """Left, right, top, bottom of a part as drawn."""
    points = np.concatenate(shapes_of(sheet, part, classes))
    return points[:, 0].min(), points[:, 0].max(), points[:, 1].min(), points[:, 1].max()


@pytest.mark.parametrize("slug", DEMO)
def test_heights_are_drawn_as_they_are(slug: str) -> None:
    """Every wheel and pinion lies where its height says, as thick as it is, the front to the left."""
    going, sheet = demo(slug), plate_of(side_view.draw, slug).sheet
    view = unrolled(laid(going), pieces(laid(going)))
    for toothing in going.plan.toothings:
        _left, _right, top, bottom = extent(sheet, toothing.id, "toothed" if toothing.wheel and toothing.arms else "")
        span = going.elevation[toothing.id]
        per_mm = view.scale * view.raised
        whole = extent(sheet, toothing.id)
        if toothing.id not in ("hour-wheel", "cannon-pinion", "barrel-wheel"):  # these have pipes or walls besides
            assert whole[0] == pytest.approx(-span.high_mm * per_mm, abs=PX), toothing.id
            assert whole[1] == pytest.approx(-span.low_mm * per_mm, abs=PX), toothing.id
        assert bottom - top == pytest.approx(2 * toothing.gear.tip_mm * view.scale, abs=2 * PX) or toothing.id == "barrel-wheel"


@pytest.mark.parametrize("slug", DEMO)
def test_arbors_stand_at_their_true_distances(slug: str) -> None:
    """From arbor to arbor the drawing measures what the plan measures, from the source to the balance or pallets."""
    going, sheet = demo(slug), plate_of(side_view.draw, slug).sheet
    scale = unrolled(laid(going), pieces(laid(going))).scale
    line = [*going.train.path, *(name for name in ("pallets", "balance") if name in going.plan.centres)]
    middle = {}
    for name in line:
        part = {"pallets": "pallet-arbor", "balance": "balance-staff"}.get(name, f"{name}-arbor")
        _, _, top, bottom = extent(sheet, part)
        middle[name] = (top + bottom) / 2
    for a, b in pairwise(line):
        apart = float(np.hypot(*(np.array(going.plan.centres[a]) - going.plan.centres[b])))
        assert middle[a] - middle[b] == pytest.approx(apart * scale, abs=2 * PX)


@pytest.mark.parametrize("slug", DEMO)
def test_endshake_is_drawn(slug: str) -> None:
    """Between an arbor's front shoulder and the front plate there is its endshake, and nothing at the back."""
    going, sheet = demo(slug), plate_of(side_view.draw, slug).sheet
    view = unrolled(laid(going), pieces(laid(going)))
    plate_edge = extent(sheet, "front-plate", "section")[1]
    for arbor in going.train.path[1:]:
        bodies = list(shapes_of(sheet, f"{arbor}-arbor"))
        thickest = max(bodies, key=lambda points: points[:, 1].max() - points[:, 1].min())
        play = thickest[:, 0].min() - plate_edge
        assert play == pytest.approx(going.elevation.endshake_mm[arbor] * view.scale * view.raised, abs=2 * PX)
        assert thickest[:, 0].max() == pytest.approx(0.0, abs=PX)


@pytest.mark.parametrize("slug", DEMO)
def test_wheels_have_collets_or_sit_on_their_pinions(slug: str) -> None:
    """A wheel that stands away from its pinion has a collet against one face, thicker than the arbor; others have none; the
    first wheel, loose on its arbor or cut on its barrel, has none (common practice, no source)."""
    going, sheet = demo(slug), plate_of(side_view.draw, slug).sheet
    per_mm = unrolled(laid(going), pieces(laid(going))).scale * unrolled(laid(going), pieces(laid(going))).raised
    seen = 0
    for arbor in going.train.path[1:-1]:
        wheel, pinion = going.elevation[f"{arbor}-wheel"], going.elevation[f"{arbor}-pinion"]
        apart = max(wheel.low_mm - pinion.high_mm, pinion.low_mm - wheel.high_mm)
        found = shapes_of(sheet, f"{arbor}-wheel", "collet")
        if slug == "shelf_timepiece" and arbor == "centre":
            assert not found  # it slips between bush and washer
            continue
        assert bool(found) == (apart > 0.6 * wheel.thickness_mm), arbor
        if found:
            left, right, *_ = extent(sheet, f"{arbor}-wheel", "collet")
            assert min(abs(left + wheel.low_mm * per_mm), abs(right + wheel.high_mm * per_mm)) < PX
            seen += 1
    assert seen
    assert not shapes_of(sheet, f"{going.train.path[0]}-wheel", "collet")


@pytest.mark.parametrize("slug", DEMO)
def test_pivots_are_short_and_stand_in_their_sinks(slug: str) -> None:
    """No pivot in a plate is longer than three times its thickness, nor through the plate (common practice, no source); where
    it is thin against the plate a sink is drawn that its end stands in."""
    going = demo(slug)
    for plate in ("front-plate", "back-plate"):
        for _, radius, end in pivots(laid(going), plate):
            into = end - going.elevation.between_mm if plate == "front-plate" else -end
            if into < going.elevation.plate_mm:
                assert 0 < into <= min(6 * radius, going.elevation.plate_mm) + 1e-9
    sinks = shapes_of(plate_of(side_view.draw, slug).sheet, "back-plate", "sink")
    assert len(sinks) == 1


@pytest.mark.parametrize("slug", DEMO)
def test_pillars_pass_through_and_are_held_outside(slug: str) -> None:
    """A pillar's end passes through the loose plate; a pin across it, or in a watch a screw's head, lies outside that plate."""
    going, sheet = demo(slug), plate_of(side_view.draw, slug).sheet
    view = unrolled(laid(going), pieces(laid(going)))
    per_mm = view.scale * view.raised
    left, right, _, _ = extent(sheet, "pillars")
    pins = extent(sheet, "pillar-pins")
    if going.movement.movement.sort == "watch":
        assert pins[1] > going.elevation.plate_mm * per_mm + PX  # its heads stand behind the back plate
    else:
        assert left < -going.elevation.front_mm * per_mm - PX  # the front plate comes off
        assert pins[1] == pytest.approx(-going.elevation.front_mm * per_mm, abs=PX)
        assert left < pins[0]
        assert right == pytest.approx(going.elevation.plate_mm * per_mm, abs=PX)  # riveted flush


def balloons(sheet: Sheet) -> list[tuple[str, LineString, Point]]:
    """(part, leader, middle of the disc) of every balloon."""
    found = []
    for figure, holders in figures(sheet):
        if figure.classes == "balloon":
            dx = sum(each.at[0] for each in holders)
            dy = sum(each.at[1] for each in holders)
            a, b, c, d = np.cumsum(numbers(figure.shapes[0].d).reshape(2, 2), axis=0).ravel()
            disc = figure.inner[0].at
            found.append((figure.part, LineString([(a + dx, b + dy), (c + dx, d + dy)]), Point(disc[0] + dx, disc[1] + dy)))
    return found


@pytest.mark.parametrize("slug", DEMO)
@pytest.mark.parametrize("draw", [side_view.draw, stack.draw])
def test_balloons_stay_clear(draw, slug: str) -> None:  # type: ignore[no-untyped-def]
    """One balloon a row of the table; discs lie apart and beside the drawing; leaders of a side do not cross."""
    plate = plate_of(draw, slug)
    found = balloons(plate.sheet)
    assert sorted(part for part, _, _ in found) == sorted(row.part for row in plate.rows)
    assert [row.number for row in plate.rows] == list(range(1, len(plate.rows) + 1))
    for (_, first, a), (_, second, b) in combinations(found, 2):
        assert a.distance(b) >= 30.0  # two discs of 15 px
        if abs(a.x - b.x) < 1:
            assert not first.crosses(second)
    left, _, width, _ = plate.sheet.box
    for _, _, disc in found:
        assert left + 15 < disc.x < left + width - 15


def test_leaders_that_cross_are_seen() -> None:
    """Negative control of the crossing test."""
    assert LineString([(0, 0), (2, 2)]).crosses(LineString([(0, 2), (2, 0)]))


@pytest.mark.parametrize("slug", DEMO)
def test_flat_movements_say_so(slug: str) -> None:
    """Where heights are drawn larger than distances, the description says by how much; a clock's are not."""
    going = demo(slug)
    raised = unrolled(laid(going), pieces(laid(going))).raised
    desc = plate_of(side_view.draw, slug).sheet.desc
    assert (raised > 1) == (going.movement.movement.sort == "watch")
    assert (f"drawn {raised} times" in desc) == (raised > 1)


@pytest.mark.parametrize("slug", DEMO)
def test_the_stack_comes_apart_in_order(slug: str) -> None:
    """Drawn apart no two parts overlap along the axis; the foremost leaves first; in place each lies at its own height."""
    going, plate = demo(slug), plate_of(stack.draw, slug)
    items = [figure for figure in plate.sheet.figures if figure.classes == "item"]
    bands = []
    for item in items:
        boxes = [corners(s.d) for figure in item.inner[0].inner for s in figure.shapes if "hatching" not in s.classes]
        xs = np.concatenate([box[:, 0] for box in boxes if len(box)])
        bands.append((xs.min() + item.at[1], xs.max() + item.at[1], item))  # turned by 90°: x runs down the page
    bands.sort(key=lambda band: band[0])
    for (_, bottom, _), (top, _, _) in pairwise(bands):
        assert top - bottom >= stack.GAP_PX - 1
    steps = [int(dict(item.data)["step"]) for _, _, item in bands if item.data]
    assert steps == sorted(steps) == list(range(1, len(steps) + 1))
    for _, _, item in bands:
        away = dict(item.data).get("away", "0 0").split()
        assert (float(away[0]), float(away[1])) == pytest.approx(item.at, abs=0.01)
    order = [item.inner[0].inner[0].part for _, _, item in bands]
    assert order.index("minute-hand") < order.index("hour-hand") < order.index("hour-wheel") < order.index("cannon-pinion")
    assert order[-1] == "back-plate"
    assert going.elevation["minute-hand"].low_mm > going.elevation["hour-hand"].low_mm


@pytest.mark.parametrize("slug", DEMO)
def test_every_step_is_in_the_section(slug: str) -> None:
    """Each step has a place that an address can name; groups follow from the last step to the first, so that such an address
    hides what has left; a part leaves in its own direction."""
    work = work_of(demo(slug))
    assert work is not None
    sheet = plate_of(taking_down.side, slug).sheet
    marks = [figure.mark for figure in sheet.figures if figure.mark]
    assert sorted(marks) == sorted(f"step-{n}" for n in range(1, len(work.steps) + 1))
    main = [figure for figure in sheet.figures if figure.classes == "piece"]
    numbers_ = [int(dict(figure.data)["step"]) for figure in main]
    assert numbers_ == sorted(numbers_, reverse=True)
    way = {"front": (-1, 0), "back": (1, 0), "aside": (0, -1), "down": (0, 1)}
    for figure, n in zip(main, numbers_, strict=True):
        dx, dy = (float(each) for each in dict(figure.data)["away"].split())
        assert (np.sign(dx), np.sign(dy)) == way[work.steps[n - 1].pieces[0].way]
        before = sheet.figures[sheet.figures.index(figure) - 1]
        assert before.mark == f"step-{n}"


@pytest.mark.parametrize("slug", DEMO)
def test_plans_hide_what_lies_below(slug: str) -> None:
    """In plan, of two pieces the one that leaves later never covers the one that leaves before it and overlaps it: the order of
    drawing is that of heights, as one sees it on the bench."""
    going = demo(slug)
    for draw in (taking_down.front, taking_down.back, taking_down.dial):
        plate = draw(going, WORDING)
        if plate is None:
            continue
        plates = [
            (n, int(dict(figure.data)["step"]))
            for n, figure in enumerate(plate.sheet.figures)
            if figure.data and figure.inner[0].part in ("front-plate", "back-plate")
        ]
        wheels = [
            (n, int(dict(figure.data)["step"]))
            for n, figure in enumerate(plate.sheet.figures)
            if figure.data and figure.inner[0].part.endswith("-wheel")  # type: ignore[union-attr]
        ]
        for at, step in plates:
            for where, when in wheels:
                assert (where > at) == (when < step)


def test_parts_are_named() -> None:
    """Every row of every table has a name of its own that is no id."""
    for slug in DEMO:
        for draw in (side_view.draw, stack.draw):
            for row in plate_of(draw, slug).rows:
                assert row.name[0].isupper() and "-" not in row.name.replace("Set-up", "") and "_" not in row.name


def test_nothing_is_drawn_without_plates() -> None:
    """A movement without plates has no side view, no stack and no steps."""
    going = demo("hall_clock")
    bare = replace(going, movement=going.movement.model_copy(update={"plates": None}))
    for draw in (side_view.draw, stack.draw, taking_down.side, taking_down.front, taking_down.back, taking_down.dial):
        assert draw(bare, WORDING) is None


def test_a_cylinder_has_no_pallet_arbor() -> None:
    """The balance's own staff is the cylinder: no second arbor is drawn or taken out, and the shell goes with the balance."""
    going = solve("cylinder_watch", opened(MODELS / "cylinder_watch" / "movement.toml", Movement, MODELS))
    plate = side_view.draw(going, WORDING)
    assert plate is not None
    drawn = {figure.part for figure, _ in figures(plate.sheet)}
    assert "pallet-arbor" not in drawn
    assert {"pallets", "balance-staff"} <= drawn
    carried = [piece.id for piece in pieces(laid(going)).off if any(solid.part == "pallets" for solid in piece.solids)]
    assert carried == ["balance"]
