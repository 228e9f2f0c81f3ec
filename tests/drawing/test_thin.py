"""Thinned outlines: fewer points, and nowhere further from the true ones than is said. Shapely measures."""

from __future__ import annotations

import re

import numpy as np
import pytest
from shapely import LineString, Polygon, hausdorff_distance

from builder.drawing.path import circle, closed, opened
from builder.drawing.thin import NUMBER, WITHIN_PX, thinned

ROUNDING_PX = 0.05 * 2**0.5
"""One digit after the point: half of it, along both axes."""


def read(d: str) -> np.ndarray:
    """The corners of one relative outline."""
    numbers = np.array(NUMBER.findall(d), dtype=float).reshape(-1, 2)
    return np.cumsum(numbers, axis=0)


def wheel(teeth: int) -> np.ndarray:
    """A toothed outline, finely sampled; the form is made up."""
    angle = np.linspace(0, 2 * np.pi, teeth * 40, endpoint=False)
    radius = 100 + 6 * np.tanh(4 * np.sin(teeth * angle))
    return np.column_stack([radius * np.cos(angle), radius * np.sin(angle)])


def test_a_wheel_keeps_its_form_with_a_fraction_of_the_points() -> None:
    """Both ways no point is further off than said; area and number of teeth are kept; more than half of the bytes are saved."""
    true = closed(wheel(60))
    less = thinned(f'<path d="{true}"/>')
    d = re.findall(r'd="([^"]*)"', less)[0]
    assert d.endswith("z") and len(d) < 0.45 * len(true)
    a, b = Polygon(read(true)), Polygon(read(d))
    assert b.is_valid and b.area == pytest.approx(a.area, rel=1e-3)
    assert hausdorff_distance(a.exterior, b.exterior, densify=0.05) <= WITHIN_PX + ROUNDING_PX
    assert hausdorff_distance(a.exterior, Polygon(read(closed(wheel(59)))).exterior) > 1, (
        "negative control: another wheel is far off"
    )


def test_an_open_line_keeps_its_ends() -> None:
    """A curve begins and ends where it did."""
    x = np.linspace(0, 300, 900)
    true = opened(np.column_stack([x, 40 * np.sin(x / 30)]))
    less = thinned(f'<path d="{true}"/>')[9:-3]
    a, b = read(true), read(less)
    assert len(b) < len(a) / 4 and not less.endswith("z")
    assert np.allclose([a[0], a[-1]], [b[0], b[-1]], atol=0.051)
    assert hausdorff_distance(LineString(a), LineString(b), densify=0.05) <= WITHIN_PX + ROUNDING_PX


@pytest.mark.parametrize("d", [circle(12.34), "M1 2h3v4h-3z", "M0 0l10 0 0 10-10 0z", "M1 1c2 2 3 3 4 4l1 1"])
def test_what_is_no_long_outline_is_left_alone(d: str) -> None:
    """Arcs, curves, and outlines of a few points come out as they went in."""
    assert thinned(f'<path d="{d}"/>') == f'<path d="{d}"/>'


def test_outlines_of_an_animation_are_left_alone() -> None:
    """Key frames that turn into one another keep their points, however many."""
    frames = f'<animate attributeName="d" values="{closed(wheel(9))};{closed(wheel(9) * 1.1)}"/>'
    assert thinned(frames) == frames
