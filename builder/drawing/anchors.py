"""Where a leader may end on a part: on its rim where no nearer wheel covers it, the best place first."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from builder.going.placed import Point, Toothing

STEP_DEG = 30
RIM_MODULES = 2.2
"""From the roots of a wheel's teeth to the inside of its rim, about (as drawing/shapes.py draws it)."""


@dataclass(frozen=True)
class Rim:
    """What a wheel covers at every moment: a ring about its centre (mm), and how near the eye it lies."""

    centre: Point
    inner_mm: float
    outer_mm: float
    near: float

    def covers(self, spot: Point) -> bool:
        """Whether a point lies under it."""
        return self.inner_mm < math.dist(self.centre, spot) < self.outer_mm


def rim(wheel: Toothing, centre: Point, near: float) -> Rim:
    """The ring of a wheel in its place; a solid one covers all within its teeth."""
    gear = wheel.gear
    return Rim(centre, gear.root_mm - RIM_MODULES * gear.module_mm if wheel.arms else 0.0, gear.tip_mm, near)


def spots(home: Point, radius_mm: float, first_rad: float, near: float, rims: Iterable[Rim]) -> list[Point]:
    """Points about a centre, from the wished direction on by turns to either side, those that are covered left out.

    Where all are covered: all of them.
    """
    above = [one for one in rims if one.near > near]
    steps = sorted(range(0, 360, STEP_DEG), key=lambda deg: (min(deg, 360 - deg), deg))
    angles = [first_rad + math.radians(deg) for deg in steps]
    every = [(home[0] + radius_mm * math.cos(angle), home[1] + radius_mm * math.sin(angle)) for angle in angles]
    return [spot for spot in every if not any(one.covers(spot) for one in above)] or every
