"""Worksheets: every blank of them worked out a second time from the counts of the file, and nothing on them given away."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from builder.drawing.diagrams import motion_work, train_plan
from builder.drawing.sheet import Sheet
from builder.going.going import going
from builder.lessons.questions import questions
from builder.lessons.task import Grid, Names, Picture, Ranks, Setter, Squares, Task, steps, to_write
from builder.lessons.tasks import TASKS
from builder.lessons.worksheet import Worksheet, worksheet
from tests.lessons.asked import asked, plates, raw, solved
from tests.lessons.recomputed import THIN, Counted, hours, number
from tests.lessons.test_odd_movements import eight_day, hour_hand_alone, one_mesh, without_hands
from tests.movement_texts import read_movement
from tests.solved import wording

MOVEMENTS = ("hall_clock", "pocket_watch")
VARIANTS = range(1, 9)


def made(slug: str, variant: int) -> Worksheet:
    return worksheet(solved(slug), plates(slug), wording(), asked(slug), variant)


def task(sheet: Worksheet, kind: str) -> Task:
    return next(task for task in sheet.tasks if task.kind == kind)


def space(of: Task, sort: type) -> Any:
    return next(space for space in of.spaces if isinstance(space, sort))


@pytest.mark.parametrize("slug", MOVEMENTS)
def test_a_variant_is_always_the_same_and_another_asks_otherwise(slug: str) -> None:
    """Same variant, same sheet to the letter; the next one has other numbers in the drawing and mostly other questions."""
    for variant in VARIANTS:
        first, again, other = made(slug, variant), made(slug, variant), made(slug, variant + 1)
        assert first == again
        assert space(task(first, "label"), Names) != space(task(other, "label"), Names)
        assert sum(one not in first.tasks for one in other.tasks) >= 6, "of ten tasks"


@pytest.mark.parametrize("slug", MOVEMENTS)
def test_every_kind_of_task_is_set(slug: str) -> None:
    """Drawings to label and to draw on, a table to fill, sums, words to write: one of each kind, three sums, no choosing."""
    for variant in VARIANTS:
        sheet = made(slug, variant)
        assert len(sheet.tasks) == len(TASKS) + 2
        assert sheet.points == sum(task.points for task in sheet.tasks) > 30
        assert all(task.working or task.kind == "label" for task in sheet.tasks), "every answer has its reasoning"


@pytest.mark.parametrize("slug", MOVEMENTS)
def test_the_count_up_is_that_of_the_file(slug: str) -> None:
    """Every cell, given or blank, as the file's counts have it; and the lost count follows from what is given alone."""
    counted = Counted(raw(slug))
    for variant in VARIANTS:
        sheet = made(slug, variant)
        rows = space(task(sheet, "count_up"), Grid).rows
        for arbor, (_, teeth, leaves, ratio, turns, period) in zip(counted.path, rows, strict=True):
            assert teeth.text == str(counted.teeth.get(arbor, counted.escape_teeth))
            assert leaves.text == str(counted.leaves.get(arbor, ""))
            assert number(turns.text) == counted.turns_per_hour(arbor)
            assert hours(period.text) == 1 / counted.turns_per_hour(arbor)
            if arbor != counted.path[0]:
                before = counted.path[counted.path.index(arbor) - 1]
                assert number(ratio.text) == counted.ratio(before, arbor)
        lost = [(row, column) for row, cells in enumerate(rows) for column in (1, 2) if not cells[column].given]
        assert len(lost) == 1 and not any(cell.given for row in rows[1:] for cell in row[3:])
        assert found_from_the_beat(rows, lost[0], counted.path.index(counted.hand), counted.beats_per_hour) == int(
            rows[lost[0][0]][lost[0][1]].text
        )
        assert task(sheet, "count_up").points == sum(not cell.given for row in rows for cell in row)


def found_from_the_beat(rows: Any, lost: tuple[int, int], hand: int, beats_per_hour: Fraction) -> Fraction:
    """As a pupil does it: turns of the escape wheel from the beat and its teeth, divided by the meshes that are known."""
    row, column = lost
    wanted = beats_per_hour / 2 / int(rows[-1][1].text)
    mesh = row if column == 1 else row - 1
    for n in range(hand, len(rows) - 1):
        if n != mesh:
            wanted /= Fraction(int(rows[n][1].text), int(rows[n + 1][2].text))
    return wanted * int(rows[mesh + 1][2].text) if column == 1 else Fraction(int(rows[mesh][1].text)) / wanted


EQUATION = re.compile(rf"^(?P<left>[\d/ {THIN}×÷()]+) = (?P<right>[\d/ {THIN}]+?)(?P<unit>{THIN}(?:s|min|h|days))?$")


def holds(line: str) -> bool | None:
    """Whether an equation of the count-up is true; None for a line that is none. An hour is one."""
    found = EQUATION.match(line.rpartition(": ")[2].replace("an hour", "1"))
    if not found:
        return None
    terms = re.split(r" ([×÷]) ", found["left"])
    value = number(terms[0])
    for sign, term in zip(terms[1::2], terms[2::2], strict=True):
        value = value * number(term) if sign == "×" else value / number(term)
    return value == (hours(found["right"] + found["unit"]) if found["unit"] else number(found["right"]))


@pytest.mark.parametrize("slug", MOVEMENTS)
def test_the_working_is_true_line_by_line(slug: str) -> None:
    """Each equation of the count-up's answer holds; with another figure in it, it does not."""
    for variant in VARIANTS:
        judged = [holds(line) for line in task(made(slug, variant), "count_up").working]
        assert sum(one is True for one in judged) >= 3 * (len(Counted(raw(slug)).path) - 1) and False not in judged
    assert holds(f"Turns of the third arbor in an hour: 1 × 8 = 9{THIN}") is False, "negative control"
    assert holds(f"One turn of the escape arbor: an hour ÷ 60 = 6{THIN}s") is False, "negative control"


@pytest.mark.parametrize("slug", MOVEMENTS)
def test_numbers_and_names_belong_together(slug: str) -> None:
    """The number in each balloon is that of its part's name in the list, and in the answer the same name stands beside it."""
    names = {row.part: row.name for row in plates(slug)["train-front"].rows}
    for variant in VARIANTS:
        label = task(made(slug, variant), "label")
        listed = dict(space(label, Names).rows)
        picture = space(label, Picture)
        for sheet in (picture.given, picture.answered):
            balloons = [figure for figure in sheet.figures if figure.classes == "balloon"]
            numbers = {figure.part: int(figure.inner[0].words[0].text) for figure in balloons}
            assert {part: listed[n] for part, n in numbers.items()} == names
        told = {figure.part: figure.words[0].text for figure in picture.answered.figures if figure.classes == "balloon"}
        assert told == names
        assert not any(name in picture.given.svg() for name in (">Great wheel<", ">Third wheel<"))
        assert "<animate" not in picture.given.svg()


def senses(sheet: Sheet) -> dict[str, bool]:
    """Arbor → whether its arrow turns clockwise on the paper: SVG 2, 9.3.8: the second flag of an arc is 1 for angles that grow,
    which with y downwards is clockwise."""
    arrows = [figure for figure in sheet.figures if figure.classes.startswith("arrow ")]
    return {figure.classes.removeprefix("arrow "): " 0 0 1 " in figure.shapes[0].d for figure in arrows}


@pytest.mark.parametrize("slug", MOVEMENTS)
def test_arrows_turn_as_the_meshes_reverse_them(slug: str) -> None:
    """From the front as counted from the minute hand, from behind the other way; what is given out has one arrow alone."""
    counted = Counted(raw(slug))
    for variant in VARIANTS:
        arrows = task(made(slug, variant), "arrows")
        picture = space(arrows, Picture)
        behind = "from behind" in arrows.text
        assert behind == (variant % 2 == 0)
        assert senses(picture.answered) == {arbor: counted.clockwise(arbor) != behind for arbor in counted.path}
        assert senses(picture.given) == {counted.hand: not behind}
        ways = [line.partition(": ")[2] for line in arrows.working[2:]]
        assert ways == ["clockwise" if counted.clockwise(arbor) != behind else "counter-clockwise" for arbor in counted.path]


@pytest.mark.parametrize("slug", MOVEMENTS)
def test_nothing_is_given_away(slug: str) -> None:
    """What one task asks no other tells: sums do not repeat the table, and none names the part whose count is lost."""
    texts = {question.text: question for question in asked(slug)}
    for variant in VARIANTS:
        sheet = made(slug, variant)
        lost = Setter(None, asked(slug), variant).lost  # type: ignore[arg-type]
        assert lost
        for one in sheet.tasks:
            said = re.search(r"“(.*)”", one.text)
            found = texts.get(said[1] if said else one.text.removesuffix(" Give your reasons."))
            if found and found.form == "choice":
                assert not set(lost.shows) & set(found.shows), (variant, one.text)
                others = [
                    each.text for each in sheet.tasks if each is not one and each.kind in ("turns", "beat", "missing", "mistake")
                ]
                assert said or not any(found.right.text in other for other in others), (variant, one.text)
                assert not re.match(r"turns\.(hour|time)\.(great|barrel|centre|third|fourth|escape)$", found.key)
        assert len({one.text for one in sheet.tasks}) == len(sheet.tasks)


@pytest.mark.parametrize("slug", MOVEMENTS)
def test_order_is_asked_in_disorder(slug: str) -> None:
    """The places are all there once, and never as they should be written."""
    for variant in VARIANTS:
        places = [place for _, place in space(task(made(slug, variant), "order"), Ranks).rows]
        assert sorted(places) == list(range(1, len(places) + 1)) != places


@pytest.mark.parametrize("make", [eight_day, without_hands, one_mesh, hour_hand_alone])
def test_a_movement_that_lacks_something_has_the_tasks_that_it_can(tmp_path: Path, make: Any) -> None:
    """Counted only, without hands, of one mesh: no fault, at least four tasks, none about what is not there."""
    bare = going("bare", read_movement(tmp_path, make()).model)
    drawn = {"train-front": train_plan.front(bare, wording()), "motion-work": motion_work.draw(bare, wording())}
    there = {name: plate for name, plate in drawn.items() if plate is not None}
    for variant in (1, 2):
        sheet = worksheet(bare, there, wording(), questions(bare, there, wording()), variant)
        assert len(sheet.tasks) >= 4
        for one in sheet.tasks:
            assert not re.search(r"\{|None", one.text + one.answer + " ".join(one.working)), one
        if make is without_hands:
            assert "turns once in" in task(sheet, "count_up").text


def test_room_goes_with_the_answer() -> None:
    """A longer answer has more lines; a sum that has more steps has more squares."""
    assert [to_write("x" * n).count for n in (10, 100, 200)] == [2, 3, 5]
    rows = {
        one.spaces[0].rows
        for slug in MOVEMENTS
        for v in VARIANTS
        for one in made(slug, v).tasks
        if isinstance(one.spaces[0], Squares)
    }
    assert len(rows) > 1


def test_a_reasoning_is_told_line_by_line() -> None:
    """A sentence a line; a sum after a colon on its own; each further sign of equality on its own."""
    told = steps("One is two: 1 × 2 = 4 ÷ 2 = 2. So it is; no more. 7.5 stays.")
    assert told == ("One is two:", "1 × 2 = 4 ÷ 2", "= 2.", "So it is; no more.", "7.5 stays.")
