"""A jar of mercury for a bob: how high it must stand to undo the growth of the rod.

net rise × x = α (l + x): x half the column, l the pendulum's length to its middle. E. Beckett, A Rudimentary Treatise on Clocks,
Watches, and Bells, 8th ed., London 1903, p. 66. The net rise is mercury's growth in bulk less twice the jar's widening.

Neglected: the jar's own weight, and that the centre of oscillation lies a little off the mercury's middle.
"""

from __future__ import annotations

from typing import Literal

from builder.bench.pendulums.gravity import Length
from builder.bench.pendulums.warmth import ExpansionPpm, expansion_of
from builder.bench.working.lines import Steps, Working
from builder.bench.working.once import cannot
from builder.ground.constants import MATERIALS, MaterialName
from builder.ground.part import Part
from builder.parts.oscillator.rating import mercury_centre


class MercuryJar(Part):
    """Height of the mercury."""

    length_mm: Length
    """Length of the pendulum to the middle of the mercury."""
    rod: MaterialName | None = None
    """What the rod is made of."""
    expansion_ppm_per_c: ExpansionPpm | None = None
    """Its expansion in millionths a °C, instead of the material."""
    jar: Literal["glass", "iron", "steel"] = "glass"
    """What the jar is made of."""
    net_rise_ppm_per_c: ExpansionPpm | None = None
    """Growth of the column in height, millionths a °C, where it is known better than by the jar."""

    def working(self) -> Working:
        """Raises Refused where the expansion is not told once, or the mercury rises no more than the rod."""
        steps = Steps("mercury_jar", self)
        falls = expansion_of(steps, "rod", self.rod, self.expansion_ppm_per_c)
        rise = self.net_rise_ppm_per_c
        if rise is None:
            bulk, wide = (1e6 * MATERIALS[name].expansion_per_k for name in ("mercury", self.jar))
            rise = steps.line("net_rise_ppm_per_c", 3 * bulk - 2 * wide, mercury=3 * bulk, widening=wide)
        if rise <= falls:
            advice = "Only a rod that grows less than the mercury can be compensated so."
            raise cannot("net_rise_ppm_per_c", f"{rise:g}", f"more than the rod's {falls:g}", advice)
        half = steps.line("half_height_mm", mercury_centre(self.length_mm, rise, falls))
        steps.line("column_mm", 2 * half)
        return steps.done()
