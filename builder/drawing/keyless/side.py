"""What turns about the stem, seen from the side: teeth and flutes that come over the top and go under, as they do."""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction
from itertools import pairwise

from builder.drawing.keyless.layout import TURN_MS
from builder.drawing.path import number
from builder.drawing.sheet import Move

FRAMES = 6
"""Shapes a tooth; between them points go straight, within a hundredth of the radius of where they are."""

Teeth = Callable[[list[float]], str]
"""Heights of the teeth's edges (px, y down, lowest first) → d."""


def rolling(count: int, radius: float, draw: Teeth) -> tuple[str, Move]:
    """(the shape at rest, its motion): `count` teeth on a cylinder whose near side rises, one tooth further in each repetition.

    Edges past the top and the bottom lie on them, so that every shape has as many points as the next.
    """
    pitch = 2 * math.pi / count
    seen = math.ceil(count / 2) + 1

    def heights(part: float) -> list[float]:
        angles = (-math.pi / 2 + (n - 1 + part) * pitch for n in range(seen + 1))
        return [-radius * math.sin(max(-math.pi / 2, min(math.pi / 2, angle))) for angle in angles]

    shapes = tuple(draw(heights(k / FRAMES)) for k in range(FRAMES + 1))
    times = tuple(k / FRAMES for k in range(FRAMES + 1))
    exact = Fraction(TURN_MS, count)
    return shapes[0], Move("d", shapes, times, round(exact), exact_ms=exact)


def lines(left: float, right: float) -> Teeth:
    """A line along each edge."""

    def draw(heights: list[float]) -> str:
        return "".join(f"M{number(left)} {number(y)}L{number(right)} {number(y)}" for y in heights)

    return draw


def coupling(face: float, depth: float) -> Teeth:
    """The teeth by which the clutch takes the winding pinion along: upright at their upper side, sloping at the lower, so that
    turned back they ride over one another. One line, from below: the clutch's edge, and the pinion's."""

    def draw(heights: list[float]) -> str:
        d = f"M{number(face)} {number(heights[0])}"
        for y in heights[1:]:
            d += f"L{number(face + depth)} {number(y)}L{number(face)} {number(y)}"
        return d

    return draw


def body(edge: Teeth, far: float) -> Teeth:
    """A cylinder from a toothed edge to a plain one."""

    def draw(heights: list[float]) -> str:
        top, foot = number(heights[-1]), number(heights[0])
        return f"{edge(heights)}L{number(far)} {top}L{number(far)} {foot}z"

    return draw


def crowned(face: float, depth: float) -> Teeth:
    """Upright teeth on a face, each half as wide as its pitch: those that meet the setting wheel. `depth` < 0 points left."""

    def draw(heights: list[float]) -> str:
        d = f"M{number(face)} {number(heights[0])}"
        for a, b in pairwise(heights):
            low, high = a + 0.3 * (b - a), a + 0.7 * (b - a)
            d += f"L{number(face)} {number(a + 0.2 * (b - a))}L{number(face + depth)} {number(low)}"
            d += f"L{number(face + depth)} {number(high)}L{number(face)} {number(a + 0.8 * (b - a))}"
        return d + f"L{number(face)} {number(heights[-1])}"

    return draw
