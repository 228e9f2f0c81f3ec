"""Torque of a source against the turns that are left: what the train is driven with, and the energy under that curve.

A law knows torque and work; `Drive` is a law over the turns of one winding. Turns are of the source's arbor and count what is
left: 0 is run down, `turns` is wound. Where only counts are known a source has no Drive at all (None), never a guessed one.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import Literal, Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

J_PER_NMM_TURN = 2 * pi / 1000
"""Work of 1 N·mm over one turn, J."""


class Law(Protocol):
    """Torque over turns left, and its integral."""

    def torque_nmm(self, turns: Array) -> Array:
        """Torque in N·mm at turns left, same shape."""

    def work_j(self, turns: Array) -> Array:
        """Energy in J that comes out from `turns` left down to 0, same shape."""


@dataclass(frozen=True)
class Straight:
    """A straight line: a spring that pulls in proportion to its winding; a weight, where the slope is 0."""

    base_nmm: float
    """Torque with no turn left."""
    slope_nmm: float
    """More torque a turn."""

    def torque_nmm(self, turns: Array) -> Array:
        return self.base_nmm + self.slope_nmm * turns

    def work_j(self, turns: Array) -> Array:
        return J_PER_NMM_TURN * turns * (self.base_nmm + 0.5 * self.slope_nmm * turns)


@dataclass(frozen=True)
class Curve:
    """A smooth line through readings that never overshoots them: cubics whose slopes are harmonic means.

    F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300-304. Beyond the first and the last reading the torque is
    held as it was last read.
    """

    turns: tuple[float, ...]
    """(n,), n ≥ 2, rising."""
    torques_nmm: tuple[float, ...]
    """(n,)."""

    def torque_nmm(self, turns: Array) -> Array:
        index, x = self._place(turns)
        a, b, c, d = self._cubics()[:, index]
        return a + x * (b + x * (c + x * d))

    def work_j(self, turns: Array) -> Array:
        return J_PER_NMM_TURN * (self._area(turns) - self._area(np.zeros(())))

    def _area(self, turns: Array) -> Array:
        """Integral of the torque from the first reading to `turns`, N·mm·turns."""
        xs, ys = np.asarray(self.turns), np.asarray(self.torques_nmm)
        a, b, c, d = cubics = self._cubics()
        h = np.diff(xs)
        before = np.concatenate(([0.0], np.cumsum(h * (a + h * (b / 2 + h * (c / 3 + h * d / 4))))))
        index, x = self._place(turns)
        a, b, c, d = cubics[:, index]
        inside = before[index] + x * (a + x * (b / 2 + x * (c / 3 + x * d / 4)))
        return inside + ys[0] * np.minimum(turns - xs[0], 0.0) + ys[-1] * np.maximum(turns - xs[-1], 0.0)

    def _place(self, turns: Array) -> tuple[NDArray[np.intp], Array]:
        """Which piece, and how far into it; held at the ends."""
        xs = np.asarray(self.turns)
        held = np.clip(turns, xs[0], xs[-1])
        index = np.clip(np.searchsorted(xs, held, side="right") - 1, 0, len(xs) - 2)
        return index, held - xs[index]

    def _cubics(self) -> Array:
        """(4, n-1): coefficients of each piece, constant first."""
        xs, ys = np.asarray(self.turns), np.asarray(self.torques_nmm)
        h = np.diff(xs)
        chord = np.diff(ys) / h
        slope = self._slopes(h, chord)
        return np.stack(
            (ys[:-1], slope[:-1], (3 * chord - 2 * slope[:-1] - slope[1:]) / h, (slope[:-1] + slope[1:] - 2 * chord) / h**2)
        )

    @staticmethod
    def _slopes(h: Array, chord: Array) -> Array:
        """(n,): 0 where the chords change sign, else their harmonic mean weighted by the gaps; at the ends by three points."""
        if len(chord) == 1:
            return np.repeat(chord, 2)
        slope = np.zeros(len(chord) + 1)
        same = chord[:-1] * chord[1:] > 0
        w1, w2 = 2 * h[1:] + h[:-1], h[1:] + 2 * h[:-1]
        slope[1:-1][same] = ((w1 + w2)[same]) / (w1[same] / chord[:-1][same] + w2[same] / chord[1:][same])
        for end, (h0, h1), (c0, c1) in ((0, h[:2], chord[:2]), (-1, h[:-3:-1], chord[:-3:-1])):
            guess = ((2 * h0 + h1) * c0 - h0 * c1) / (h0 + h1)
            if guess * c0 <= 0:
                guess = 0.0
            elif c0 * c1 < 0 and abs(guess) > 3 * abs(c0):
                guess = 3 * c0
            slope[end] = guess
        return slope


@dataclass(frozen=True)
class Drive:
    """A source's torque over one winding."""

    turns: float
    """Turns of the source's arbor in one winding."""
    law: Law
    origin: Literal["computed", "measured"]
    """From sizes, or from torques read at the bench."""
    uncertainty: float = 0.0
    """How far the whole curve may be off, as a part of it: 0.3 for a spring known by its sizes alone; 0 where nothing is said."""
    winding_factor: float = 1.0
    """Torque to wind, by the torque it gives back: above 1 where coil friction is stated."""

    def torque_nmm(self, turns_left: ArrayLike) -> Array:
        """Torque on the source's arbor, N·mm, same shape as `turns_left`. Raises ValueError outside 0 … turns."""
        return self.law.torque_nmm(self._within(turns_left))

    def energy_j(self, from_turns: float | None = None, to_turns: float = 0.0) -> float:
        """Energy that the arbor gives between two numbers of turns left, J: of the whole winding where none are named."""
        start, end = self._within(self.turns if from_turns is None else from_turns), self._within(to_turns)
        return float(self.law.work_j(start) - self.law.work_j(end))

    def power_uw(self, turns_left: ArrayLike, hours_per_turn: float) -> Array:
        """Power into the train, µW, when the source's arbor turns once in `hours_per_turn`."""
        return self.torque_nmm(turns_left) * (J_PER_NMM_TURN * 1e6 / (hours_per_turn * 3600))

    def mean_power_uw(self, hours_per_turn: float) -> float:
        """Power averaged over one winding, µW."""
        return self.energy_j() / (self.turns * hours_per_turn * 3600) * 1e6

    @property
    def evenness(self) -> float:
        """Torque run down by torque wound: 1 for a weight or a true fusee, less for a bare spring."""
        down, wound = self.torque_nmm(np.array([0.0, self.turns]))
        return float(down / wound)

    def _within(self, turns_left: ArrayLike) -> Array:
        turns = np.asarray(turns_left, dtype=float)
        spare = 1e-9 * self.turns
        if not np.all((turns >= -spare) & (turns <= self.turns + spare)):
            raise ValueError(f"turns left from 0 to {self.turns}, not {turns.min()} to {turns.max()}")
        return np.clip(turns, 0.0, self.turns)
