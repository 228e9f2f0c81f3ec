"""What every source of power shares: its ratchet, the turns of a winding, torques measured at the bench."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from builder.ground.part import Angle, Length, Listed, Part

Turns = Annotated[float, Field(gt=0, le=200)]
"""Turns of an arbor in one winding."""
Torque = Annotated[Listed[float], Field(min_length=2, max_length=2)]
"""One reading: [turns left, torque in N·mm]."""
Readings = Annotated[Listed[Torque], Field(min_length=2, max_length=100)]
"""Readings from run down to wound."""


class Ratchet(Part):
    """The ratchet wheel and click that hold the winding."""

    teeth: Annotated[int, Field(ge=6, le=120)]
    """Teeth of the ratchet wheel, counted."""
    radius_mm: Length | None = None
    """Radius over the teeth, mm; left out: what suits the teeth."""
    click_deg: Angle | None = None
    """Direction from the ratchet's centre to the click's screw, seen from the front, counter-clockwise from 3 o'clock."""
    recoil_teeth: Annotated[float, Field(ge=0, le=4)] = 0.0
    """Teeth that a recoiling click lets back after winding, so that the spring is never left tight; 0 for a plain click."""
