"""Turns of the rating nut for a rate: the bob goes up by L (1 − 1/(1 + r/86 400)²) for r seconds a day.

A pendulum's beat goes as the square root of its length; near right that is 86 400/2L s a day for each mm (J. Smith, Horological
Disquisitions, London 1694, p. 37-40, gives 1056 s a day an inch for the royal pendulum).

Neglected: the rod's own weight, because of which the bob must be moved a little further.
"""

from __future__ import annotations

from math import sqrt
from typing import Annotated

from pydantic import Field

from builder.bench.pendulums.gravity import Length
from builder.bench.trains.anchored import BeatsPerHour
from builder.bench.working.lines import Steps, Working
from builder.bench.working.once import cannot, not_once, refuse
from builder.ground.constants import GRAVITY_STANDARD_M_S2, SECONDS_PER_DAY
from builder.ground.part import Part
from builder.parts.oscillator.rating import simple_length_m

RateSPerDay = Annotated[float, Field(ge=-20_000, le=20_000)]


class RatingNut(Part):
    """How far to turn the nut."""

    length_mm: Length | None = None
    """Length of the simple pendulum. Left out: from the beat, at standard gravity."""
    beats_per_hour: BeatsPerHour | None = None
    """Beats an hour, where the length is not given."""
    pitch_mm: Annotated[float, Field(gt=0, le=20)]
    """Rise of the nut in one turn."""
    divisions: Annotated[int, Field(ge=1, le=1000)] | None = None
    """Marks round the nut."""
    rate_s_per_day: RateSPerDay = 1.0
    """Change wished for: + to make it gain, which takes the bob up."""

    def working(self) -> Working:
        """Raises Refused where the length is not told once, or the nut's turn is longer than the pendulum."""
        refuse(not_once(self, "length_mm", "beats_per_hour"))
        steps = Steps("rating_nut", self)
        length = self.length_mm
        if length is None:
            assert self.beats_per_hour is not None, "told once"
            length = steps.line("length_mm", 1e3 * simple_length_m(float(3600 / self.beats_per_hour), GRAVITY_STANDARD_M_S2))
        if self.pitch_mm >= length:
            raise cannot("pitch_mm", f"{self.pitch_mm:g}", f"less than the pendulum's {length:g} mm", "Measure again.")
        up = steps.line("raise_mm", length * (1 - 1 / (1 + self.rate_s_per_day / SECONDS_PER_DAY) ** 2))
        steps.line("nut_turns", up / self.pitch_mm)
        if self.divisions is not None:
            steps.line("nut_marks", up / self.pitch_mm * self.divisions)
        a_turn = steps.line("turn_s_per_day", SECONDS_PER_DAY * (sqrt(length / (length - self.pitch_mm)) - 1))
        if self.divisions is not None:
            steps.line("mark_s_per_day", a_turn / self.divisions)
        return steps.done()
