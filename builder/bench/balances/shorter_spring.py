"""A shorter hairspring: its stiffness grows as 1/length, so the balance gains 86 400 (√(L/(L − s)) − 1) s a day.

Near right, a thousandth of the length is 43 s a day (from memory). Neglected: pins that let the spring play, and the place of the
pinning point on the coil, which shifts the rate in the vertical positions.
"""

from __future__ import annotations

from math import sqrt
from typing import Annotated

from pydantic import Field

from builder.bench.pendulums.rating_nut import RateSPerDay
from builder.bench.working.lines import Steps, Working
from builder.bench.working.once import cannot, not_once, refuse
from builder.ground.constants import SECONDS_PER_DAY
from builder.ground.part import Length, Part


class ShorterSpring(Part):
    """The gain of taking up a spring, or how much to take up for a gain."""

    length_mm: Length
    """Length of spring in action."""
    shorter_mm: Annotated[float, Field(ge=-5000, le=5000)] | None = None
    """How much is taken up (below 0: let out). Give this or the rate."""
    rate_s_per_day: RateSPerDay | None = None
    """Change wished for: + to make it gain."""

    def working(self) -> Working:
        """Raises Refused where not just one of the two is told, or all of the spring would be taken up."""
        refuse(not_once(self, "shorter_mm", "rate_s_per_day"))
        steps = Steps("shorter_spring", self)
        if self.rate_s_per_day is not None:
            steps.line("shorter_mm", self.length_mm * (1 - 1 / (1 + self.rate_s_per_day / SECONDS_PER_DAY) ** 2))
            return steps.done()
        assert self.shorter_mm is not None, "told once"
        if self.shorter_mm >= self.length_mm:
            raise cannot("shorter_mm", f"{self.shorter_mm:g}", f"less than the spring's {self.length_mm:g} mm", "Measure again.")
        steps.line("rate_s_per_day", SECONDS_PER_DAY * (sqrt(self.length_mm / (self.length_mm - self.shorter_mm)) - 1))
        return steps.done()
