"""The barrel: the box that a mainspring lies in, its arbor and its hooks."""

from __future__ import annotations

from typing import Literal

from builder.ground.faults import Complaint, Key
from builder.ground.part import Length, Part
from builder.ground.words import THIN, figure
from builder.parts.source.spring import Spring

WALL_PART = 0.04
"""Thickness of a barrel's wall as a part of the inside diameter, where the outside is not given (common practice, no source)."""


class Barrel(Part):
    """Barrel and barrel arbor."""

    inside_diameter_mm: Length
    """Inside diameter of the barrel, mm."""
    arbor_diameter_mm: Length
    """Diameter of the arbor where the spring lies on it, mm: the mean, where it is snailed."""
    height_mm: Length | None = None
    """Clear height inside, between bottom and cover, mm."""
    outside_diameter_mm: Length | None = None
    """Outside diameter of the barrel's wall, mm (without teeth); left out: a wall that suits the size."""
    outer_end: Literal["hook", "bridle"] = "hook"
    """How the spring's outer end is held: a hook in the wall, or a bridle that lies along it."""
    inner_end: Literal["hook", "slot"] = "hook"
    """How the inner end is held on the arbor."""
    cover: Literal["snapped", "screwed", "none"] = "snapped"
    """How the barrel is closed: a cover snapped in, held by screws, or none."""

    @property
    def outside_mm(self) -> float:
        """Outside diameter of the wall: as measured, or with a wall that suits the size."""
        return self.outside_diameter_mm or (1 + 2 * WALL_PART) * self.inside_diameter_mm

    def complaints(self, key: Key, spring: Spring | None) -> list[Complaint]:
        """Sizes of the barrel, and of the strip that stands in it, that cannot be; `key` is the barrel's own table."""
        found = []
        if self.outside_diameter_mm is not None and self.outside_diameter_mm <= self.inside_diameter_mm:
            allowed = f"more than the inside, {self.inside_diameter_mm:g}{THIN}mm"
            advice = "The wall has a thickness: measure outside and inside again."
            found.append(Complaint((*key, "outside_diameter_mm"), f"{self.outside_diameter_mm:g}{THIN}mm", allowed, advice))
        if self.height_mm is not None and spring is not None and spring.height_mm >= self.height_mm:
            allowed = f"less than the {self.height_mm:g}{THIN}mm between bottom and cover"
            advice = f"The coils must not rub: leave about a tenth, a strip of {figure(0.9 * self.height_mm, 2)}{THIN}mm."
            found.append(Complaint(("spring", "height_mm"), f"{spring.height_mm:g}{THIN}mm", allowed, advice))
        return found
