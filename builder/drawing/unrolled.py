"""The train unrolled: arbors side by side at their true distances, heights along the sheet, the front of the movement left.

The line runs upwards from the source by way of the escape arbor to pallets and balance; what stands beside it (the minute
wheel's post, a fusee's barrel) is turned into it about its own neighbour. What hangs, hangs.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from builder.going.axes import Laid
from builder.going.pieces import Pieces
from builder.going.placed import Point
from builder.going.solids import Outline, Ring, Solid
from builder.going.source_heights import barrel_place
from builder.parts.motion_work import CANNON, HOUR, MINUTE

LONG_PX = 900.0
"""Length of the line, with the outermost wheels."""
FLAT = 0.55
"""Movements much flatter than this by their length have their heights drawn larger, by a whole factor."""
HANGING = ("crutch", "suspension", "pendulum-rod", "bob", "rating-nut")


@dataclass(frozen=True)
class Unrolled:
    """Places (mm) to px: `along` is the place of each axis on the line, by its centre in plan."""

    along: dict[Point, float]
    ways: dict[str, tuple[Point, Point]]
    """For pallets and balance: directions in plan (unit vectors) that the line has before and after their axis."""
    centres: dict[str, Point]
    scale: float
    """px per mm along the line."""
    raised: int
    """Heights are drawn this many times as large."""

    def x(self, height_mm: float) -> float:
        return -height_mm * self.scale * self.raised

    def y(self, along_mm: float) -> float:
        return -along_mm * self.scale

    def axis(self, at: Point) -> float:
        """Place of an axis on the line, mm."""
        return self.along[_key(at)]

    def knows(self, at: Point) -> bool:
        """Whether that axis stands on the line."""
        return _key(at) in self.along

    def reach(self, solid: Solid) -> tuple[float, float]:
        """From where to where a solid reaches on the line, mm. Not for plates."""
        region = solid.region
        if isinstance(region, Ring):
            middle = self.axis(region.at)
            return middle - region.outer_mm, middle + region.outer_mm
        assert isinstance(region, Outline)
        name = "balance" if solid.part in ("roller", "balance-cock") else "pallets"
        at = self.centres[name]
        off, middle = region.points_mm - np.array(at), self.axis(at)
        if solid.part in HANGING:
            return middle + float(off[:, 1].min()), middle + float(off[:, 1].max())
        before, after = self.ways[name]
        return middle + float((off @ np.array(before)).min()), middle + float((off @ np.array(after)).max())


def _key(at: Point) -> Point:
    return round(at[0], 6), round(at[1], 6)


def unrolled(laid: Laid, pieces: Pieces) -> Unrolled:
    """The line of a movement, scaled to the sheet."""
    centres, train = laid.plan.centres, laid.train
    swinging = [name for name in ("pallets", "balance") if name in centres]
    if len(swinging) == 2 and centres["pallets"] == centres["balance"]:  # a cylinder is the balance's own staff
        swinging = ["pallets"]
    line = [*train.path, *swinging]
    along: dict[Point, float] = {_key(centres[line[0]]): 0.0}
    place = 0.0
    ways: dict[str, tuple[Point, Point]] = {}
    for k, name in enumerate(line[1:], 1):
        place += math.dist(centres[line[k - 1]], centres[name])
        along[_key(centres[name])] = place
        if name in ("pallets", "balance"):
            before = _unit(centres[line[k - 1]], centres[name])
            ways[name] = before, _unit(centres[name], centres[line[k + 1]]) if k + 1 < len(line) else before
    if "balance" in centres:
        ways.setdefault("balance", ways["pallets"])
    _beside(laid, along)
    solids = [s for piece in (*pieces.off, pieces.stays) for s in piece.solids if isinstance(s.region, Ring)]
    inside = [s for s in solids if s.high_mm > laid.back_mm and s.low_mm < laid.heights.front_mm and _key(s.region.at) in along]  # type: ignore[union-attr]
    _further(laid, along, max(along[_key(s.region.at)] + s.region.outer_mm for s in inside))  # type: ignore[union-attr]
    _beside(laid, along)  # now also of the hands that such an arbor carries
    bare = Unrolled(along, ways, centres, 1.0, 1)
    low, high = bare_extent(bare, pieces)
    deep = max(s.high_mm for s in solids) - min(s.low_mm for s in solids)
    return Unrolled(along, ways, centres, LONG_PX / (high - low), max(1, int(FLAT * (high - low) / deep)))


def _unit(start: Point, end: Point) -> Point:
    long = math.dist(start, end)
    return (end[0] - start[0]) / long, (end[1] - start[1]) / long


def _beside(laid: Laid, along: dict[Point, float]) -> None:
    """The motion work's post and a fusee's barrel, each turned into the line about the axis that it works with."""
    centres, plan = laid.plan.centres, laid.plan
    front = {along[_key(centres[at])] for shows, at in laid.train.hands if _key(centres[at]) in along}
    if laid.winding == "front":
        front.add(0.0)
    for name, home in ((MINUTE, CANNON), (HOUR, getattr(laid.movement.motion_work, "on", ""))):
        if name in centres and home in centres and _key(centres[name]) not in along:
            start, far = along.get(_key(centres[home])), math.dist(centres[home], centres[name])
            tip = max(t.gear.tip_mm for t in plan.toothings if t.arbor == name)
            if start is not None:
                rooms = {
                    place: min((abs(place - other) for other in front if other != start), default=1e9)
                    for place in (start - far, start + far)
                }
                down, up = start - far, start + far
                along[_key(centres[name])] = down if rooms[down] >= min(rooms[up], tip) else up
    barrel = barrel_place(laid.movement, plan)
    if barrel is not None:
        along[_key(barrel)] = -math.dist(barrel, centres[laid.movement.source.arbor])


def _further(laid: Laid, along: dict[Point, float], top: float) -> None:
    """Arbors that are no part of the line stand above it, each beyond the wheels of the last."""
    for arbor in laid.movement.arbors:
        at = _key(laid.plan.centres[arbor.id])
        if at not in along:
            tip = max((t.gear.tip_mm for t in laid.plan.toothings if t.arbor == arbor.id), default=2.0)
            along[at] = top + 1.15 * tip
            top += 2.3 * tip


def bare_extent(view: Unrolled, pieces: Pieces) -> tuple[float, float]:
    """Lowest and highest place on the line of all that lies between the plates, mm."""
    low, high = 0.0, 0.0
    for piece in (*pieces.off, pieces.stays):
        if piece.stage in ("hands", "dial", "pendulum"):
            continue
        for solid in piece.solids:
            known = (isinstance(solid.region, Ring) and view.knows(solid.region.at)) or isinstance(solid.region, Outline)
            if known and solid.part != "crutch":
                a, b = view.reach(solid)
                low, high = min(low, a), max(high, b)
    return low, high
