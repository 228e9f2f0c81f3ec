"""Drawings to write on: circles that touch as pitch circles do, numbers and names at their parts."""

from __future__ import annotations

import re
from itertools import combinations, pairwise

import pytest
from shapely.geometry import LineString

from builder.drawing.circles import circles
from builder.drawing.diagrams import train_plan
from builder.drawing.handout import named, renumbered, retold
from builder.drawing.sheet import Figure, Sheet
from tests.solved import demo, wording

SLUGS = ("hall_clock", "pocket_watch")


def arbors(sheet: Sheet) -> list[tuple[tuple[float, float], list[float]]]:
    """(place, radii) of each arbor, from the drawn paths alone: a circle is two arcs of its radius."""
    found = []
    for figure in sheet.figures:
        radii = [float(r) for shape in figure.shapes for r in re.findall(r"^M[^a]*a([\d.]+) ", shape.d)]
        if radii and not figure.classes:
            found.append((figure.at, radii))
    return found


@pytest.mark.parametrize("slug", SLUGS)
@pytest.mark.parametrize("back", [False, True])
def test_pitch_circles_touch(slug: str, back: bool) -> None:
    """Wheel and pinion of each mesh roll on one another: their centres lie as far apart as both radii come to (ISO 1122-1)."""
    going = demo(slug)
    placed = arbors(circles(going, "t", "d", back, ()))
    assert len(placed) == len(going.train.path)
    for ((x0, y0), driver), ((x1, y1), driven) in pairwise(placed):
        apart = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
        # The wheel is the driver's largest circle, the pinion the smallest on the next arbor. Radii are drawn to a tenth.
        assert apart == pytest.approx(max(driver) + min(driven), abs=0.2)


def test_from_behind_left_is_right() -> None:
    """Seen from behind the drawing is the mirror image of that from the front."""
    going = demo("pocket_watch")
    front, behind = (arbors(circles(going, "t", "d", back, ())) for back in (False, True))
    assert [(-x, y, *radii) for (x, y), radii in front] == [(*at, *radii) for at, radii in behind]


def balloons(sheet: Sheet) -> list[Figure]:
    return [figure for figure in sheet.figures if figure.classes == "balloon"]


@pytest.mark.parametrize("slug", SLUGS)
def test_names_stand_outside_each_at_its_balloon(slug: str) -> None:
    """In the widened box beside what was there, on one height with their numbers, none over another; leaders do not cross."""
    plate = train_plan.front(demo(slug), wording())
    numbers = {row.part: 10 + row.number for row in plate.rows}
    sheet = named(renumbered(retold(plate.sheet, "s", "t", "d"), numbers), {row.part: row.name for row in plate.rows})
    left, _, width, _ = plate.sheet.box
    heights: dict[str, list[float]] = {"end": [], "start": []}
    leaders = []
    for figure in balloons(sheet):
        (disc,), (name,) = figure.inner, figure.words
        assert int(disc.words[0].text) == numbers[figure.part or ""]
        assert name.y == disc.at[1] and (name.x < disc.at[0]) == (name.anchor == "end") == (disc.at[0] < left + width / 2)
        heights[name.anchor].append(name.y)
        ends = [float(v) for v in re.findall(r"-?[\d.]+", figure.shapes[0].d)]
        leaders.append(LineString([ends[:2], (ends[0] + ends[2], ends[1] + ends[3])]))
    for side in heights.values():
        assert all(b - a >= 24 for a, b in pairwise(sorted(side))), "a line of print apart"
    assert not any(one.crosses(other) for one, other in combinations(leaders, 2))
    assert sheet.box[0] < left and sheet.box[2] > width and not sheet.moves()


def test_without_numbers_a_name_stands_for_the_balloon() -> None:
    """The disc is gone, the leader stays."""
    plate = train_plan.front(demo("hall_clock"), wording())
    bare = named(plate.sheet, {row.part: row.name for row in plate.rows}, numbers=False)
    assert all(not figure.inner and figure.shapes and figure.words for figure in balloons(bare))
