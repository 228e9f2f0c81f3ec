"""Hairspring or rating off: regulator, nut or the spring itself is not where it should be."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Literal

from pydantic import Field

from builder.ground.faults import Complaint, Key
from builder.parts.finding.condition import Condition
from builder.parts.finding.found import Found, Seen
from builder.parts.oscillator import Balance, Pendulum

WAYS = {"bob_down_mm": "pendulum", "nut_turns": "pendulum", "longer_mm": "balance", "stiffer_part": "balance"}


class WrongRating(Found):
    """What is off: one of bob_down_mm and nut_turns for a pendulum, of longer_mm and stiffer_part for a balance."""

    kind: Literal["wrong_rating"]
    """What kind of finding this is."""
    bob_down_mm: Annotated[float, Field(ge=-200, le=200)] | None = None
    """How much lower the bob hangs than it should; < 0: higher."""
    nut_turns: Annotated[float, Field(ge=-100, le=100)] | None = None
    """Turns by which the rating nut lets the bob down too far; < 0: too high."""
    longer_mm: Annotated[float, Field(ge=-500, le=500)] | None = None
    """How much longer the hairspring's length in action is than it should be; < 0: shorter (pinned too short, coils touching)."""
    stiffer_part: Annotated[float, Field(gt=-0.9, le=9)] | None = None
    """How much stiffer a hairspring that is not the right one is: 0.02 for two per cent; < 0: softer."""

    def quantities(self, seen: Seen) -> tuple[Key, ...]:
        return (("rating",),)

    def complaints(self, seen: Seen) -> list[Complaint]:
        given = [key for key in WAYS if getattr(self, key) is not None]
        kind = seen.oscillator.kind
        mine = [key for key, of in WAYS.items() if of == kind]
        if not mine:
            return [Complaint(("kind",), self.kind, "an oscillator that is solved", "The movement's file only counts it.")]
        wrong = [key for key in given if WAYS[key] != kind]
        if wrong:
            advice = f"This movement has a {kind}: say {' or '.join(mine)}."
            return [Complaint((key,), f"{getattr(self, key):g}", f"a key for a {WAYS[key]}", advice) for key in wrong]
        if len(given) != 1:
            return [Complaint(("kind",), ", ".join(given) or "nothing measured", f"one of {', '.join(mine)}", "Say one of them.")]
        return self._sizes(seen)

    def _sizes(self, seen: Seen) -> list[Complaint]:
        oscillator = seen.oscillator
        if isinstance(oscillator, Pendulum) and self.nut_turns is not None and oscillator.rating_nut is None:
            advice = "Say bob_down_mm, or describe the nut in the movement's file."
            return [Complaint(("nut_turns",), f"{self.nut_turns:g}", "a pendulum whose rating nut is described", advice)]
        if isinstance(oscillator, Balance) and self.longer_mm is not None:
            length = oscillator.hairspring.length_mm
            if length is None:
                advice = "Say stiffer_part, or give the hairspring's length_mm in the movement's file."
                return [Complaint(("longer_mm",), f"{self.longer_mm:g}", "a hairspring of known length", advice)]
            if self.longer_mm <= -0.9 * length:
                allowed = f"a spring that has most of its {length:g} mm left"
                return [Complaint(("longer_mm",), f"{self.longer_mm:g}", allowed, "Measure it again.")]
        return []

    def onto(self, condition: Condition, seen: Seen) -> Condition:
        oscillator = seen.oscillator
        if isinstance(oscillator, Pendulum):
            pitch = oscillator.rating_nut.pitch_mm if oscillator.rating_nut else 0.0
            down = self.bob_down_mm if self.bob_down_mm is not None else pitch * (self.nut_turns or 0.0)
            return replace(condition, bob_down_mm=condition.bob_down_mm + down)
        assert isinstance(oscillator, Balance)
        if self.stiffer_part is not None:
            return replace(condition, hairspring=condition.hairspring * (1 + self.stiffer_part))
        length, longer = oscillator.hairspring.length_mm, self.longer_mm
        assert length is not None and longer is not None
        return replace(condition, hairspring=condition.hairspring * length / (length + longer))

    def anchors(self, seen: Seen) -> tuple[str, ...]:
        if seen.oscillator.kind == "balance":
            return ("hairspring",)
        return ("bob",) if self.nut_turns is None else ("rating-nut",)
