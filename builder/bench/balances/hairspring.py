"""Stiffness of the hairspring that brings a balance to its beat, and the strip that has it.

T = 2π √(I/k), so k = I (2π/T)²; a strip has k = E b h³/12L (any book of mechanics). Neglected: the spring's own inertia,
its ends, the escapement.
"""

from __future__ import annotations

from math import pi
from typing import Annotated, Literal

from pydantic import Field

from builder.bench.trains.anchored import BeatsPerHour
from builder.bench.working.lines import Steps, Working
from builder.bench.working.once import cannot
from builder.ground.constants import MATERIALS
from builder.ground.part import Length, Part

InertiaMgCm2 = Annotated[float, Field(gt=0, le=1e9)]


class Hairspring(Part):
    """Stiffness and thickness of a hairspring."""

    inertia_mg_cm2: InertiaMgCm2
    """Moment of inertia of the balance."""
    beats_per_hour: BeatsPerHour
    """Beats an hour."""
    height_mm: Annotated[float, Field(gt=0, le=20)] | None = None
    """Height of the strip, for its thickness."""
    length_mm: Length | None = None
    """Length of the strip in action."""
    material: Literal["steel", "bronze", "elinvar"] = "steel"
    """What it is made of."""
    amplitude_deg: Annotated[float, Field(gt=0, le=500)] | None = None
    """How far the balance swings to each side, for the energy that it holds."""

    def working(self) -> Working:
        """Raises Refused where only one of height and length is told."""
        if (self.height_mm is None) != (self.length_mm is None):
            key = "height_mm" if self.height_mm is None else "length_mm"
            raise cannot(key, "nothing", "height and length of the strip, or neither", "Give both.")
        steps = Steps("hairspring", self)
        period = steps.line("period_s", 7200 / self.beats_per_hour)
        stiffness = steps.line("stiffness_nnm", 0.1 * self.inertia_mg_cm2 * (2 * pi / float(period)) ** 2)
        if self.height_mm is not None and self.length_mm is not None:
            modulus = (MATERIALS[self.material].young_pa or 0.0) / 1e9
            cube = 12 * stiffness * self.length_mm / (1e9 * modulus * self.height_mm)
            steps.line("thickness_mm", cube ** (1 / 3), modulus_gpa=modulus)
        if self.amplitude_deg is not None:
            steps.line("swing_uj", stiffness * (self.amplitude_deg * pi / 180) ** 2 / 2000)
        return steps.done()
