"""What can touch: straight and curved edges with the corners between them, in the frame of the body that they belong to."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from builder.ground.geometry import Points, arc


@dataclass(frozen=True)
class Spot:
    """A corner, or with a radius a round pin or rounded corner, at a point of its body, mm."""

    name: str
    at_mm: Points
    """(2,)"""
    radius_mm: float = 0.0


@dataclass(frozen=True)
class Edge:
    """A straight edge or an arc, run through with the material on its left, mm."""

    name: str
    start_mm: Points
    end_mm: Points
    centre_mm: Points | None = None
    """Centre of the arc; None: straight."""
    bulges: bool = True
    """For an arc: the material lies on the centre's side (run through counter-clockwise)."""

    @property
    def radius_mm(self) -> float:
        """Radius of an arc, mm."""
        assert self.centre_mm is not None
        return float(math.hypot(*(self.start_mm - self.centre_mm)))

    @property
    def span_rad(self) -> tuple[float, float]:
        """Angle of an arc's start about its centre and the signed turn to its end (> 0 where it bulges)."""
        assert self.centre_mm is not None
        first, last = (math.atan2(p[1], p[0]) for p in (self.start_mm - self.centre_mm, self.end_mm - self.centre_mm))
        turn = (last - first) % math.tau
        return first, turn if self.bulges else turn - math.tau

    def points(self, chord_error_mm: float) -> Points:
        """The edge as points (N, 2), its end left out."""
        if self.centre_mm is None:
            return self.start_mm[None, :]
        first, turn = self.span_rad
        return arc(self.centre_mm, self.radius_mm, first, first + turn, chord_error_mm)[:-1]


@dataclass(frozen=True)
class Shape:
    """All edges and corners of one body that can meet another: a tooth's, or a pallet's."""

    edges: tuple[Edge, ...]
    spots: tuple[Spot, ...]


def chain(*steps: tuple[str, Points, str] | tuple[str, Points, str, Points, bool]) -> Shape:
    """An open run of edges from its corners: (corner, point, edge to the next corner[, centre, bulges]); the last edge's name
    and the corners at both ends of the run are not used, since the run goes on inside the body there."""
    edges: list[Edge] = []
    for here, after in pairwise(steps):
        curve = here[3:] if len(here) == 5 else (None, True)
        edges.append(Edge(here[2], np.asarray(here[1]), np.asarray(after[1]), *curve))
    return Shape(tuple(edges), tuple(Spot(step[0], np.asarray(step[1])) for step in steps[1:-1]))
