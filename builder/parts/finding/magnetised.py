"""A magnetised hairspring: a change of rate as it was measured; how magnetism does it is not modelled."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Literal

from pydantic import Field

from builder.ground.constants import SECONDS_PER_DAY
from builder.ground.faults import Complaint, Key
from builder.parts.finding.condition import Condition
from builder.parts.finding.found import Found, Seen


class Magnetised(Found):
    """Coils that draw each other, so that it mostly gains; the rate is stated, not computed."""

    kind: Literal["magnetised"]
    """What kind of finding this is."""
    rate_s_per_day: Annotated[float, Field(ge=-3600, le=3600)]
    """Change of the rate that went away when the magnetism was taken out, seconds a day; + it gained by it."""

    def quantities(self, seen: Seen) -> tuple[Key, ...]:
        return (("magnetism",),)

    def complaints(self, seen: Seen) -> list[Complaint]:
        if seen.oscillator.kind != "balance":
            allowed = "a finding on a balance with its hairspring"
            return [Complaint(("kind",), self.kind, allowed, f"This movement has a {seen.oscillator.kind}.")]
        return []

    def onto(self, condition: Condition, seen: Seen) -> Condition:
        """As a stiffness that gives this rate: it goes as the square of the frequency. Neglected: that real magnetism also
        makes the rate depend on amplitude and position."""
        return replace(condition, hairspring=condition.hairspring * (1 + self.rate_s_per_day / SECONDS_PER_DAY) ** 2)

    def anchors(self, seen: Seen) -> tuple[str, ...]:
        return ("hairspring",)
