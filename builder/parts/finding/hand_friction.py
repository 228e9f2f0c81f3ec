"""The friction of the hands, slack or tight."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Literal

from pydantic import Field

from builder.ground.faults import Complaint, Key
from builder.parts.finding.condition import Condition
from builder.parts.finding.found import Found, Seen


class HandFriction(Found):
    """A hand clutch that slips too soon, or hardly at all."""

    kind: Literal["hand_friction"]
    """What kind of finding this is."""
    state: Literal["slack", "tight"]
    """Whether the hands slip too soon or too late."""
    torque_nmm: Annotated[float, Field(gt=0, le=1e4)]
    """Torque at which it slips as found: a weight hung on the minute hand, times its distance."""

    def quantities(self, seen: Seen) -> tuple[Key, ...]:
        return (("hands",),)

    def complaints(self, seen: Seen) -> list[Complaint]:
        if seen.motion_work is None:
            advice = "The movement's file has no [motion_work]."
            return [Complaint(("kind",), self.kind, "a movement with a motion work", advice)]
        return []

    def onto(self, condition: Condition, seen: Seen) -> Condition:
        return replace(condition, slip_nmm=self.torque_nmm)

    def anchors(self, seen: Seen) -> tuple[str, ...]:
        return ("cannon-pinion", "minute-hand")
