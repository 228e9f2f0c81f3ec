"""Gridiron: bars of a second metal that lift as much as the rods let down, so that warmth does nothing.

Lengths inversely as the expansions: E. Beckett, A Rudimentary Treatise on Clocks, Watches, and Bells, 8th ed., London 1903, p.
53. The falling length counts every falling rod, those that the rising bars make longer too.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from builder.bench.pendulums.warmth import ExpansionPpm, expansion_of
from builder.bench.working.lines import Steps, Working
from builder.bench.working.once import cannot
from builder.ground.constants import MaterialName
from builder.ground.part import Part
from builder.parts.oscillator.rating import rising_length


class Gridiron(Part):
    """Length of the rising bars."""

    falling_mm: Annotated[float, Field(gt=0, le=100_000)]
    """Length of all falling rods, one after the other."""
    falling: MaterialName | None = None
    """Metal of the falling rods."""
    falling_ppm_per_c: ExpansionPpm | None = None
    """Its expansion in millionths a °C, instead of the metal."""
    rising: MaterialName | None = None
    """Metal of the rising bars."""
    rising_ppm_per_c: ExpansionPpm | None = None
    """Its expansion in millionths a °C, instead of the metal."""

    def working(self) -> Working:
        """Raises Refused where an expansion is not told once, or the rising metal does not grow."""
        steps = Steps("gridiron", self)
        falls = expansion_of(steps, "falling", self.falling, self.falling_ppm_per_c)
        rises = expansion_of(steps, "rising", self.rising, self.rising_ppm_per_c)
        if rises <= 0:
            raise cannot("rising_ppm_per_c", f"{rises:g}", "more than 0", "Name a metal that grows.")
        steps.line("rising_mm", rising_length(self.falling_mm, falls, rises))
        return steps.done()
