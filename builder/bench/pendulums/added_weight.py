"""A small weight laid on the pendulum makes it gain: a rate without stopping the clock or touching the nut.

A pendulum of mass M and simple length L with m added at depth uL swings as √((1 + a u²)/(1 + a u)), a = m/M: exact for a point on
a simple pendulum (any book of mechanics). Half way down it tells most: about 10 800 m/M s a day.

Neglected: the pendulum's own weight lies a little above its centre of oscillation, which makes a weight tell a little more.
"""

from __future__ import annotations

from math import sqrt
from typing import Annotated

from pydantic import Field

from builder.bench.pendulums.gravity import Length
from builder.bench.working.lines import Steps, Working
from builder.bench.working.once import cannot, not_once, refuse
from builder.ground.constants import SECONDS_PER_DAY
from builder.ground.part import Part


class AddedWeight(Part):
    """The weight for a rate, or the rate of a weight."""

    pendulum_kg: Annotated[float, Field(gt=0, le=10_000)]
    """Mass of the pendulum, bob and rod."""
    length_mm: Length
    """Length of the simple pendulum."""
    depth_mm: Annotated[float, Field(gt=0, le=100_000)] | None = None
    """Depth of the tray below the bend of the suspension. Left out: half of the length, where a weight tells most."""
    added_g: Annotated[float, Field(ge=-100_000, le=100_000)] | None = None
    """Mass laid on (or, below 0, taken off). Give this or the rate."""
    rate_s_per_day: Annotated[float, Field(ge=-1000, le=1000)] | None = None
    """Change wished for: + to make it gain."""

    def working(self) -> Working:
        """Raises Refused where not just one of weight and rate is told, or no weight at this depth can do it."""
        refuse(not_once(self, "added_g", "rate_s_per_day"))
        steps = Steps("added_weight", self)
        depth = self.depth_mm
        if depth is None:
            depth = steps.line("depth_mm", self.length_mm / 2)
        share = steps.line("depth_part", depth / self.length_mm)
        if self.rate_s_per_day is not None:
            part = steps.line("rate_part", self.rate_s_per_day / SECONDS_PER_DAY)
            below = share - (1 + part) ** 2 * share**2
            if below <= 0:
                allowed = f"less than the pendulum's {self.length_mm:g} mm"
                raise cannot("depth_mm", f"{depth:g}", allowed, "A weight below its length makes it lose: lay it higher.")
            steps.line("added_g", 1000 * self.pendulum_kg * part * (2 + part) / below)
        else:
            assert self.added_g is not None, "told once"
            part = steps.line("mass_part", self.added_g / (1000 * self.pendulum_kg))
            if part * share <= -1 or part * share**2 <= -1:
                raise cannot("added_g", f"{self.added_g:g}", "less than the pendulum itself", "Weigh again.")
            rate = SECONDS_PER_DAY * (sqrt((1 + part * share) / (1 + part * share**2)) - 1)
            steps.line("rate_s_per_day", rate)
        return steps.done()
