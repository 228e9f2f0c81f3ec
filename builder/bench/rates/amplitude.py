"""Amplitude from the time of lift: a balance that swings as a sine crosses its lift angle in a time that tells how far it goes.

A = λ/2 / sin(π t/T): λ the lift angle, t the time from unlocking to let-off, T the period (from memory: how amplitude is read by
ear and clockwork alike). With another lift angle the reading changes in proportion, so a wrong one is a wrong amplitude.

Neglected: the impulse speeds the balance up within the lift, and a lift that does not lie evenly about the rest.
"""

from __future__ import annotations

from math import pi, sin
from typing import Annotated

from pydantic import Field

from builder.bench.trains.anchored import BeatsPerHour
from builder.bench.working.lines import Steps, Working
from builder.bench.working.once import cannot
from builder.ground.part import Part

LiftDeg = Annotated[float, Field(gt=0, le=120)]


def by_lift_deg(lift_deg: float, lift_s: float, period_s: float) -> float:
    """Amplitude, degrees, of a balance that crosses its lift angle in that time."""
    return lift_deg / 2 / sin(pi * lift_s / period_s)


class Amplitude(Part):
    """Amplitude by the lift angle."""

    lift_deg: LiftDeg
    """Lift angle of the balance."""
    lift_ms: Annotated[float, Field(gt=0, le=5000)]
    """Time from unlocking to let-off."""
    beats_per_hour: BeatsPerHour
    """Beats an hour."""
    true_lift_deg: LiftDeg | None = None
    """The movement's true lift angle, where the reading was taken with another."""

    def working(self) -> Working:
        """Raises Refused where the lift would take more than a beat."""
        steps = Steps("amplitude", self)
        period = steps.line("period_s", 7200 / self.beats_per_hour)
        if self.lift_ms >= 500 * period:
            allowed = f"less than a beat, {float(500 * period):g} ms"
            raise cannot("lift_ms", f"{self.lift_ms:g}", allowed, "Read again.")
        amplitude = steps.line("amplitude_deg", by_lift_deg(self.lift_deg, self.lift_ms / 1000, float(period)))
        if self.true_lift_deg is not None:
            steps.line("true_amplitude_deg", amplitude * self.true_lift_deg / self.lift_deg)
        return steps.done()
