"""Numbered balloons in the margins with leader lines that do not cross, as on an assembly drawing."""

from __future__ import annotations

from dataclasses import dataclass

from builder.drawing.path import circle, line
from builder.drawing.sheet import Figure, Shape, Words

RADIUS_PX = 15.0
SPACING_PX = 66.0
"""Room for a balloon grown to a readable size on a narrow screen (drawing.css lets it grow there)."""


@dataclass(frozen=True)
class Target:
    """What a balloon points at: the part, its number in the table, and the point (px) where the leader ends."""

    part: str
    number: int
    at: tuple[float, float]


def balloons(targets: list[Target], left_px: float, right_px: float, top_px: float, bottom_px: float) -> list[Figure]:
    """Balloons on two upright lines at left and right; each side in the order of its targets, untangled by swapping."""
    by_x = sorted(targets, key=lambda target: (target.at[0], target.number))
    half = (len(by_x) + 1) // 2
    figures = []
    for x, side in ((left_px, by_x[:half]), (right_px, by_x[half:])):
        ordered = _untangled(x, sorted(side, key=lambda target: (target.at[1], target.number)), top_px, bottom_px)
        for y, target in ordered:
            figures.append(_balloon(target, x, y))
    return figures


def _untangled(x: float, side: list[Target], top: float, bottom: float) -> list[tuple[float, Target]]:
    heights = _spread([target.at[1] for target in side], top, bottom)
    changed = True
    while changed:  # each swap shortens the sum of the leaders, so this ends
        changed = False
        for i in range(len(side)):
            for j in range(i + 1, len(side)):
                if _cross((x, heights[i]), side[i].at, (x, heights[j]), side[j].at):
                    side[i], side[j] = side[j], side[i]
                    changed = True
    return list(zip(heights, side, strict=True))


def _spread(wanted: list[float], top: float, bottom: float) -> list[float]:
    """Heights near the wanted ones, rising, at least SPACING_PX apart (closer only where there is no room)."""
    if not wanted:
        return []
    gap = min(SPACING_PX, (bottom - top) / max(1, len(wanted) - 1))
    heights: list[float] = []
    for y in wanted:
        heights.append(max(y, top, heights[-1] + gap if heights else top))
    over = heights[-1] - bottom
    for index in range(len(heights) - 1, -1, -1):
        limit = bottom - gap * (len(heights) - 1 - index)
        heights[index] = min(heights[index], limit) if over > 0 else heights[index]
    return heights


def _cross(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float], d: tuple[float, float]) -> bool:
    def side(p: tuple[float, float], q: tuple[float, float], r: tuple[float, float]) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0


def _balloon(target: Target, x: float, y: float) -> Figure:
    return Figure(
        part=target.part,
        label=None,
        classes="balloon",
        shapes=(
            Shape(line(x, y, *target.at, places=1), "leader"),
            Shape(circle(3, target.at, places=1), "leader-end"),
        ),
        inner=(
            Figure(
                None,
                None,
                at=(x, y),
                classes="disc",
                shapes=(Shape(circle(RADIUS_PX, places=1), "rim"),),
                words=(Words(0, 0, str(target.number), "number"),),
            ),
        ),
    )
