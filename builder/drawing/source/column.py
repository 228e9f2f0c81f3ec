"""Balloons in upright lines wherever a drawing of several views has room for one."""

from __future__ import annotations

from itertools import combinations

from builder.drawing.balloons import Target, balloons
from builder.drawing.sheet import Figure
from builder.drawing.source.views import Spot

DISC_PX = 68.0
"""Room for one balloon: it grows on narrow screens (drawing.css)."""


def balloon(part: str, number: int, at: Spot, disc: Spot) -> list[Figure]:
    """One balloon with its leader from `disc` to `at`."""
    return balloons([Target(part, number, at)], disc[0], disc[0], disc[1], disc[1])


def column(targets: list[Target], x: float, top: float, bottom: float) -> list[Figure]:
    """Balloons in one upright line between `top` and `bottom`, near what they point at; leaders do not cross."""
    order = sorted(targets, key=lambda target: target.at[1])
    heights = _heights([target.at[1] for target in order], top, bottom)
    swapped = True
    while swapped:  # each swap shortens the sum of the leaders, so this ends
        swapped = False
        for i, j in combinations(range(len(order)), 2):
            if crossing((x, heights[i]), order[i].at, (x, heights[j]), order[j].at):
                order[i], order[j] = order[j], order[i]
                swapped = True
    return [
        each for target, y in zip(order, heights, strict=True) for each in balloon(target.part, target.number, target.at, (x, y))
    ]


def _heights(wanted: list[float], top: float, bottom: float) -> list[float]:
    """Rising, as near to the wanted ones as room for each disc allows."""
    gap = min(DISC_PX, (bottom - top) / max(1, len(wanted) - 1))
    heights: list[float] = []
    for y in wanted:
        heights.append(max(y, heights[-1] + gap if heights else top))
    limit = bottom
    for n in range(len(heights) - 1, -1, -1):
        heights[n] = min(heights[n], limit)
        limit = heights[n] - gap
    return heights


def crossing(a: Spot, b: Spot, c: Spot, d: Spot) -> bool:
    """Whether two leaders, a to b and c to d, cross."""

    def side(p: Spot, q: Spot, r: Spot) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0
