"""A pivot in its hole, new and worn: the hole drawn out the way that the pivot has been pressed.

The freedom of a new hole is taken as an eighth of the pivot's radius (common practice, no source); the worn hole is what the
round one sweeps as the pivot goes from its place to where it now stands.
"""

from __future__ import annotations

import math

import numpy as np

from builder.drawing.path import circle, line
from builder.drawing.sheet import Figure, Shape
from builder.drawing.worn.pair import HEIGHT_PX, Lens, Pair, sheet
from builder.ground.geometry import Points, polar
from builder.ground.wording import Wording

FREEDOM = 1.125
AROUND = 5.2
"""Radii of the pivot that the drawing is high."""


def draw(slug: str, name: str, pivot_mm: float, out_mm: float, direction_deg: float, wording: Wording) -> Pair:
    """`pivot_mm` is the pivot's radius, `name` the arbor in words; the direction is seen from the front."""
    way = math.radians(direction_deg)
    lens = Lens((0.0, 0.0), HEIGHT_PX / max(AROUND * pivot_mm, 3.4 * pivot_mm + 2.2 * out_mm))
    hole = FREEDOM * pivot_mm
    room = Shape(circle(hole * lens.scale), "sink")
    axes = Shape(line(-150, 0, 150, 0) + line(0, -130, 0, 130), "axis")

    def stands(at: Points) -> Shape:
        return Shape(circle(pivot_mm * lens.scale, lens.at(float(at[0]), float(at[1]))), "steel pivot")

    pressed = polar(hole - pivot_mm, way)
    worn = polar(out_mm, way)
    plate = Shape("M-200-150h400v300h-400z", "plate bare")
    new = (Figure("plates", None, shapes=(plate, room)), Figure("pivot", None, shapes=(stands(pressed), axes)))
    oval = lens.shape(_swept(hole, max(out_mm - (hole - pivot_mm), 0.0), way), "sink")
    old = (
        Figure("plates", None, shapes=(plate, oval, Shape(circle(hole * lens.scale), "ghost"))),
        Figure("pivot", None, shapes=(stands(worn), axes)),
    )
    return Pair(sheet(slug, "new", "hole", lens, new, wording, name), sheet(slug, "worn", "hole", lens, old, wording, name))


def _swept(radius: float, by: float, way: float) -> Points:
    """The outline of a circle drawn out by `by` in a direction (N, 2)."""
    half = np.linspace(-math.pi / 2, math.pi / 2, 49)
    return np.concatenate([polar(radius, way + half) + polar(by, way), polar(radius, way + half + math.pi)])
