"""Fusee: the spring's barrel pulls a chain off a cone whose radius grows as the pull fades, so that the torque stays even."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from builder.ground.part import Length, Part, Slug
from builder.parts.source.barrel import Barrel
from builder.parts.source.spring import Spring
from builder.parts.source.winding import Ratchet, Readings, Turns


class Line(Part):
    """What runs from the barrel to the fusee."""

    kind: Literal["chain", "gut", "steel line"] = "chain"
    """Chain, gut or steel line."""
    thickness_mm: Length
    """Thickness, mm: it pulls at half of this above the surface that it lies on."""
    width_mm: Length | None = None
    """Width along the arbor, mm; left out: as thick as wide."""


class Fusee(Part):
    """Barrel, chain or gut, and fusee with the great wheel."""

    kind: Literal["fusee"]
    arbor: Slug
    """The fusee's arbor, which carries the great wheel and the winding square."""
    turns: Turns | None = None
    """Turns of groove that the chain fills: turns of the fusee in one winding. Left out: from both diameters and the set-up."""
    spring: Spring | None = None
    """The strip. Left out where it was not measured: then the counts are known, the force is not."""
    barrel: Barrel | None = None
    """Barrel and barrel arbor; the chain lies on its outside."""
    line: Line | None = None
    """Chain or gut."""
    large_diameter_mm: Length | None = None
    """Diameter of the fusee at the floor of the groove, large end, mm."""
    small_diameter_mm: Length | None = None
    """The same at the small end. Left out: the one that keeps the torque even."""
    pitch_mm: Length | None = None
    """Distance from groove to groove along the arbor, mm; left out: a little over the line's width."""
    set_up_turns: Annotated[float, Field(ge=0, le=50)] | None = None
    """Turns of the barrel arbor wound on before the chain is wound. Left out: those that suit the fusee, both diameters given."""
    measured: Readings | None = None
    """Torques measured on the fusee's arbor, [[turns left, N·mm], …], from run down to wound, instead of the sizes."""
    ratchet: Ratchet | None = None
    """Winding ratchet inside the fusee, and its click."""
    square_mm: Length | None = None
    """Winding square across the flats, mm."""
