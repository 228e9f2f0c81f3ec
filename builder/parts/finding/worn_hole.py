"""A pivot hole worn to one side: the arbor stands off its place, and its meshes with it."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Literal

from pydantic import Field

from builder.ground.faults import Complaint, Key
from builder.ground.part import Angle, Slug
from builder.parts.finding.condition import Condition, Hole
from builder.parts.finding.found import Found, Seen


class WornHole(Found):
    """A pivot hole that is no longer round."""

    kind: Literal["worn_hole"]
    """What kind of finding this is."""
    arbor: Slug
    """The arbor whose pivot runs in it; pallets for the pallet arbor."""
    plate: Literal["back", "front"]
    """The plate (or cock on that side) that it is in."""
    worn_mm: Annotated[float, Field(gt=0, le=10)]
    """How far the pivot now stands from the middle that the hole should have."""
    direction_deg: Angle
    """The way it is worn, seen from the front, counter-clockwise from 3 o'clock."""

    def quantities(self, seen: Seen) -> tuple[Key, ...]:
        return (("hole", self.arbor, self.plate),)

    def complaints(self, seen: Seen) -> list[Complaint]:
        return seen.no_arbor(self.arbor, also=("pallets",))

    def onto(self, condition: Condition, seen: Seen) -> Condition:
        return replace(condition, holes=(*condition.holes, Hole(self.arbor, self.plate, self.worn_mm, self.direction_deg)))

    def anchors(self, seen: Seen) -> tuple[str, ...]:
        pivots = "pallet-arbor-pivots" if self.arbor == "pallets" else f"{self.arbor}-arbor-pivots".replace("_", "-")
        return pivots, f"{self.plate}-plate-holes"
