"""The true spiral of a mainspring between its arbor and the wall: its own length, its own thickness, its own count of coils.

Along the strip, measured in turns u from the inner end, the radius of its middle line is three straight pieces: packed on the
arbor (pitch = thickness), free, packed on the wall. The inner end, shaped to the arbor, never leaves it. Of the ways to
lay a given length in a given number of coils, the free coils here share the room evenly from the pack to the far side, so there
is a pack on the arbor (wound further than half) or on the wall (less far), never both. In a half-filled barrel half wound every
coil is about one thickness from the next.

Neglected: coils keep to the middle (real ones bow to one side and touch), the ends are not shaped, and between the two packed
states the picture is laid out, not solved for balance of forces: the torque is never taken from it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import asinh, ceil, pi, sqrt

import numpy as np

from builder.ground.geometry import Points, polar
from builder.ground.roots import root

BRIDGE_TURNS = 0.5
"""Turn that the strip takes at least from pack to wall: what one sees in an open barrel (common practice, no source)."""


HELD_TURNS = 0.25
"""Turn at the inner end that stays on the arbor, to which it is shaped (common practice, no source)."""


def spiral_length_mm(turns: float, start_mm: float, end_mm: float) -> float:
    """Length of a spiral whose radius goes evenly from `start_mm` to `end_mm` in `turns`: exact, ∫√(r² + r'²) dθ."""
    if turns <= 0:
        return 0.0
    c = (end_mm - start_mm) / (2 * pi * turns)
    if abs(c) < 1e-4 * min(start_mm, end_mm):  # the closed form would be the small difference of large numbers
        return pi * turns * (start_mm + end_mm + 2 * c * c / (start_mm + end_mm))

    def upto(r: float) -> float:
        return r * sqrt(r * r + c * c) / (2 * c) + 0.5 * c * asinh(r / abs(c))

    return upto(end_mm) - upto(start_mm)


@dataclass(frozen=True)
class Coils:
    """A spring as it lies. Frame: the arbor's centre is the origin, the outer end lies on +x, both held still by the caller.

    From the inner end outwards the strip runs counter-clockwise; `points(...)` × (1, −1) is its mirror image.
    """

    thickness_mm: float
    knots: tuple[float, float, float, float]
    """Turns from the inner end: 0, end of the arbor's pack, start of the wall's pack, all coils."""
    radii_mm: tuple[float, float, float, float]
    """Radius of the middle line at the knots."""

    @property
    def count(self) -> float:
        """Coils from end to end."""
        return self.knots[3]

    @property
    def on_arbor(self) -> float:
        """Coils packed on the arbor."""
        return self.knots[1]

    @property
    def free(self) -> float:
        """Coils clear of both packs."""
        return self.knots[2] - self.knots[1]

    @property
    def on_wall(self) -> float:
        """Coils packed on the wall."""
        return self.knots[3] - self.knots[2]

    @property
    def inner_rad(self) -> float:
        """Angle of the inner end: winding by one turn takes 2π off it, because the arbor turns clockwise."""
        return -2 * pi * self.count

    def radius_mm(self, turns: float | Points) -> Points:
        """Radius of the middle line at turns from the inner end, same shape."""
        return np.asarray(np.interp(turns, self.knots, self.radii_mm))

    @cached_property
    def length_mm(self) -> float:
        """Length of the middle line: the strip's."""
        return sum(spiral_length_mm(self.knots[i + 1] - self.knots[i], self.radii_mm[i], self.radii_mm[i + 1]) for i in range(3))

    def points(self, chord_error_mm: float) -> Points:
        """The middle line as points (N, 2), inner end first, no chord further than about `chord_error_mm` from the spiral."""
        step = np.arccos(max(0.0, 1 - chord_error_mm / max(self.radii_mm))) / pi
        pieces = [
            np.linspace(a, b, max(2, ceil((b - a) / step) + 1)) for a, b in zip(self.knots, self.knots[1:], strict=False) if b > a
        ]
        turns = np.unique(np.concatenate(pieces))
        return polar(self.radius_mm(turns), 2 * pi * (turns - self.count))

    def arbor_outline(self, chord_error_mm: float) -> Points:
        """The snailed arbor under the first coil as a closed outline (N, 2): its step is one thickness, at the inner end."""
        start = self.radii_mm[0] - self.thickness_mm / 2
        steps = max(24, ceil(pi / np.arccos(max(0.0, 1 - chord_error_mm / self.radii_mm[0]))))
        turns = np.linspace(0.0, 1.0, steps + 1)
        return polar(start + self.thickness_mm * turns, 2 * pi * turns + self.inner_rad)


@dataclass(frozen=True)
class Bed:
    """Where a strip of given length and thickness can lie: between a snailed arbor of mean radius and a round wall."""

    length_mm: float
    thickness_mm: float
    arbor_radius_mm: float
    wall_radius_mm: float

    @property
    def innermost_mm(self) -> float:
        """Middle line at the inner end: the snail makes room for half the thickness."""
        return self.arbor_radius_mm

    @property
    def outermost_mm(self) -> float:
        """Middle line at the outer end, which lies against the wall."""
        return self.wall_radius_mm - self.thickness_mm / 2

    def _lay(self, on_arbor: float, free: float, on_wall: float) -> Coils:
        h, inner, outer = self.thickness_mm, self.innermost_mm, self.outermost_mm
        knots = (0.0, on_arbor, on_arbor + free, on_arbor + free + on_wall)
        return Coils(h, knots, (inner, inner + h * on_arbor, outer - h * on_wall, outer))

    def _excess(self, on_arbor: float, free: float, on_wall: float) -> float:
        """Strip that this lay would need beyond what there is, mm."""
        return self._lay(on_arbor, free, on_wall).length_mm - self.length_mm

    @property
    def most_coils(self) -> float:
        """Coils in the pack where it fills the room from arbor to wall."""
        return (self.outermost_mm - self.innermost_mm) / self.thickness_mm - BRIDGE_TURNS

    @property
    def longest_mm(self) -> float:
        """Length of strip that fills the room: it could not turn at all."""
        return self._lay(max(HELD_TURNS, self.most_coils), BRIDGE_TURNS, 0.0).length_mm

    @property
    def shortest_mm(self) -> float:
        """Length that holds to the arbor and just reaches the wall."""
        return self._lay(HELD_TURNS, BRIDGE_TURNS, 0.0).length_mm

    @cached_property
    def wound(self) -> Coils:
        """All coils on the arbor but for the half turn to the wall. Raises ValueError where the strip is too long or short."""
        packed = root(lambda n: self._excess(n, BRIDGE_TURNS, 0.0), HELD_TURNS, self.most_coils)
        return self._lay(packed, BRIDGE_TURNS, 0.0)

    @cached_property
    def down(self) -> Coils:
        """All coils on the wall but the inner end and the half turn to it. Raises ValueError where it is too long or short."""
        packed = root(lambda n: self._excess(HELD_TURNS, BRIDGE_TURNS, n), 0.0, self.most_coils - HELD_TURNS)
        return self._lay(HELD_TURNS, BRIDGE_TURNS, packed)

    def coils(self, count: float) -> Coils:
        """The strip laid in `count` coils. Raises ValueError outside down.count … wound.count."""
        low, high = self.down.count, self.wound.count
        if not low - 1e-9 <= count <= high + 1e-9:
            raise ValueError(f"from {low} to {high} coils, not {count}")
        loose = min(max(count, low), high) - HELD_TURNS
        even = self._excess(HELD_TURNS, loose, 0.0)  # nothing packed but the inner end
        tightest = self._excess(HELD_TURNS + loose - BRIDGE_TURNS, BRIDGE_TURNS, 0.0)
        slackest = self._excess(HELD_TURNS, BRIDGE_TURNS, loose - BRIDGE_TURNS)
        if tightest >= 0:  # only by rounding: fully wound
            return self.wound
        if slackest <= 0:
            return self.down
        span = loose - BRIDGE_TURNS
        if even > 0:
            more = root(lambda n: self._excess(HELD_TURNS + n, loose - n, 0.0), 0.0, span, f_low=even, f_high=tightest)
            return self._lay(HELD_TURNS + more, loose - more, 0.0)
        packed = root(lambda n: self._excess(HELD_TURNS, loose - n, n), 0.0, span, f_low=even, f_high=slackest)
        return self._lay(HELD_TURNS, loose - packed, packed)
