"""Motion works: published sets come to twelve, share one centre distance, and turn the way hands turn."""

from __future__ import annotations

import math
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.authorities.trains import WORK_KEYS
from builder.going.plan import plan
from builder.going.train import train
from builder.parts.motion_work import CANNON, HOUR, MINUTE
from tests.authority import of_kind
from tests.movement_texts import Data, eight_day, read_movement

SETS = [entry.given["pairs"] for entry in of_kind("motion_work")]


def with_work(pairs: list[list[int]], **more: Any) -> Data:
    """The eight-day clock with another motion work, large enough to go round any cannon pinion."""
    data = eight_day()
    counts = dict(zip(WORK_KEYS, [count for pair in pairs for count in pair], strict=True))
    data["motion_work"] = {"kind": "minute_and_hour", "on": "second", "module_mm": 1.0, **counts, **more}
    return data


@pytest.mark.parametrize("pairs", SETS, ids=str)
def test_published_sets(tmp_path: Path, pairs: list[list[int]]) -> None:
    """Through the file's reader: minute and hour hand clockwise, the hour hand a twelfth as fast, the minute wheel the other
    way."""
    movement = read_movement(tmp_path, with_work(pairs)).model
    found = train(movement)
    assert movement.motion_work is not None
    assert movement.motion_work.reduction == 12
    assert found[CANNON].turns_per_hour == -1
    assert found[HOUR].turns_per_hour == Fraction(-1, 12)
    assert found[MINUTE].turns_per_hour == Fraction(*pairs[0])
    assert found.beats_per_hour == 3600


@pytest.mark.parametrize("pairs", SETS, ids=str)
def test_published_sets_share_one_centre_distance(tmp_path: Path, pairs: list[list[int]]) -> None:
    """m1 (z1 + z2) = m2 (z3 + z4): both pairs stand on the same two centres, their modules inversely as the sums."""
    movement = read_movement(tmp_path, with_work(pairs, direction_deg=200)).model
    laid = plan(movement, train(movement))
    first, second = (one for one in laid.sized if one.pair.key == ("motion_work",))
    sums = [sum(pair) for pair in pairs]
    assert first.distance_mm == pytest.approx(sums[0] / 2, rel=1e-12)
    assert second.distance_mm == pytest.approx(first.distance_mm, rel=1e-12)
    assert second.module_mm / first.module_mm == pytest.approx(sums[0] / sums[1], rel=1e-12)
    assert laid.centres[HOUR] == laid.centres[CANNON] == laid.centres["second"]
    assert math.dist(laid.centres[CANNON], laid.centres[MINUTE]) == pytest.approx(first.distance_mm, rel=1e-12)
    for one in (first, second):
        assert one.gears.driver.pitch_mm + one.gears.driven.pitch_mm == pytest.approx(first.distance_mm, rel=1e-12)


@st.composite
def any_work(draw: st.DrawFn) -> list[list[int]]:
    """Counts that come to twelve."""
    cannon, pinion = draw(st.integers(8, 40)), draw(st.integers(6, 20))
    divisors = [n for n in range(1, 12 * cannon * pinion + 1) if 12 * cannon * pinion % n == 0]
    wheels = [n for n in divisors if 12 <= n <= 200 and 12 <= 12 * cannon * pinion // n <= 200]
    minute = draw(st.sampled_from(wheels)) if wheels else 12
    return [[cannon, minute], [pinion, 12 * cannon * pinion // minute]]


@given(any_work())
@settings(max_examples=40, deadline=None)
def test_any_set_turns_the_hands(tmp_path_factory: pytest.TempPathFactory, pairs: list[list[int]]) -> None:
    """Whatever the counts, as long as they come to twelve: hour hand a twelfth of the minute hand's turns, the same way round."""
    found = train(read_movement(tmp_path_factory.mktemp("any"), with_work(pairs)).model)
    assert found[HOUR].turns_per_hour * 12 == found[CANNON].turns_per_hour == -1
    assert found[MINUTE].turns_per_hour == Fraction(*pairs[0])
