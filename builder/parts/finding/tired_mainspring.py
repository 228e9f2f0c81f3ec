"""A tired or set mainspring: it pulls less, or comes slack before it should."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Literal

import numpy as np
from pydantic import Field

from builder.ground.faults import Complaint, Key
from builder.parts.finding.condition import Condition
from builder.parts.finding.found import Found, Seen
from builder.parts.source.fusee import Fusee
from builder.parts.source.weight import Weight

WAYS = ("torque_part", "turns_lost", "free_coils")


class TiredMainspring(Found):
    """A mainspring that has lost force: say one of how much it still pulls, how many turns it lost, how it lies free."""

    kind: Literal["tired_mainspring"]
    """What kind of finding this is."""
    torque_part: Annotated[float, Field(gt=0, lt=1)] | None = None
    """Part of the right torque that it still has, all along the winding: 0.7 for seven tenths."""
    turns_lost: Annotated[float, Field(gt=0, le=100)] | None = None
    """Turns by which it comes slack too early: a set spring lies free with so many more coils than its room asks for."""
    free_coils: Annotated[float, Field(ge=-50, le=100)] | None = None
    """Coils that it shows lying free on the bench, where the movement's file gives those of the good spring."""

    def quantities(self, seen: Seen) -> tuple[Key, ...]:
        return (("mainspring",),)

    def complaints(self, seen: Seen) -> list[Complaint]:
        if isinstance(seen.source, Weight):
            return [Complaint(("kind",), self.kind, "a finding on a movement with a spring", "This one is driven by a weight.")]
        given = [key for key in WAYS if getattr(self, key) is not None]
        if len(given) != 1:
            value = ", ".join(given) or "nothing measured"
            return [Complaint(("kind",), value, f"one of {', '.join(WAYS)}", "Say one of them: each fixes the others.")]
        drive = seen.source.drive
        if drive is None:
            return [Complaint(("kind",), self.kind, "a spring whose force is known", "The movement's file only counts it.")]
        if self.turns_lost is not None and self.turns_lost >= drive.turns - 0.25:
            allowed = f"less than the {drive.turns:.3g} turns of one winding"
            return [Complaint(("turns_lost",), f"{self.turns_lost:g}", allowed, "Count the turns again.")]
        if self.free_coils is not None:
            return self._coils_complaints(seen)
        if self.turns_lost is not None and isinstance(seen.source, Fusee):
            allowed = "left out for a fusee, whose cone is cut for the right spring"
            return [Complaint(("turns_lost",), f"{self.turns_lost:g}", allowed, "Say torque_part instead.")]
        return []

    def _coils_complaints(self, seen: Seen) -> list[Complaint]:
        assert self.free_coils is not None
        source = seen.source
        housed = None if isinstance(source, Weight | Fusee) else source.mainspring.housed
        if housed is None or housed.spring.free_coils is None:
            allowed = "left out where the movement's file does not give the good spring's sizes and free_coils"
            return [Complaint(("free_coils",), f"{self.free_coils:g}", allowed, "Say torque_part or turns_lost instead.")]
        if self.free_coils <= housed.spring.free_coils:
            allowed = f"more than the {housed.spring.free_coils:g} of the good spring"
            return [Complaint(("free_coils",), f"{self.free_coils:g}", allowed, "A set spring lies free with more coils.")]
        if self.free_coils >= housed.coils_wound - 0.5:
            allowed = f"well under the {housed.coils_wound:.3g} coils of the wound spring"
            return [Complaint(("free_coils",), f"{self.free_coils:g}", allowed, "Count the coils again.")]
        return []

    def onto(self, condition: Condition, seen: Seen) -> Condition:
        if self.torque_part is not None:
            return replace(condition, torque_part=condition.torque_part * self.torque_part)
        drive = seen.source.drive
        assert drive is not None
        if self.turns_lost is not None:
            less = float(drive.law.torque_nmm(np.array(self.turns_lost)))
            return replace(condition, lost_turns=self.turns_lost, torque_less_nmm=less)
        source = seen.source
        assert not isinstance(source, Weight | Fusee) and source.mainspring.housed and self.free_coils is not None
        housed = source.mainspring.housed
        more = self.free_coils - (housed.spring.free_coils or 0.0)
        early = max(0.0, self.free_coils - housed.coils_down - source.set_up_turns)
        return replace(condition, lost_turns=early, torque_less_nmm=housed.pull_nmm_per_turn * more)

    def anchors(self, seen: Seen) -> tuple[str, ...]:
        return ("mainspring",)
