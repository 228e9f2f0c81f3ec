"""A tooth that is bent, worn thin or missing: once a turn the mesh is another."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Literal

from pydantic import Field

from builder.ground.faults import Complaint, Key
from builder.ground.part import Slug
from builder.parts.finding.condition import Condition, Hurt
from builder.parts.finding.found import Found, Seen, anchor


class HurtTooth(Found):
    """One tooth or leaf unlike the others."""

    kind: Literal["hurt_tooth"]
    """What kind of finding this is."""
    arbor: Slug
    """The arbor that carries the wheel or pinion."""
    part: Slug = "wheel"
    """wheel, pinion or the name under `more`."""
    harm: Literal["bent", "worn", "missing"]
    """What is wrong with it."""
    by_mm: Annotated[float, Field(ge=-20, le=20)] | None = None
    """Bent: how far off its place at the pitch circle, > 0 the way the wheel turns. Worn: thickness lost there."""

    def quantities(self, seen: Seen) -> tuple[Key, ...]:
        return (("tooth", self.arbor, self.part),)

    def complaints(self, seen: Seen) -> list[Complaint]:
        if self.arbor == seen.escapement.arbor and self.part in ("wheel", "escape"):
            advice = 'A single tooth of the escape wheel is not solved: describe what was seen with kind = "other".'
            return [Complaint(("part",), self.part, "a tooth of the train", advice)]
        found = seen.no_toothed(self.arbor, self.part)
        if self.harm == "missing" and self.by_mm is not None:
            found.append(Complaint(("by_mm",), f"{self.by_mm:g}", "left out for a missing tooth", "Take it out."))
        if self.harm != "missing" and not self.by_mm:
            found.append(Complaint(("by_mm",), "nothing", f"how much it is {self.harm}, mm at the pitch circle", "Measure it."))
        if self.harm == "worn" and self.by_mm is not None and self.by_mm < 0:
            found.append(Complaint(("by_mm",), f"{self.by_mm:g}", "more than 0 for a worn tooth", "Say how much thinner it is."))
        return found

    def onto(self, condition: Condition, seen: Seen) -> Condition:
        return replace(condition, hurts=(*condition.hurts, Hurt(self.arbor, self.part, self.harm, self.by_mm or 0.0)))

    def anchors(self, seen: Seen) -> tuple[str, ...]:
        return (anchor(self.arbor, self.part),)
