"""Weight: the oldest source and the steadiest, a mass on a cord that unwinds from a drum."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from builder.ground.part import Length, Part, Slug
from builder.parts.source.winding import Ratchet, Readings, Turns


class Weight(Part):
    """A driving weight, its cord and its drum."""

    kind: Literal["weight"]
    arbor: Slug
    """The great arbor that carries the drum."""
    turns: Turns | None = None
    """Turns of the drum in one winding, as counted. Left out: from fall, drum and cord."""
    mass_kg: Annotated[float, Field(gt=0, le=2000)] | None = None
    """Mass of the weight with its pulley, kg. Left out where it was not weighed: then the force is not known."""
    drum_diameter_mm: Length | None = None
    """Diameter of the drum that the cord lies on, mm (at the floor of the groove)."""
    drum_length_mm: Length | None = None
    """Length of the drum between its flanges, mm."""
    cord: Literal["gut", "steel line", "rope", "chain"] = "gut"
    """What the weight hangs on."""
    cord_mm: Annotated[float, Field(ge=0, le=100)] | None = None
    """Thickness of the cord, mm; left out: its own thickness is neglected."""
    lines: Literal[1, 2] = 1
    """1: the weight hangs straight from the drum; 2: in a pulley, with the cord's end fixed to the seat board."""
    pulley_efficiency: Annotated[float, Field(gt=0, le=1)] = 1.0
    """Part of the pull that the pulley and the cord's stiffness pass on; 1 leaves the loss out."""
    fall_mm: Length | None = None
    """How far the weight can fall, mm."""
    measured: Readings | None = None
    """Torques measured on the drum, [[turns left, N·mm], …], from run down to wound, instead of mass and drum."""
    ratchet: Ratchet | None = None
    """Ratchet and click between drum and great wheel."""
    square_mm: Length | None = None
    """Winding square across the flats, mm."""
