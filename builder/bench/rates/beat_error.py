"""Beat error: half the difference of two beats in a row, and the angle by which the rest stands off the middle.

A balance or pendulum that swings as a sine of amplitude A and period T passes a place δ off its rest t = T/2π · arcsin(δ/A) late;
one beat is then 4t longer than the next: δ = A sin(π e/T) for a beat error e of half the difference (common practice, no source,
for reading half of it). Neglected: lock and drop, which differ from pallet to pallet.
"""

from __future__ import annotations

from math import pi, sin
from typing import Annotated

from pydantic import Field

from builder.bench.trains.anchored import BeatsPerHour
from builder.bench.working.lines import Steps, Working
from builder.bench.working.once import cannot
from builder.ground.part import Part

BeatMs = Annotated[float, Field(gt=0, le=60_000)]


class BeatError(Part):
    """How far it is out of beat."""

    beats_per_hour: BeatsPerHour
    """Beats an hour."""
    amplitude_deg: Annotated[float, Field(gt=0, le=500)]
    """How far it swings to each side."""
    error_ms: Annotated[float, Field(ge=0, le=10_000)] | None = None
    """Beat error as read. Give this, or both beats."""
    long_ms: BeatMs | None = None
    """The longer beat."""
    short_ms: BeatMs | None = None
    """The shorter beat."""

    def working(self) -> Working:
        """Raises Refused where the error is not told once, or is more than a beat."""
        both = self.long_ms is not None and self.short_ms is not None
        if both == (self.error_ms is not None):
            raise cannot("error_ms", "both" if both else "nothing", "error_ms, or long_ms and short_ms", "Give one of the two.")
        steps = Steps("beat_error", self)
        error = self.error_ms
        if self.long_ms is not None and self.short_ms is not None:
            error = steps.line("error_ms", (self.long_ms - self.short_ms) / 2)
        assert error is not None, "told once"
        period = steps.line("period_s", 7200 / self.beats_per_hour)
        if not 0 <= error <= 500 * period:
            allowed = f"from 0 to a beat, {float(500 * period):g} ms"
            raise cannot("error_ms", f"{error:g}", allowed, "Read again, or have the two beats been exchanged?")
        steps.line("off_rest_deg", self.amplitude_deg * sin(pi * error / 1000 / float(period)), error_ms=error)
        return steps.done()
