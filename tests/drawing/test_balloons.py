"""Leaders that do not cross, balloons that do not touch."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point

from builder.drawing.balloons import CLEAR_PX, RADIUS_PX, Target, balloons
from builder.drawing.diagrams import motion_work, train_plan
from tests.solved import demo, wording

SPOTS = st.lists(
    st.tuples(st.floats(0, 700), st.floats(0, 700)),
    min_size=1,
    max_size=16,
    unique_by=(lambda p: round(p[0]), lambda p: round(p[1])),
)


def ends_of(d: str) -> tuple[np.ndarray, np.ndarray]:
    """Where a leader begins and ends."""
    start, step = np.array(re.findall(r"-?[\d.]+", d), float).reshape(2, 2)
    return start, start + step


@given(SPOTS)
def test_leaders_do_not_cross_and_balloons_stay_apart(spots: list[tuple[float, float]]) -> None:
    """For any sixteen targets, leaders of a side cross nowhere and balloons keep a clear gap."""
    made = balloons([Target(str(n), n, at) for n, at in enumerate(spots)], -60, 760, 0, 700)
    assert len(made) == len(spots)
    ends = {figure.part: figure.inner[0].at for figure in made}
    for side in (-60, 760):
        lines = [LineString([at, spots[int(part or 0)]]) for part, at in ends.items() if at[0] == side]
        for i, one in enumerate(lines):
            for other in lines[i + 1 :]:
                assert not one.crosses(other)
        heights = sorted(at[1] for at in ends.values() if at[0] == side)
        assert all(b - a >= 2 * RADIUS_PX for a, b in pairwise(heights))


def test_crossing_leaders_would_be_seen() -> None:
    """Negative control: balloons put the wrong way round do cross."""
    assert LineString([(0, 0), (100, 100)]).crosses(LineString([(0, 100), (100, 0)]))


@pytest.mark.parametrize("slug", ["shelf_timepiece", "schoolroom_dial", "hall_clock"])
def test_no_leader_seems_to_point_at_another_part(slug: str) -> None:
    """Each leader of a demo movement passes well by where another ends; one that did not ends elsewhere on its part."""
    for draw in (train_plan.front, train_plan.back, motion_work.draw):
        plate = draw(demo(slug), wording())
        assert plate is not None
        leaders, ends = {}, {}
        for figure in plate.sheet.figures:
            if figure.classes == "balloon":
                start, end = ends_of(figure.shapes[0].d)
                leaders[figure.part], ends[figure.part] = LineString([start, end]), Point(end)
        near = [
            (a, b) for a, line in leaders.items() for b, end in ends.items() if a != b and line.distance(end) < 0.9 * CLEAR_PX
        ]
        assert len(leaders) >= 4 and near == []


def test_a_leader_that_would_mislead_is_moved() -> None:
    """Negative control: with no other place to end, the one that passes over the other's end stays."""
    over = Target("far", 1, (300.0, 100.0)), Target("near", 2, (100.0, 101.0)), Target("right", 3, (600.0, 100.0))
    left = [Target("below", 4, (301.0, 400.0))]

    def ends(targets: list[Target]) -> dict[str | None, tuple[float, ...]]:
        return {figure.part: tuple(ends_of(figure.shapes[0].d)[1]) for figure in balloons(targets, -60, 760, 0, 700)}

    kept = ends([*over, *left])
    moved = ends([replace(over[0], others=((300.0, 160.0),)), *over[1:], *left])
    assert kept["far"] == (300, 100)
    assert moved["far"] == (300, 160)
