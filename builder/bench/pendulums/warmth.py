"""What warmth does to a plain pendulum: the rod grows, and the clock loses half of that part of a day.

86 400 (1/√(1 + α ΔT) − 1) s a day, α the rod's expansion (E. Beckett, A Rudimentary Treatise on Clocks, Watches, and Bells, 8th
ed., London 1903, p. 52-53). Neglected: the bob's own growth upwards from the nut, which gives a little of it back; the
suspension spring's loss of stiffness; the air.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from builder.bench.working.lines import Steps, Working
from builder.bench.working.once import cannot
from builder.ground.constants import MATERIALS, MaterialName
from builder.ground.part import Length, Part
from builder.parts.oscillator.rating import warmed_s_per_day

ExpansionPpm = Annotated[float, Field(ge=0, le=500)]
"""Linear expansion in millionths a °C."""


class Warmth(Part):
    """The loss of a plain rod."""

    rod: MaterialName | None = None
    """What the rod is made of."""
    expansion_ppm_per_c: ExpansionPpm | None = None
    """Its expansion in millionths a °C, instead of the material."""
    rise_c: Annotated[float, Field(ge=-100, le=100)]
    """How much warmer it is."""
    length_mm: Length | None = None
    """Length of the pendulum, to see how much it grows."""

    def working(self) -> Working:
        """Raises Refused where the expansion is not told once."""
        steps = Steps("warmth", self)
        expansion = expansion_of(steps, "rod", self.rod, self.expansion_ppm_per_c)
        part = steps.line("growth_part", expansion * self.rise_c / 1e6)
        if self.length_mm is not None:
            steps.line("growth_mm", self.length_mm * part)
        rate = steps.line("rate_s_per_day", warmed_s_per_day(1e-6 * expansion, self.rise_c))
        if rate:
            steps.line("minute_days", 60 / abs(rate))
        return steps.done()


def expansion_of(steps: Steps, field: str, material: MaterialName | None, told: float | None) -> float:
    """Expansion in millionths a °C, told or of the material. Raises Refused unless just one of the two is there."""
    if (material is None) == (told is None):
        key = "expansion_ppm_per_c" if field == "rod" else f"{field}_ppm_per_c"
        raise cannot(field, "nothing" if material is None else "both", f"{field} or {key}", "Give one of the two.")
    if told is not None:
        return told
    assert material is not None, "told once"
    name = "expansion_ppm_per_c" if field == "rod" else f"{field}_ppm_per_c"
    return steps.line(name, 1e6 * MATERIALS[material].expansion_per_k, by="expansion_of_material")
