"""Out of beat: the oscillator rests where the pallets do not stand midway, so that one beat is longer than the other."""

from __future__ import annotations

from dataclasses import replace
from math import radians
from typing import Annotated, Literal

from pydantic import Field

from builder.ground.faults import Complaint, Key
from builder.parts.finding.condition import Condition
from builder.parts.finding.found import Found, Seen
from builder.parts.oscillator import Counted


class OutOfBeat(Found):
    """A crutch bent or a case not level; a collet turned on the balance staff."""

    kind: Literal["out_of_beat"]
    """What kind of finding this is."""
    by_deg: Annotated[float, Field(ge=-60, le=60)]
    """How far pendulum or balance at rest stands from where the pallets stand midway, degrees of pendulum or balance."""

    def quantities(self, seen: Seen) -> tuple[Key, ...]:
        return (("beat",),)

    def complaints(self, seen: Seen) -> list[Complaint]:
        if isinstance(seen.oscillator, Counted):
            return [Complaint(("kind",), self.kind, "an oscillator that is solved", "The movement's file only counts it.")]
        if self.by_deg == 0:
            return [Complaint(("by_deg",), "0", "an angle that is not 0", "At 0 it is in beat: take the finding out.")]
        return []

    def onto(self, condition: Condition, seen: Seen) -> Condition:
        return replace(condition, out_of_beat_rad=condition.out_of_beat_rad + radians(self.by_deg))

    def anchors(self, seen: Seen) -> tuple[str, ...]:
        return ("crutch",) if seen.oscillator.kind == "pendulum" else ("hairspring",)
