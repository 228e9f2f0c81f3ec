"""A cord or chain wound in one layer on a drum or a cone, seen from the side on which it leaves.

What is seen are the front halves of its turns. As the line runs off, the pattern slides along to the end where the line is
fastened and disappears there, under a flange: each turn keeps its place on the drum, and the drum turns.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from builder.drawing.path import joined, number
from builder.drawing.sheet import Move
from builder.drawing.source.run import Run

Array = NDArray[np.float64]

MOST_SEEN = 40
"""Turns. More of them lie too close on the sheet to be told apart: they are drawn as one band."""
BAND = np.linspace(0.0, 1.0, 25)
"""Where a band's edges are known, as parts of what is on; and at which shares of the time."""

FRONT = np.linspace(-0.25, 0.25, 5)
"""The front half of a turn, in turns from where it faces the eye."""


@dataclass(frozen=True)
class Wrap:
    """How the line lies, in px: the axis along z from where the line is fastened, `across` it the other way."""

    most: float
    """Turns that it can hold."""
    radius_px: Callable[[Array], Array]
    """To the middle of the line, at turns from the fastened end."""
    place_px: Callable[[Array], Array]
    """Along the axis, from where it is fastened, at turns from there."""
    breadth_px: float
    side: int
    """+1 where from the point of leaving it goes back towards greater `across`; else −1."""
    way: int = 1
    """+1 where z grows to the right (or downwards); else −1."""
    upright: bool = False
    """The axis stands upright."""
    flanged: bool = True
    """A flange hides the fastened end; else what is no longer on is drawn as nothing."""

    def d(self, turns_on: float) -> str:
        """All turns in front as one path: the same points whatever is on."""
        if self.most > MOST_SEEN:
            return self._band(turns_on)
        pieces = []
        for k in range(math.floor(self.most) + 1):
            back = k + (FRONT[FRONT >= 0] if k == 0 else FRONT)
            z, across = self._at(turns_on, back)
            half = self.breadth_px / 2
            edges = np.stack((np.concatenate([z - half, (z + half)[::-1]]), np.concatenate([across, across[::-1]])), axis=-1)
            pieces.append(_closed(edges[:, ::-1] if self.upright else edges))
        return "".join(pieces)

    def _band(self, turns_on: float) -> str:
        """From the fastened end to where it leaves, as wide as what it lies on."""
        turn = BAND * turns_on
        z, across = self.way * self.place_px(turn), self.radius_px(turn)
        edges = np.stack((np.concatenate([z, z[::-1]]), np.concatenate([across, -across[::-1]])), axis=-1)
        return _closed(edges[:, ::-1] if self.upright else edges)

    def leaves_px(self, turns_on: float) -> float:
        """Where along the axis the line leaves."""
        return self.way * float(self.place_px(np.array(turns_on)))

    def _at(self, turns_on: float, back: Array) -> tuple[Array, Array]:
        """Along and across, at turns back from where it leaves; what is no longer on lies at the fastened end."""
        turn = np.maximum(turns_on - back, 0.0)
        round_it = back if self.flanged else np.minimum(back, turns_on)
        return self.way * self.place_px(turn), self.side * self.radius_px(turn) * np.sin(2 * math.pi * round_it)

    def move(self, run: Run, on: Callable[[float], float]) -> Move:
        """Key frames at every whole turn, between which the pattern slides evenly; `on` gives turns on it at turns left."""
        shares = whole_turns(run, on) if self.most <= MOST_SEEN else tuple(BAND.tolist())
        return run.move("d", tuple(self.d(on(run.left(share))) for share in shares), shares)


def _closed(points: Array) -> str:
    """As `path.closed` does it, but no point is left out, so that all key frames have the same."""
    grid = np.rint(points * 10).astype(int)
    steps = np.diff(grid, axis=0).ravel().tolist()
    start, rest = (joined(number(v / 10, 1) for v in values) for values in (grid[0].tolist(), steps))
    return f"M{start}l{rest}z"


def whole_turns(run: Run, on: Callable[[float], float]) -> tuple[float, ...]:
    """Shares of the time at which a whole number of turns is on, with both ends."""
    shares = np.linspace(0.0, 1.0, 193)
    turns = np.array([on(run.left(float(share))) for share in shares])
    rising = turns[-1] > turns[0]
    inside = np.arange(math.ceil(turns.min() + 1e-6), math.floor(turns.max() - 1e-6) + 1)
    found = np.interp(inside, turns if rising else turns[::-1], shares if rising else shares[::-1])
    return (0.0, *sorted(float(share) for share in found), 1.0)
