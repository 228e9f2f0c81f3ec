"""A damaged suspension spring: cracked, kinked or slipped in its chops."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Literal

from pydantic import Field

from builder.ground.faults import Complaint, Key
from builder.parts.finding.condition import Condition
from builder.parts.finding.found import Found, Seen
from builder.parts.oscillator import Pendulum


class DamagedSuspension(Found):
    """What is left of the strip: at least one of the three is said."""

    kind: Literal["damaged_suspension"]
    """What kind of finding this is."""
    width_left: Annotated[float, Field(gt=0, lt=1)] | None = None
    """Part of the width that is not cracked through (of all strips together): it bends so much more easily."""
    longer_mm: Annotated[float, Field(ge=-50, le=50)] | None = None
    """How much more strip is free between the chops than there should be: it has slipped; < 0: less, held by a kink."""
    loss_times: Annotated[float, Field(ge=1, le=20)] | None = None
    """How many times what a sound one loses the pendulum loses now: a kinked or loose strip that rubs and bends the post."""

    def quantities(self, seen: Seen) -> tuple[Key, ...]:
        return (("suspension",),)

    def complaints(self, seen: Seen) -> list[Complaint]:
        oscillator = seen.oscillator
        if not isinstance(oscillator, Pendulum):
            allowed = "a finding on a movement with a pendulum"
            return [Complaint(("kind",), self.kind, allowed, f"This one has a {oscillator.kind}.")]
        if self.width_left is None and self.longer_mm is None and self.loss_times is None:
            allowed = "one or more of width_left, longer_mm, loss_times"
            return [Complaint(("kind",), "nothing measured", allowed, "Say what is wrong with the strip.")]
        strip = oscillator.suspension
        if strip is None and (self.width_left is not None or self.longer_mm is not None):
            advice = "Describe the strip in the movement's file under [oscillator], or say loss_times alone."
            return [Complaint(("kind",), self.kind, "a pendulum hung on a strip", advice)]
        if strip is not None and self.longer_mm is not None and self.longer_mm <= -0.9 * strip.length_mm:
            allowed = f"more than {-0.9 * strip.length_mm:g}, of a strip {strip.length_mm:g} mm long"
            return [Complaint(("longer_mm",), f"{self.longer_mm:g}", allowed, "Measure the free length again.")]
        return []

    def onto(self, condition: Condition, seen: Seen) -> Condition:
        return replace(
            condition,
            strip=condition.strip * (self.width_left or 1.0),
            strip_longer_mm=condition.strip_longer_mm + (self.longer_mm or 0.0),
            loss=condition.loss * (self.loss_times or 1.0),
        )

    def anchors(self, seen: Seen) -> tuple[str, ...]:
        return ("suspension",)
