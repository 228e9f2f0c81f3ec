"""Length of the pendulum for a beat: g t²/π² (C. Huygens, Horologium oscillatorium, Paris 1673), at a place and for an arc.

Older books reckon from a pendulum of known beat instead of gravity: lengths go as the squares of the beats.

Neglected: size and weight of rod and bob (measure to the centre of oscillation), stiffness of the suspension, the air.
"""

from __future__ import annotations

from fractions import Fraction
from math import radians
from typing import Annotated

from pydantic import Field

from builder.bench.pendulums.gravity import GravityMS2, HeightM, LatitudeDeg, Length, gravity_of
from builder.bench.trains.anchored import BeatsPerHour
from builder.bench.working.asked import Exact
from builder.bench.working.lines import Steps, Working
from builder.bench.working.once import not_once, refuse
from builder.ground.part import Part
from builder.parts.oscillator.rating import simple_length_m
from builder.parts.oscillator.terms import elliptic_period_ratio

BeatS = Annotated[Exact, Field(gt=0, le=30)]
SemiArcDeg = Annotated[float, Field(gt=0, le=30)]


class PendulumLength(Part):
    """The length for a beat."""

    beat_s: BeatS | None = None
    """Time of one beat: 1 for a seconds pendulum. Give this or beats_per_hour."""
    beats_per_hour: BeatsPerHour | None = None
    """Beats an hour."""
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
    semi_arc_deg: SemiArcDeg | None = None
    """How far it swings to each side, to allow for the circular error."""

    def working(self) -> Working:
        """Raises Refused where the beat is not told once."""
        refuse(not_once(self, "beat_s", "beats_per_hour"))
        steps = Steps("pendulum_length", self)
        beat = self.beat_s
        if beat is None:
            assert self.beats_per_hour is not None, "told once"
            beat = steps.line("beat_s", 3600 / self.beats_per_hour)
        if self.standard_mm is not None:
            length = self.standard_mm * float(beat * self.standard_beats_per_hour / 3600) ** 2
            steps.line("length_mm", length, by="length_by_standard", beat_s=beat)
        else:
            gravity = gravity_of(steps, self.latitude_deg, self.height_m, self.gravity_m_s2)
            length = steps.line("length_mm", 1e3 * simple_length_m(float(beat), gravity))
        if self.semi_arc_deg is not None:
            arc = steps.line("semi_arc_rad", radians(self.semi_arc_deg))
            ratio = steps.line("period_ratio", elliptic_period_ratio(arc))
            steps.line("swung_mm", length / ratio**2)
        return steps.done()
