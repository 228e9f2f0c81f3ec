"""Leaves with pits worn into them where the wheel's teeth rub."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Literal

from pydantic import Field

from builder.ground.faults import Complaint, Key
from builder.ground.part import Length, Slug
from builder.parts.finding.condition import Condition, Pit
from builder.parts.finding.found import Found, Seen, anchor


class WornLeaves(Found):
    """A pinion whose leaves are worn."""

    kind: Literal["worn_leaves"]
    """What kind of finding this is."""
    arbor: Slug
    """The arbor of the pinion."""
    part: Slug = "pinion"
    """pinion, unless it has another name under `more`."""
    depth_mm: Annotated[float, Field(gt=0, le=5)]
    """Depth of the pits."""
    from_mm: Length | None = None
    """Radius at which they begin, from the arbor's centre; left out, with to_mm: where the wheel's teeth rub."""
    to_mm: Length | None = None
    """Radius at which they end."""

    def quantities(self, seen: Seen) -> tuple[Key, ...]:
        return (("leaves", self.arbor, self.part),)

    def complaints(self, seen: Seen) -> list[Complaint]:
        found = seen.no_arbor(self.arbor)
        if not found and self.part == "wheel":
            advice = 'A wheel has teeth: give kind = "hurt_tooth", or describe it with kind = "other".'
            return [Complaint(("part",), self.part, "a part with leaves", advice)]
        found = found or seen.no_toothed(self.arbor, self.part)
        if (self.from_mm is None) != (self.to_mm is None):
            found.append(Complaint(("from_mm",), "one of two", "both from_mm and to_mm, or neither", "Measure both."))
        return found

    def onto(self, condition: Condition, seen: Seen) -> Condition:
        pit = Pit(self.arbor, self.part, self.depth_mm, self.from_mm, self.to_mm)
        return replace(condition, pits=(*condition.pits, pit))

    def anchors(self, seen: Seen) -> tuple[str, ...]:
        return (f"{anchor(self.arbor, self.part)}-leaves",)
