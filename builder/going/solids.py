"""What a part fills: a region in plan (ring, outline or plate) from one height to another, and what lies in the way of what.

Plan as in plan.py: seen from the front, mm. Heights are measured from the inside face of the back plate, forwards positive.
Teeth count as a full ring up to their tips.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from builder.going.placed import Point
from builder.ground.geometry import Points, cross

TOUCH = 1e-6
"""Two parts that come nearer than this, mm, touch."""


@dataclass(frozen=True)
class Ring:
    """A disc about an arbor, with or without a hole."""

    at: Point
    outer_mm: float
    inner_mm: float = 0.0


@dataclass(frozen=True, eq=False)
class Outline:
    """A closed outline (N, 2) in the plane of the plate."""

    points_mm: Points


@dataclass(frozen=True)
class Hole:
    """A round hole in a plate."""

    at: Point
    radius_mm: float


@dataclass(frozen=True)
class Sheet:
    """A plate, larger than all that stands on it, with its holes. Neglected: what reaches over its edge is held by it too."""

    holes: tuple[Hole, ...]


Region = Ring | Outline | Sheet

Look = Literal["solid", "teeth", "leaves", "shaft", "cut"]
"""How a section shows it: cut through, a wheel's rim and arms, leaves, an arbor (never cut), cut and hatched."""


@dataclass(frozen=True)
class Solid:
    """A region between two heights, and of which drawn part it is."""

    part: str
    region: Region
    low_mm: float
    high_mm: float
    material: str
    look: Look = "solid"

    @property
    def middle_mm(self) -> float:
        return (self.low_mm + self.high_mm) / 2

    @property
    def thickness_mm(self) -> float:
        return self.high_mm - self.low_mm


def level(a: Solid, b: Solid) -> bool:
    """Whether two solids share some height."""
    return a.low_mm < b.high_mm - TOUCH and b.low_mm < a.high_mm - TOUCH


def over(a: Region, b: Region) -> bool:
    """Whether two regions overlap in plan."""
    return over_by(a, b) > TOUCH


def over_by(a: Region, b: Region) -> float:
    """How far two regions reach into one another in plan, mm; 0 or less where they lie apart.

    For an outline in a plate's hole, how far it reaches over the hole's edge.
    """
    if isinstance(a, Sheet) and isinstance(b, Sheet):
        return math.inf
    if isinstance(a, Sheet):
        return over_by(b, a)
    if isinstance(a, Ring):
        if isinstance(b, Ring):
            apart = math.dist(a.at, b.at)
            return min(a.outer_mm + b.outer_mm - apart, apart + b.outer_mm - a.inner_mm, apart + a.outer_mm - b.inner_mm)
        if isinstance(b, Sheet):
            return min((math.dist(a.at, hole.at) + a.outer_mm - hole.radius_mm for hole in b.holes), default=math.inf)
        return _outline_ring(b, a)
    if isinstance(b, Ring):
        return _outline_ring(a, b)
    if isinstance(b, Sheet):
        reaches = (float(np.max(np.hypot(*(a.points_mm - hole.at).T))) - hole.radius_mm for hole in b.holes)
        return min(reaches, default=math.inf)
    return _outlines(a, b)


def _outline_ring(outline: Outline, ring: Ring) -> float:
    points = outline.points_mm - np.array(ring.at)
    if ring.inner_mm > 0 and (farthest := float(np.max(np.hypot(*points.T)))) <= ring.inner_mm:
        return farthest - ring.inner_mm
    return ring.outer_mm if inside(outline.points_mm, ring.at) else ring.outer_mm - nearest_mm(outline.points_mm, ring.at)


def nearest_mm(outline: Points, at: Point) -> float:
    """Distance from a point to the nearest point of a closed outline."""
    start = outline - np.array(at)
    step = np.roll(start, -1, axis=0) - start
    long = np.maximum(np.sum(step * step, axis=1), 1e-30)
    share = np.clip(-np.sum(start * step, axis=1) / long, 0, 1)
    return float(np.min(np.hypot(*(start + share[:, None] * step).T)))


def inside(outline: Points, at: Point) -> bool:
    """Whether a point lies in a closed outline: how often a line to the right leaves it."""
    x, y = (outline - np.array(at)).T
    nx, ny = np.roll(x, -1), np.roll(y, -1)
    crossing = (y > 0) != (ny > 0)
    with np.errstate(divide="ignore", invalid="ignore"):
        where = x + (nx - x) * (-y) / (ny - y)
    return bool(np.sum(crossing & (where > 0)) % 2)


def _outlines(a: Outline, b: Outline) -> float:
    """Nought where they lie apart; else how deep the deepest corner lies in the other (at least a trifle where edges cross)."""
    deep = 0.0
    for one, other in ((a.points_mm, b.points_mm), (b.points_mm, a.points_mm)):
        corners = [(float(x), float(y)) for x, y in one]
        deep = max([deep, *(nearest_mm(other, at) for at in corners if inside(other, at))])
    return deep or (1e-3 if _edges_cross(a.points_mm, b.points_mm) else 0.0)


def _edges_cross(a: Points, b: Points) -> bool:
    p, r = a[:, None], (np.roll(a, -1, axis=0) - a)[:, None]
    q, s = b[None], (np.roll(b, -1, axis=0) - b)[None]
    base = cross(r, s)
    with np.errstate(divide="ignore", invalid="ignore"):
        t, u = cross(q - p, s) / base, cross(q - p, r) / base
    return bool(np.any((t >= 0) & (t <= 1) & (u >= 0) & (u <= 1)))


def in_the_way(moving: Solid, other: Solid, sense: int) -> bool:
    """Whether `other` stands in the way of `moving` along the arbors, forwards (+1) or backwards (−1).

    What already shares its height is taken to be clear of it (a pair of wheels in mesh slides apart along its teeth).
    """
    ahead = other.low_mm >= moving.high_mm - TOUCH if sense > 0 else other.high_mm <= moving.low_mm + TOUCH
    return ahead and over(moving.region, other.region)


def on_the_way_out(moving: Solid, other: Solid, direction: Point) -> bool:
    """Whether `other`, on the same height, stands in the way of `moving` sideways in a direction (a unit vector).

    Plates do not count: nothing moves sideways through them.
    """
    if not level(moving, other) or not isinstance(other.region, Ring):
        return False
    ring = other.region
    if isinstance(moving.region, Ring):
        corners, reach = np.array([moving.region.at]), moving.region.outer_mm
    elif isinstance(moving.region, Outline):
        corners, reach = moving.region.points_mm, 0.0
    else:
        return False
    away = np.array(ring.at) - corners
    along = np.maximum(away @ np.array(direction), 0.0)
    missed = np.hypot(*(away - along[:, None] * np.array(direction)).T)
    return bool(np.min(missed) < ring.outer_mm + reach - TOUCH)
