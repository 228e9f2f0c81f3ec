"""The true spiral of a mainspring between its arbor and the wall: its own length, its own thickness, its own count of coils.

Along the strip, measured in turns u from the inner end, the radius of its middle line is three straight pieces: packed on the
arbor (pitch = thickness), free, packed on the wall. Of the ways to lay a given length in a given number of coils, the free
coils here share the room between the pack and the far side evenly, so there is a pack on the arbor (wound further than that) or
on the wall (less far), never both. A half-filled barrel half wound has none: every coil is one thickness from the next.

Neglected: the spring keeps to the middle (real coils bow to one side and touch), and the strip's ends are not shaped.
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


def spiral_length_mm(turns: float, start_mm: float, end_mm: float) -> float:
    """Length of a spiral whose radius goes evenly from `start_mm` to `end_mm` in `turns`: exact, ∫√(r² + r'²) dθ."""
    if turns <= 0:
        return 0.0
    c = (end_mm - start_mm) / (2 * pi * turns)
    if abs(c) < 1e-9 * end_mm:
        return pi * turns * (start_mm + end_mm)

    def upto(r: float) -> float:
        return r * sqrt(r * r + c * c) / (2 * c) + 0.5 * c * asinh(r / c)

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

    @property
    def area_mm2(self) -> float:
        """Area of the strip seen from the end."""
        return self.length_mm * self.thickness_mm

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

    def _wound(self, on_arbor: float, free: float) -> Coils:
        edge = self.innermost_mm + self.thickness_mm * on_arbor
        knots = (0.0, on_arbor, on_arbor + free, on_arbor + free)
        return Coils(self.thickness_mm, knots, (self.innermost_mm, edge, self.outermost_mm, self.outermost_mm))

    def _down(self, on_wall: float, free: float) -> Coils:
        edge = self.outermost_mm - self.thickness_mm * on_wall
        return Coils(
            self.thickness_mm, (0.0, 0.0, free, free + on_wall), (self.innermost_mm, self.innermost_mm, edge, self.outermost_mm)
        )

    @property
    def most_coils(self) -> float:
        """Coils in the pack where it fills the room from arbor to wall."""
        return (self.outermost_mm - self.innermost_mm) / self.thickness_mm - BRIDGE_TURNS

    @property
    def longest_mm(self) -> float:
        """Length of strip that fills the room: it could not turn at all."""
        return self._wound(max(0.0, self.most_coils), BRIDGE_TURNS).length_mm

    @property
    def shortest_mm(self) -> float:
        """Length that reaches once round from arbor to wall."""
        return spiral_length_mm(1.0, self.innermost_mm, self.outermost_mm)

    @cached_property
    def wound(self) -> Coils:
        """All coils on the arbor but for the half turn to the wall. Raises ValueError where the strip is too long or short."""
        packed = root(lambda n: self._wound(n, BRIDGE_TURNS).length_mm - self.length_mm, 0.0, self.most_coils)
        return self._wound(packed, BRIDGE_TURNS)

    @cached_property
    def down(self) -> Coils:
        """All coils on the wall but for the half turn to the arbor. Raises ValueError where the strip is too long or short."""
        packed = root(lambda n: self._down(n, BRIDGE_TURNS).length_mm - self.length_mm, 0.0, self.most_coils)
        return self._down(packed, BRIDGE_TURNS)

    def coils(self, count: float) -> Coils:
        """The strip laid in `count` coils. Raises ValueError outside down.count … wound.count."""
        if not self.down.count - 1e-9 <= count <= self.wound.count + 1e-9:
            raise ValueError(f"from {self.down.count} to {self.wound.count} coils, not {count}")
        count = min(max(count, self.down.count), self.wound.count)
        lay = self._wound if spiral_length_mm(count, self.innermost_mm, self.outermost_mm) > self.length_mm else self._down
        most = count - BRIDGE_TURNS

        def excess(packed: float) -> float:
            return lay(packed, count - packed).length_mm - self.length_mm

        at_none, at_most = excess(0.0), excess(most)
        if (at_none < 0) == (at_most < 0):  # only by rounding, at either end of the range
            return self.wound if lay == self._wound else self.down
        packed = root(excess, 0.0, most, f_low=at_none, f_high=at_most)
        return lay(packed, count - packed)
