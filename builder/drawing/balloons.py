"""Numbered balloons in the margins, as on an assembly drawing: leaders do not cross, and pass by where another one ends."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from builder.drawing.path import circle, line
from builder.drawing.sheet import Figure, Shape, Words

RADIUS_PX = 15.0
SPACING_PX = 66.0
"""Room for a balloon grown to a readable size on a narrow screen (drawing.css lets it grow there)."""


CLEAR_PX = 20.0
"""A leader passes the end of another one at this distance, or it would seem to point there."""

Spot = tuple[float, float]


@dataclass(frozen=True)
class Target:
    """What a balloon points at: the part, its number in the table, the point (px) where the leader ends, and others that do."""

    part: str
    number: int
    at: Spot
    others: tuple[Spot, ...] = ()


@dataclass(frozen=True)
class _Laid:
    """Targets with the places of their balloons."""

    places: tuple[tuple[Spot, Target], ...]

    def misleading(self) -> list[tuple[Target, Target, float]]:
        """Targets whose leader passes too near the end of another one, that other one, and by how much too near (px)."""
        near = ((one, other, _past(place, one.at, other.at)) for place, one in self.places for _, other in self.places)
        return [(one, other, CLEAR_PX - px) for one, other, px in near if one is not other and px < CLEAR_PX]

    def cost(self) -> tuple[float, float]:
        """How much of it misleads, then how long the leaders are."""
        short = sum(px for _, _, px in self.misleading())
        return round(short, 3), sum(math.dist(place, target.at) for place, target in self.places)


def balloons(targets: list[Target], left_px: float, right_px: float, top_px: float, bottom_px: float) -> list[Figure]:
    """Balloons on two upright lines at left and right; each side in the order of its targets, untangled by swapping.

    Where a leader would pass too near the end of another one, either ends elsewhere on its part, if that is better.
    """

    def lay(targets: list[Target]) -> _Laid:
        return _laid(targets, left_px, right_px, top_px, bottom_px)

    best = lay(targets)
    while misled := best.misleading():
        movable = {target.number: target for one, other, _ in misled for target in (one, other)}
        moved = [(old, replace(old, at=at, others=())) for old in movable.values() for at in old.others]
        tried = [lay([new if each is old else each for each in targets]) for old, new in moved]
        better = min(tried, key=_Laid.cost, default=best)
        if better.cost() >= best.cost():
            break
        best, targets = better, [target for _, target in better.places]
    return [_balloon(target, *place) for place, target in best.places]


def _laid(targets: list[Target], left: float, right: float, top: float, bottom: float) -> _Laid:
    by_x = sorted(targets, key=lambda target: (target.at[0], target.number))
    half = (len(by_x) + 1) // 2
    places = []
    for x, side in ((left, by_x[:half]), (right, by_x[half:])):
        ordered = _untangled(x, sorted(side, key=lambda target: (target.at[1], target.number)), top, bottom)
        places += [((x, y), target) for y, target in ordered]
    return _Laid(tuple(places))


def _past(start: Spot, end: Spot, point: Spot) -> float:
    """Distance of a point from the straight line between two others."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    along = ((point[0] - start[0]) * dx + (point[1] - start[1]) * dy) / (dx * dx + dy * dy or 1.0)
    along = min(1.0, max(0.0, along))
    return math.dist(point, (start[0] + along * dx, start[1] + along * dy))


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
