"""The fusee's cone: radius against turns, line against turns, and the torque that a spring gives through it.

Turns φ are turns of line left on the cone: 0 run down (the line pulls at the large end), all of them wound (small end).
A spring whose pull is a straight line does the work k (m² − m0²)/2 from m0 turns beyond its free shape to m; a torque C that
stays even does C φ. So m² is straight in φ, and because (drum radius) × C = (cone radius) × (spring torque k m), so is 1/radius².
Every cone here has that shape; two radii and the turns fix it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt

import numpy as np

from builder.ground.geometry import Points
from builder.parts.source.drive import J_PER_NMM_TURN, Array


@dataclass(frozen=True)
class Cone:
    """A fusee cut for a straight-line spring. Radii are to the middle of the line."""

    turns: float
    large_mm: float
    small_mm: float

    @property
    def _slope(self) -> float:
        return (self.small_mm**-2 - self.large_mm**-2) / self.turns

    def radius_mm(self, turns_left: Array) -> Array:
        """Radius at which the line pulls."""
        return 1 / np.sqrt(self.large_mm**-2 + self._slope * np.asarray(turns_left, dtype=float))

    def line_turns(self, turns_left: Array, drum_mm: float) -> Array:
        """Turns of a drum of that radius that the line on the cone makes: ∫ radius dφ / drum."""
        left = np.asarray(turns_left, dtype=float)
        start = self.large_mm**-2
        return 2 * left / (np.sqrt(start + self._slope * left) + sqrt(start)) / drum_mm

    @property
    def line_mm(self) -> float:
        """Length of line on the full cone. Neglected: the rise of the groove, less than 1 part in 1000."""
        return float(2 * pi * self.line_turns(np.array(self.turns), 1.0))

    @property
    def evening_turns_by_drum(self) -> float:
        """Turns beyond the free shape, run down, of the spring that this cone evens, for a drum of 1 mm radius."""
        ratio = self.large_mm / self.small_mm
        return 2 * self.small_mm * ratio * self.turns / (ratio * ratio - 1)

    def profile_mm(self, pitch_mm: float, points: int) -> Points:
        """(N, 2): distance along the arbor from the large end, and radius, N = `points`."""
        turns = np.linspace(0.0, self.turns, points)
        return np.stack((pitch_mm * turns, self.radius_mm(turns)), axis=-1)


def even_cone(turns: float, large_mm: float, drum_mm: float, wound_on: float) -> Cone:
    """The cone that keeps even the torque of a spring that is `wound_on` turns beyond its free shape when run down."""
    wound = sqrt(wound_on**2 + 2 * large_mm * wound_on * turns / drum_mm)
    return Cone(turns, large_mm, large_mm * wound_on / wound)


def even_turns(large_mm: float, small_mm: float, drum_mm: float, wound_on: float) -> float:
    """Turns of groove with which a cone between two radii keeps even such a spring's torque."""
    return drum_mm * wound_on * (large_mm**2 - small_mm**2) / (2 * small_mm**2 * large_mm)


@dataclass(frozen=True)
class Pull:
    """Torque on the fusee's arbor from a straight-line spring through the line: a `Law` over turns left."""

    cone: Cone
    drum_mm: float
    """Radius to the middle of the line on the barrel."""
    wound_on: float
    """Turns of the spring beyond its free shape when the fusee is run down."""
    pull_nmm_per_turn: float

    def spring_turns(self, turns: Array) -> Array:
        """Turns of the spring beyond its free shape."""
        return self.wound_on + self.cone.line_turns(turns, self.drum_mm)

    def torque_nmm(self, turns: Array) -> Array:
        return self.pull_nmm_per_turn * self.spring_turns(turns) * self.cone.radius_mm(turns) / self.drum_mm

    def work_j(self, turns: Array) -> Array:
        return 0.5 * J_PER_NMM_TURN * self.pull_nmm_per_turn * (self.spring_turns(turns) ** 2 - self.wound_on**2)
