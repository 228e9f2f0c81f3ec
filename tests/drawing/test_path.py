"""Points to path data and back."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from shapely.geometry import LineString, Point

from builder.drawing.path import View, closed, number, smooth


def points_of(d: str) -> np.ndarray:
    """Independent reader of 'M… l… z' paths: absolute points."""
    head, steps = re.fullmatch(r"M([^l]*)l(.*)z", d).groups()  # type: ignore[union-attr]
    pattern = r"-?(?:\d+\.?\d*|\.\d+)"
    start = np.array([float(v) for v in re.findall(pattern, head)])
    run = np.array([float(v) for v in re.findall(pattern, steps)]).reshape(-1, 2)
    return np.vstack([start, start + np.cumsum(run, axis=0)])


@given(arrays(float, (12, 2), elements=st.floats(-900, 900)))
def test_a_closed_path_comes_back_to_its_points(points: np.ndarray) -> None:
    """Each drawn point lies within half a digit of the true one: rounding errors do not add up along the path."""
    grid = np.rint(points * 100) / 100
    assume(len(np.unique(grid, axis=0)) > 1)
    read = points_of(closed(points))
    kept = np.vstack([grid[:1], grid[1:][np.any(np.diff(grid, axis=0) != 0, axis=1)]])
    assert read == pytest.approx(kept, abs=1e-9)
    assert np.max(np.abs(grid - points)) <= 0.005 + 1e-12


@pytest.mark.parametrize(
    ("value", "text"), [(0.5, ".5"), (-0.25, "-.25"), (-0.001, "0"), (3.0, "3"), (12.346, "12.35"), (0.0, "0"), (100.0, "100")]
)
def test_numbers_are_as_short_as_they_can_be(value: float, text: str) -> None:
    """No leading or trailing noughts, no minus nought."""
    assert number(value) == text


def test_a_view_from_behind_is_the_mirror_image() -> None:
    """From the back, left and right change places and every turn goes the other way; up stays up."""
    point = np.array([3.0, 4.0])
    assert View(10).px(point) == pytest.approx([30, -40])
    assert View(10, back=True).px(point) == pytest.approx([-30, -40])
    assert View(1).turn_deg(20) == -20
    assert View(1, back=True).turn_deg(20) == 20


def test_a_smooth_path_keeps_to_a_spiral() -> None:
    """Cubic pieces through every 24th point of a spiral stay within 0.15 px of it."""
    turns = np.linspace(0, 20 * math.pi, 961)
    spiral = np.stack(((20 + 3 * turns) * np.cos(turns), (20 + 3 * turns) * np.sin(turns)), axis=-1)
    d = smooth(spiral, 24)
    values = [float(v) for v in re.findall(r"-?(?:\d+\.?\d*|\.\d+)", d)]
    at, drawn = np.array(values[:2]), []
    t = np.linspace(0, 1, 24, endpoint=False)[:, None]
    for piece in np.array(values[2:]).reshape(-1, 3, 2):
        a, b, c = at + piece
        drawn.append((1 - t) ** 3 * at + 3 * (1 - t) ** 2 * t * a + 3 * (1 - t) * t**2 * b + t**3 * c)
        at = c
    fine = np.linspace(0, 20 * math.pi, 20001)
    true = LineString(np.stack(((20 + 3 * fine) * np.cos(fine), (20 + 3 * fine) * np.sin(fine)), axis=-1))
    assert max(true.distance(Point(p)) for p in np.concatenate(drawn)) < 0.15
