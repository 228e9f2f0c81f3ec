"""Fusee, chain and barrel: from the front, the cover off, and from the side on which the chain runs across.

Everything is seen from the side of the winding square, so `sense` is the sense as seen there. The barrel stands at the side that
the chain pulls to at the bottom of the view, the fusee at the origin; where it really stands beside the fusee is not in the file.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from builder.drawing.moves import WITHIN_PX
from builder.drawing.path import View, number, opened
from builder.drawing.sheet import Figure, Move, Shape
from builder.drawing.source.cut import changing, still_twin
from builder.drawing.source.run import Run
from builder.drawing.source.wraps import Wrap
from builder.going.motion import thinned
from builder.parts.source.chained import Chained, line_normal
from builder.parts.source.fusee import Fusee, Line

Array = NDArray[np.float64]

PIECES = 4
"""Pieces of chain to a turn of the fusee, each there or gone."""
ROUND = 16
"""Pieces of the chain's first turn on the barrel."""
SAMPLES = 193
RUNS = 9
"""Key frames of the chain between barrel and fusee: its tangents hardly turn."""


def running_d(sense: int, fusee: Array, barrel: Array, radii_mm: tuple[float, float], thick_mm: float, view: View) -> str:
    """The line from fusee to barrel, centres (2,) in mm, as a band of its thickness, tangent to both."""
    n = line_normal(sense, barrel - fusee, *radii_mm)
    middle = np.array([fusee, barrel]) + np.array(radii_mm)[:, None] * n
    half = thick_mm / 2 * n
    points = np.concatenate([view.px(middle + half), view.px(middle - half)[::-1]])
    return "M" + "L".join(f"{number(x, 1)} {number(y, 1)}" for x, y in points) + "z"


@dataclass(frozen=True)
class Chain:
    """Chain, barrel and cone as computed, with the scale of the drawing."""

    source: Fusee
    chained: Chained
    line: Line
    run: Run
    """With the sense as seen."""
    view: View
    apart_mm: float
    """From arbor to arbor (as drawn)."""

    @property
    def side(self) -> int:
        """+1 where the barrel stands at the right."""
        return self.run.sense

    @property
    def pitch_mm(self) -> float:
        """From groove to groove."""
        return self.source.pitch_mm or 1.1 * self.line.breadth_mm

    @property
    def turns(self) -> float:
        """Turns of groove, as the cone has them."""
        return self.chained.cone.turns

    def left(self, share: float) -> float:
        """Turns of chain on the fusee."""
        return self.turns * (1 - share)

    def on_barrel(self, turns_left: float) -> float:
        """Turns of chain on the barrel."""
        return self.chained.line_state(min(max(turns_left, 0.0), self.turns)).on_barrel_turns

    def radius_mm(self, turns_left: float | Array) -> Array:
        """Radius on the fusee to the middle of the chain."""
        return np.asarray(self.chained.cone.radius_mm(np.asarray(turns_left)))

    def normal(self, turns_left: float) -> tuple[float, float]:
        """Unit normal of the running chain, away from the line of centres (down); mm, y up."""
        along = np.array([self.side * self.apart_mm, 0.0])
        x, y = line_normal(self.run.sense, along, float(self.radius_mm(turns_left)), self.chained.drum_mm)
        return float(x), float(y)

    def running_d(self, turns_left: float) -> str:
        """The chain from the fusee to the barrel as a band, tangent to both."""
        radii = float(self.radius_mm(turns_left)), self.chained.drum_mm
        barrel = np.array([self.side * self.apart_mm, 0.0])
        return running_d(self.run.sense, np.zeros(2), barrel, radii, self.line.thickness_mm, self.view)

    def running(self, label: str) -> Figure:
        """The band, its tangent points shifting as the fusee's radius grows."""
        shares = tuple(float(s) for s in np.linspace(0.0, 1.0, RUNS))
        move = self.run.move("d", tuple(self.running_d(self.left(s)) for s in shares), shares)
        return changing("chain", label, "steel detail", move)

    def barrel_turning(self, radius_px: float) -> Move:
        """The barrel follows the chain: slowly while that leaves the small end, faster towards the large."""
        shares = np.linspace(0.0, 1.0, SAMPLES)
        angles = np.array([2 * math.pi * self.on_barrel(self.left(float(s))) for s in shares])
        kept = thinned(shares, angles, WITHIN_PX / 2 / radius_px)
        degrees = tuple(number(self.view.turn_deg(self.run.sense * math.degrees(angles[k])), 3) for k in kept)
        return self.run.move("rotate", degrees, tuple(float(shares[k]) for k in kept))

    def round_barrel(self) -> list[Figure]:
        """The chain's first turn on the barrel, about the barrel's arbor, as it is drawn on; later turns lie behind it."""
        shares = np.linspace(0.0, 1.0, SAMPLES)
        on = np.array([self.on_barrel(self.left(float(s))) for s in shares])
        start = math.atan2(*self.normal(self.turns)[::-1])
        made = []
        for k in range(ROUND):
            ends = [start + self.run.sense * 2 * math.pi * each / ROUND for each in (k, k + 1)]
            since = float(np.interp((k + 0.5) / ROUND, on, shares))
            drum = self.chained.drum_mm
            made.append(self._piece((drum, drum), (ends[0], ends[1]), self.run.seen(since, 1.0)))
        return made

    def round_fusee(self) -> list[Figure]:
        """The chain on the cone, in the fusee's own frame when wound: pieces go as they come to the point of leaving."""
        start = math.atan2(*self.normal(self.turns)[::-1])
        made = []
        for k in range(math.ceil(self.turns * PIECES)):
            low, high = k / PIECES, min((k + 1) / PIECES, self.turns)
            radii = float(self.radius_mm(low)), float(self.radius_mm(high))
            ends = [start - self.run.sense * 2 * math.pi * (self.turns - turn) for turn in (low, high)]
            made.append(self._piece(radii, (ends[0], ends[1]), self.run.seen(0.0, 1 - (low + high) / 2 / self.turns)))
        return [*made, *(still_twin(each) for each in made)]

    def _piece(self, radii_mm: tuple[float, float], angles: tuple[float, float], move: Move) -> Figure:
        """A piece of chain between two angles, its two edges drawn and not its ends."""
        half, sweep = self.line.thickness_mm / 2, int(angles[1] < angles[0])
        there, back = self._arc(radii_mm, angles, half, sweep), self._arc(radii_mm[::-1], angles[::-1], -half, 1 - sweep)
        shapes = Shape(f"M{there}L{back}z", "steel bare"), Shape(f"M{there}M{back}", "steel-line hair")
        return Figure("chain", None, moves=(move,), shapes=shapes)

    def _arc(self, radii_mm: tuple[float, float], angles: tuple[float, float], out_mm: float, sweep: int) -> str:
        """An edge from its first point on; a piece is so short that its radius is taken as even."""
        ends = []
        for r, angle in zip(radii_mm, angles, strict=True):
            x, y = self.view.px((r + out_mm) * np.array([math.cos(angle), math.sin(angle)]))
            ends.append(f"{number(float(x), 1)} {number(float(y), 1)}")
        radius = number((sum(radii_mm) / 2 + out_mm) * self.view.scale, 1)
        return f"{ends[0]}A{radius} {radius} 0 0 {sweep} {ends[1]}"

    def groove_spiral(self) -> Shape:
        """The groove's floor seen along the arbor, in the fusee's own frame when wound."""
        start = math.atan2(*self.normal(self.turns)[::-1])
        turns = np.linspace(0.0, self.turns, max(2, round(20 * self.turns)))
        radius = self.radius_mm(turns) - self.line.thickness_mm / 2
        angles = start - self.run.sense * 2 * math.pi * (self.turns - turns)
        return Shape(opened(self.view.px(np.stack((radius * np.cos(angles), radius * np.sin(angles)), axis=-1)), 1), "groove")

    def ends_mm(self) -> tuple[float, float]:
        """Radius at the groove's floor, large and small end."""
        half = self.line.thickness_mm / 2
        return float(self.radius_mm(0.0)) - half, float(self.radius_mm(self.turns)) - half

    # From the side: z in px downwards from the small end (front) to the large (back); the chain crosses straight.

    def height_px(self, turns_left: float | Array) -> Array:
        """z at which the chain leaves the fusee."""
        return self.pitch_mm * self.view.scale * (self.turns - np.asarray(turns_left, dtype=float))

    def on_fusee_wrap(self) -> Wrap:
        """The chain on the cone, from the large end up."""
        px = self.view.scale
        return Wrap(
            self.turns, lambda turn: self.radius_mm(np.minimum(turn, self.turns)) * px,
            lambda turn: self.pitch_mm * px * turn, self.line.breadth_mm * px, -self.side, -1, upright=True,
        )  # fmt: skip

    def on_barrel_wrap(self) -> Wrap:
        """The chain on the barrel, from the small end's height down: it lies where the fusee let it go."""
        shares = np.linspace(0.0, 1.0, SAMPLES)
        on = np.array([self.on_barrel(self.left(float(s))) for s in shares])
        px, drum = self.view.scale, self.chained.drum_mm * self.view.scale
        heights = self.height_px(self.turns * (1 - shares))
        return Wrap(
            float(on[-1]), lambda turn: np.full(np.shape(turn), drum), lambda turn: np.interp(turn, on, heights),
            self.line.breadth_mm * px, self.side, 1, upright=True, flanged=False,
        )  # fmt: skip

    def grooves(self) -> Move:
        """The empty grooves pass by: over one turn of the fusee each comes where the next one was."""
        ends = tuple(self._grooves_d(self.turns % 1.0 - gone) for gone in (0.0, 1.0))
        one = self.run.ms / Fraction(str(self.run.turns))
        return Move("d", ends, (0.0, 1.0), round(one), exact_ms=one)

    def _grooves_d(self, phase: float) -> str:
        """Front halves of all grooves, as lines; those beyond an end lie on it."""
        text, px = "", self.view.scale
        back = np.linspace(-0.25, 0.25, 5)
        for k in range(math.ceil(self.turns) + 2):
            turn = np.clip(k + phase - back, 0.0, self.turns)
            x = -self.side * (self.radius_mm(turn) - self.line.thickness_mm / 2) * px * np.sin(2 * math.pi * back)
            z = self.height_px(turn)
            text += "M" + "L".join(f"{number(a, 1)} {number(b, 1)}" for a, b in zip(x, z, strict=True))
        return text
