"""Timing screws and washers: mass moved on the rim changes the balance's inertia, and the rate as 1/√I.

n screws of mass m whose centres go from r to r + x add n m ((r + x)² − r²); washers of mass w under them add n w r² (any book of
mechanics). Neglected: what a screw's own turning about its centre adds, and any loss of poise: move opposite screws alike.
"""

from __future__ import annotations

from math import sqrt
from typing import Annotated

from pydantic import Field

from builder.bench.balances.hairspring import InertiaMgCm2
from builder.bench.pendulums.rating_nut import RateSPerDay
from builder.bench.working.lines import Steps, Working
from builder.bench.working.once import cannot
from builder.ground.constants import SECONDS_PER_DAY
from builder.ground.part import Length, Part

MassMg = Annotated[float, Field(gt=0, le=100_000)]


class TimingScrews(Part):
    """The rate of moved screws or added washers, or how far to move screws for a rate."""

    inertia_mg_cm2: InertiaMgCm2
    """Moment of inertia of the balance."""
    screws: Annotated[int, Field(ge=2, le=40)] = 2
    """How many screws are moved, or get a washer: opposite ones together."""
    radius_mm: Length
    """From the staff to a screw's centre of mass."""
    mass_mg: MassMg | None = None
    """Mass of one screw, where screws are moved."""
    out_mm: Annotated[float, Field(ge=-100, le=100)] | None = None
    """How far each is moved out (below 0: in)."""
    washer_mg: Annotated[float, Field(ge=-100_000, le=100_000)] | None = None
    """Mass of a washer under each (below 0: taken off), instead of moving them."""
    rate_s_per_day: RateSPerDay | None = None
    """Change wished for: + to make it gain. Then it is worked out how far to move them."""

    def working(self) -> Working:
        """Raises Refused where not just one change is told, or it cannot be had."""
        told = [name for name in ("out_mm", "washer_mg", "rate_s_per_day") if getattr(self, name) is not None]
        if len(told) != 1:
            raise cannot(
                "out_mm", " and ".join(told) or "nothing", "out_mm, washer_mg or rate_s_per_day", "Give one of the three."
            )
        if self.mass_mg is None and told != ["washer_mg"]:
            raise cannot("mass_mg", "nothing", "the mass of one screw", "Weigh one.")
        steps = Steps("timing_screws", self)
        n, r, inertia = self.screws, self.radius_mm, self.inertia_mg_cm2
        if self.rate_s_per_day is not None:
            assert self.mass_mg is not None, "asked for"
            more = steps.line(
                "inertia_more_mg_cm2", inertia * (1 / (1 + self.rate_s_per_day / SECONDS_PER_DAY) ** 2 - 1), by="inertia_by_rate"
            )
            square = r * r + 100 * more / (n * self.mass_mg)
            if square <= 0:
                allowed = "a change that these screws can make"
                raise cannot("rate_s_per_day", f"{self.rate_s_per_day:g}", allowed, "Move more screws, or take mass off the rim.")
            steps.line("out_mm", sqrt(square) - r)
            return steps.done()
        if self.washer_mg is not None:
            more = steps.line("inertia_more_mg_cm2", n * self.washer_mg * r * r / 100, by="inertia_by_washers")
        else:
            assert self.out_mm is not None and self.mass_mg is not None, "asked for"
            if self.out_mm <= -r:
                raise cannot("out_mm", f"{self.out_mm:g}", f"more than −{r:g} mm, the staff", "Measure again.")
            more = steps.line(
                "inertia_more_mg_cm2", n * self.mass_mg * ((r + self.out_mm) ** 2 - r * r) / 100, by="inertia_by_screws"
            )
        if inertia + more <= 0:
            raise cannot(
                "inertia_mg_cm2", f"{inertia:g}", f"more than the {-more:g} mg·cm² taken off", "Weigh and measure again."
            )
        steps.line("rate_s_per_day", SECONDS_PER_DAY * (sqrt(inertia / (inertia + more)) - 1))
        return steps.done()
