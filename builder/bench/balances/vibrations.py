"""Vibration count: a balance on a spring held in tweezers is counted, and the spring pinned where the count is right.

Stiffness goes inversely with the length and beats as the root of stiffness, so the length must change as the square of the counts
(from memory: common practice of springing). Neglected: tweezers do not hold as the pins will.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from builder.bench.trains.anchored import BeatsPerHour
from builder.bench.working.asked import Exact
from builder.bench.working.lines import Steps, Working
from builder.ground.constants import SECONDS_PER_DAY
from builder.ground.part import Length, Part


class Vibrations(Part):
    """Where to pin a hairspring by counting."""

    counted: Annotated[Exact, Field(gt=0, le=1_000_000)]
    """Beats counted."""
    in_s: Annotated[Exact, Field(gt=0, le=100_000)]
    """In how many seconds."""
    beats_per_hour: BeatsPerHour
    """Beats an hour that it should make."""
    length_mm: Length | None = None
    """Length of spring in action while counting."""

    def working(self) -> Working:
        """All but lengths is exact."""
        steps = Steps("vibrations", self)
        made = steps.line("counted_per_hour", 3600 * self.counted / self.in_s)
        ratio = made / self.beats_per_hour
        steps.line("rate_s_per_day", SECONDS_PER_DAY * float(ratio - 1))
        part = steps.line("length_ratio", ratio**2)
        if self.length_mm is not None:
            new = steps.line("new_length_mm", self.length_mm * float(part))
            steps.line("take_up_mm", self.length_mm - new)
        return steps.done()
