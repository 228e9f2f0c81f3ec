"""Rate from two readings: how much further ahead the clock is at the second, over the days between. Exact."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated

from pydantic import Field

from builder.bench.trains.anchored import Hours
from builder.bench.working.asked import Exact
from builder.bench.working.lines import Steps, Working
from builder.ground.part import Part

Seconds = Annotated[Exact, Field(ge=-1_000_000, le=1_000_000)]


class Rate(Part):
    """Seconds a day from two readings."""

    first_s: Seconds = Fraction(0)
    """How far it was ahead at the first reading (below 0: behind)."""
    second_s: Seconds
    """How far it was ahead at the second reading."""
    hours_between: Hours = Fraction(24)
    """Hours between the two readings, by a true clock."""

    def working(self) -> Working:
        """Rate a day, and a week of it."""
        steps = Steps("rate", self)
        gained = steps.line("gained_s", self.second_s - self.first_s)
        rate = steps.line("rate_s_per_day", gained * 24 / self.hours_between)
        steps.line("week_s", 7 * rate)
        return steps.done()
