"""Train and motion work in plan: what meshes is seen to mesh, and hands have room to go round."""

from __future__ import annotations

import math
import re

import pytest

from builder.drawing.balloons import RADIUS_PX
from builder.drawing.diagrams import motion_work, train_line, train_plan
from builder.drawing.sheet import Figure, Sheet
from builder.going.going import Going, going
from builder.going.placed import DIAL_SIDE
from builder.ground.words import FIGURE_SPACE
from builder.movement.model import Movement
from tests.movement_texts import movement_data
from tests.solved import demo, wording


def single_hand() -> Going:
    """A clock whose one hand stands far below the middle of its train (counts of the trade's simplest clocks, no source)."""
    work = {"kind": "hour_only", "on": "great", "dial_hours": 24, "pinion_leaves": 6, "hour_wheel_teeth": 36, "module_mm": 1.2}
    data = movement_data(
        [66, 50], [6, 5], 30, motion_work=work | {"direction_deg": 260}, modules_mm=[1.2, 1.1], directions_deg=[80, 100]
    )
    return going("single", Movement.model_validate(data))


def sheets(laid: Going) -> list[Sheet]:
    drawn = [draw(laid, wording()) for draw in (train_plan.front, train_plan.back, motion_work.draw)]
    return [plate.sheet for plate in drawn if plate is not None]


def ring_px(figure: Figure) -> float | None:
    """Radius of a gap; None for what is none."""
    if len(figure.shapes) != 1 or figure.shapes[0].classes != "gap":
        return None
    return float(re.findall(r"a([\d.]+)", figure.shapes[0].d)[0])


@pytest.mark.parametrize("slug", ["hall_clock", "pocket_watch", "schoolroom_dial"])
def test_no_gap_cuts_teeth_that_mesh(slug: str) -> None:
    """The gap of paper round a wheel is drawn before all that meshes with it, so both flanks are seen whole; and after every
    wheel beneath it, which it sets off."""
    laid = demo(slug)
    ids = {(part.arbor, part.part): part for part in laid.plan.toothings}
    for sheet in sheets(laid):
        at = {figure.part: n for n, figure in enumerate(sheet.figures) if figure.part and figure.classes != "balloon"}
        gaps = {(figure.at, round(radius, 1)): n for n, figure in enumerate(sheet.figures) if (radius := ring_px(figure))}
        seen = 0
        for pair in laid.train.pairs:
            sides = [ids[pair.driver, pair.driver_part], ids[pair.driven, pair.driven_part]]
            if not all(side.id in at for side in sides):
                continue
            for one, other in (sides, sides[::-1]):
                near = [n for (place, _), n in gaps.items() if place == sheet.figures[at[one.id]].at]
                own = [n for n in near if n < at[one.id]]
                if one.wheel:
                    seen += 1
                    assert max(own) < at[other.id]
        assert seen >= 2
        assert gaps and len(gaps) == sum(part.wheel for part in ids.values() if part.id in at)


@pytest.mark.parametrize("slug", ["hall_clock", "pocket_watch", "shelf_timepiece", "single"])
def test_hands_have_room(slug: str) -> None:
    """All the way round a hand stays within the drawing and clear of the balloons; it is as long as one would draw it."""
    laid = single_hand() if slug == "single" else demo(slug)
    plate = train_plan.front(laid, wording())
    left, top, width, height = plate.sheet.box
    balloons = [figure.inner[0].at for figure in plate.sheet.figures if figure.classes == "balloon"]
    hands = [figure for figure in plate.sheet.figures if (figure.part or "").endswith("-hand")]
    assert len(hands) == len(laid.train.hands) and balloons
    for hand in hands:
        reach = float(re.findall(r"L0 -([\d.]+)", hand.shapes[0].d)[0])
        x, y = hand.at
        assert left <= x - reach and x + reach <= left + width and top - 8 <= y - reach and y + reach <= top + height + 8
        assert all(math.dist(hand.at, spot) - reach > RADIUS_PX for spot in balloons)
        if hand.part == "minute-hand":
            assert reach > 0.2 * train_plan.SIDE_PX


def test_a_post_shows_in_the_minute_pinion() -> None:
    """Minute wheel and pinion turn on a post (common practice, no source): its end is seen within the pinion."""
    laid = demo("hall_clock")
    sheet = motion_work.draw(laid, wording()).sheet  # type: ignore[union-attr]
    pinion = next(part for part in laid.plan.toothings if part.id == "minute-pinion")
    at = next(figure.at for figure in sheet.figures if figure.part == "minute-pinion")
    posts = [f for f in sheet.figures if f.part is None and f.at == at and f.shapes[0].classes == "steel arbor"]
    assert len(posts) == 1
    assert laid.plan.arbor_mm[pinion.arbor] < pinion.gear.root_mm
    assert {part.level >= DIAL_SIDE for part in laid.plan.toothings if part.id.startswith("minute")} == {True}


def test_the_table_stands_in_line() -> None:
    """Ones under ones in every column of figures, no line ends behind a figure, and a sentence has the room of the rest."""
    plate = train_plan.front(demo("pocket_watch"), wording())
    laid = plate.laid()
    turns = plate.columns.index("turns")
    lines = {row.part: [cell.text for cell in cells] for row, cells in laid}
    assert lines["third-wheel"][turns].lstrip(FIGURE_SPACE) == "8"
    assert len(lines["third-wheel"][turns]) == len(lines["escape-wheel"][turns]) == 3
    assert lines["barrel-wheel"][turns] == 3 * FIGURE_SPACE + "2/13"
    assert {" " in text for part, cells in lines.items() if part.endswith(("wheel", "pinion")) for text in cells} == {False}
    spans = {row.part: [cell.columns for cell in cells] for row, cells in laid}
    assert spans["balance"] == [1, 3] and spans["third-wheel"] == [1, 1, 1, 1]


def test_arrows_say_which_way_each_arbor_turns() -> None:
    """In the line of arbors an arrow beside each disc goes the way of its arbor: by turns, as each mesh turns the sense round."""
    laid = demo("pocket_watch")
    drawn = [f.shapes[0].d for f in train_line.draw(laid, wording()).sheet.figures if f.shapes]
    sweeps = [found[1] for d in drawn if (found := re.search(r"A[\d.]+ [\d.]+ 0 0 ([01])", d))]
    clockwise = [laid.train[name].clockwise for name in laid.train.path]
    assert [flag == "1" for flag in sweeps] == clockwise
    assert clockwise == [False, True, False, True, False]
