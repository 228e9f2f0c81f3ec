"""Beat of a pendulum of known length, or of a round bob whose centre can be measured: π √(L/g) (C. Huygens, 1673).

A bob of some size beats as a longer simple pendulum: L = l + k²/l with k² a share of r² (2/5 of a ball, W. Derham, The Artificial
Clock-Maker, London 1696, p. 74; 1/2 of a drum seen from the front, 1/3 of a shallow lens: any book of mechanics).

Neglected: weight of the rod, stiffness of the suspension, the arc, the air.
"""

from __future__ import annotations

from fractions import Fraction
from math import sqrt
from typing import Annotated, Literal

from pydantic import Field

from builder.bench.pendulums.gravity import GravityMS2, HeightM, LatitudeDeg, Length, gravity_of
from builder.bench.trains.anchored import BeatsPerHour
from builder.bench.working.lines import Steps, Working
from builder.bench.working.once import not_once, refuse
from builder.ground.part import Part
from builder.parts.oscillator.rating import beat_s

GYRATION = {"ball": 0.4, "drum": 0.5, "lens": 1 / 3}
"""Square of the radius of gyration over the square of the radius, axis fore and aft."""


class PendulumBeat(Part):
    """The beat of a length."""

    length_mm: Length | None = None
    """Length of the simple pendulum. Give this, or to_centre_mm."""
    to_centre_mm: Length | None = None
    """From the bend of the suspension spring to the bob's centre."""
    bob_diameter_mm: Annotated[float, Field(ge=0, le=5000)] = 0.0
    """Diameter of the bob as seen from the front."""
    bob: Literal["ball", "drum", "lens"] = "lens"
    """Its shape: ball, drum (flat disc) or lens (two shallow caps)."""
    latitude_deg: LatitudeDeg | None = None
    """Latitude. Left out: standard gravity."""
    height_m: HeightM = 0.0
    """Height above the sea."""
    gravity_m_s2: GravityMS2 | None = None
    """Gravity, where it is known better than by latitude and height."""
    standard_mm: Length | None = None
    """Length of a pendulum of known beat to reckon from, instead of gravity."""
    standard_beats_per_hour: BeatsPerHour = Fraction(3600)
    """Its beats an hour: 3600 for a seconds pendulum."""

    def working(self) -> Working:
        """Raises Refused where the length is not told once."""
        refuse(not_once(self, "length_mm", "to_centre_mm"))
        steps = Steps("pendulum_beat", self)
        length = self.length_mm
        if length is None:
            assert self.to_centre_mm is not None, "told once"
            share = GYRATION[self.bob]
            length = self.to_centre_mm + share * (self.bob_diameter_mm / 2) ** 2 / self.to_centre_mm
            steps.line("length_mm", length, by="length_by_bob", gyration=share)
        if self.standard_mm is not None:
            beats = float(self.standard_beats_per_hour) * sqrt(self.standard_mm / length)
            steps.line("beats_per_hour", beats, by="beats_by_standard", length_mm=length)
            steps.line("beat_s", 3600 / beats, by="beat_by_beats")
        else:
            gravity = gravity_of(steps, self.latitude_deg, self.height_m, self.gravity_m_s2)
            beat = steps.line("beat_s", beat_s(1e-3 * length, gravity))
            beats = steps.line("beats_per_hour", 3600 / beat)
        steps.line("beats_per_minute", beats / 60)
        return steps.done()
