"""A worn or pitted pallet: the face lies deeper than it was made, so that lock, lift and drop are others."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Literal

from pydantic import Field

from builder.ground.faults import Complaint, Key
from builder.parts.escapement import Working
from builder.parts.finding.condition import Condition, PalletWear
from builder.parts.finding.found import Found, Seen


class WornPallet(Found):
    """Wear on one face of a pallet."""

    kind: Literal["worn_pallet"]
    """What kind of finding this is."""
    pallet: Literal["entry", "exit"]
    """Which pallet."""
    face: Literal["locking face", "impulse face", "recoil face", "pin"]
    """Which of its faces; pin for a round one."""
    depth_mm: Annotated[float, Field(gt=0, le=5)]
    """How deep it is worn, across the face."""

    def quantities(self, seen: Seen) -> tuple[Key, ...]:
        return (("pallet", self.pallet, self.face),)

    def complaints(self, seen: Seen) -> list[Complaint]:
        if not isinstance(seen.escapement, Working):
            advice = 'The escapement is only counted here: describe what was seen with kind = "other".'
            return [Complaint(("kind",), self.kind, "a finding on an escapement that is solved", advice)]
        shape = seen.escapement.draft().surfaces[self.pallet]
        there = list(dict.fromkeys(edge.name for edge in shape.edges if edge.name.endswith("face")))
        there += ["pin"] if any(spot.radius_mm > 0 for spot in shape.spots) else []
        if self.face not in there:
            advice = "Name a face that this pallet has."
            if not there:
                advice = 'This pallet is no such one: describe what was seen with kind = "other".'
            return [Complaint(("face",), self.face, f"one of: {', '.join(there) or 'none'}", advice)]
        return []

    def onto(self, condition: Condition, seen: Seen) -> Condition:
        return replace(condition, pallets=(*condition.pallets, PalletWear(self.pallet, self.face, self.depth_mm)))

    def anchors(self, seen: Seen) -> tuple[str, ...]:
        pieces = {drawn.name for drawn in seen.escapement.draft().pallets}  # a stone or a pin where it is a piece of its own
        own = next((sort for sort in ("stone", "pin") if f"{self.pallet} {sort}" in pieces), "pallet")
        return (f"pallets-{self.pallet}-{own}",)
