"""Open spring: the mainspring lies bare round the great arbor, its outer end looped over a pillar of the frame."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from builder.ground.part import Angle, Length, Part, Slug
from builder.parts.source.spring import Spring
from builder.parts.source.winding import Ratchet, Readings, Turns


class OpenSpring(Part):
    """A mainspring without a barrel, wound on the great arbor itself."""

    kind: Literal["open_spring"]
    arbor: Slug
    """The great arbor: the spring's inner end is on it, it is wound and it drives."""
    turns: Turns | None = None
    """Turns of the great arbor from run down to wound, as counted. Left out: from the spring's sizes."""
    spring: Spring | None = None
    """The strip. Left out where it was not measured: then the counts are known, the force is not."""
    arbor_diameter_mm: Length | None = None
    """Diameter of the arbor where the spring lies on it, mm."""
    room_diameter_mm: Length | None = None
    """How far the spring can open, mm: a circle about the arbor, as wide as pillars, plates and other wheels allow."""
    pillar_mm: Length | None = None
    """Distance from the arbor to the pillar that holds the outer end, mm; left out: the edge of the room."""
    pillar_deg: Angle = 0.0
    """Direction from the arbor to that pillar, seen from the front, counter-clockwise from 3 o'clock."""
    measured: Readings | None = None
    """Torques measured on the great arbor, [[turns left, N·mm], …], from run down to wound, instead of the spring's sizes."""
    set_up_turns: Annotated[float, Field(ge=0, le=50)] = 0.0
    """Turns left on the spring when stopwork halts it; 0 where it runs right down."""
    ratchet: Ratchet | None = None
    """Ratchet and click."""
    square_mm: Length | None = None
    """Winding square across the flats, mm."""
