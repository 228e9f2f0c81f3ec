"""The barrel: the box that a mainspring lies in, its arbor and its hooks."""

from __future__ import annotations

from typing import Literal

from builder.ground.part import Length, Part


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
