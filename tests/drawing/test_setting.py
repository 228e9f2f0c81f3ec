"""The drawing of the hands to set: what follows, by which ratio, and what does not."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pytest

from builder.drawing.diagrams import keyless, setting
from builder.drawing.sheet import Figure
from builder.going.going import Going, going
from builder.going.plan import DIAL_SIDE
from builder.ground.wording import Wording
from tests.movement_texts import eight_day, read_movement

WORDING = Wording.load(Path(__file__).parents[2] / "templates" / "wording" / "en")


@pytest.fixture(scope="module")
def clock(tmp_path_factory: pytest.TempPathFactory) -> Going:
    """An eight-day clock that is only counted."""
    return going("counted", read_movement(tmp_path_factory.mktemp("models"), eight_day()).model)


def turned(figure: Figure) -> list[tuple[str | None, Fraction]]:
    """(part, turn) of every group in a figure that a reader turns."""
    found = [(figure.part, inner.turn) for inner in figure.inner if inner.turn is not None]
    return found + [each for inner in figure.inner for each in turned(inner)]


def test_each_part_follows_as_the_train_says(clock: Going) -> None:
    """The turn of each part for one of the minute hand is the ratio of their turns an hour, senses included."""
    minute = clock.train["cannon"].turns_per_hour
    arbors = {"cannon-pinion": "cannon", "minute-hand": "cannon", "hour-wheel": "hour_wheel", "hour-hand": "hour_wheel"}
    arbors |= {"minute-wheel": "minute_wheel", "minute-pinion": "minute_wheel"}
    turns = setting.set_turns(clock)
    assert turns == {part: clock.train[arbor].turns_per_hour / minute for part, arbor in arbors.items()}


def test_the_train_has_no_group_to_turn(clock: Going) -> None:
    """What a reader can turn is the motion work, the hands and the handle; no part between the plates is among them."""
    plate = setting.draw(clock, WORDING)
    assert plate is not None
    parts = [part for figure in plate.sheet.figures for part, _ in turned(figure)]
    assert sorted(part for part in parts if part) == sorted(setting.set_turns(clock))
    assert parts.count(None) == 1  # the handle
    inside = {t.id for t in clock.plan.toothings if t.level < DIAL_SIDE}
    assert not inside & set(parts)
    drawn = {figure.part for figure in plate.sheet.figures}
    assert "second-wheel" in drawn and "third-pinion" in drawn


def test_the_written_drawing_has_the_ratios(clock: Going) -> None:
    """data-turn stands in the SVG as exact fractions."""
    plate = setting.draw(clock, WORDING)
    assert plate is not None
    found = re.findall(r'data-turn="([^"]+)"', plate.sheet.svg())
    assert sorted(map(Fraction, found)) == sorted([*setting.set_turns(clock).values(), Fraction(1)])


def test_a_single_hand_turns_alone(tmp_path: Path) -> None:
    """A clock with one hand: the hand slips on its dial wheel, which stays with the train."""
    data = eight_day()
    data["motion_work"] = {"kind": "hour_only", "on": "great", "pinion_leaves": 30, "hour_wheel_teeth": 30, "module_mm": 1.5}
    del data["arbors"][3]["hand"]
    solved = going("counted", read_movement(tmp_path, data).model)
    assert setting.set_turns(solved) == {"hour-hand": Fraction(1, 12)}
    plate = setting.draw(solved, WORDING)
    assert plate is not None and len(re.findall("data-turn", plate.sheet.svg())) == 2


def test_nothing_to_set_without_motion_work(tmp_path: Path) -> None:
    """No drawing, and no keyless work where the file says nothing of it."""
    data = eight_day()
    del data["motion_work"]
    solved = going("counted", read_movement(tmp_path, data).model)
    assert setting.draw(solved, WORDING) is None and keyless.draw(solved, WORDING) is None
