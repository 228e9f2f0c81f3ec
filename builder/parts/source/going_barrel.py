"""Going barrel: the spring pushes on the barrel's wall and the barrel, which is the great wheel, drives while it is wound."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from builder.ground.part import Length, Part, Slug
from builder.parts.source.barrel import Barrel
from builder.parts.source.spring import Spring
from builder.parts.source.winding import Ratchet, Readings, Turns


class GoingBarrel(Part):
    """A barrel with the great wheel's teeth on its rim, wound at its arbor."""

    kind: Literal["going_barrel"]
    arbor: Slug
    """The barrel: its wheel drives the train (its arbor stands still between windings)."""
    turns: Turns | None = None
    """Turns of the barrel from wound to run down, as counted or set by stopwork. Left out: from the sizes."""
    spring: Spring | None = None
    """The strip. Left out where it was not measured: then the counts are known, the force is not."""
    barrel: Barrel | None = None
    """Barrel and barrel arbor."""
    measured: Readings | None = None
    """Torques measured on the barrel, [[turns left, N·mm], …], from run down to wound, instead of the spring's sizes."""
    set_up_turns: Annotated[float, Field(ge=0, le=50)] = 0.0
    """Turns left on the spring when stopwork halts it; 0 where it runs right down."""
    ratchet: Ratchet | None = None
    """Ratchet wheel on the barrel arbor, and click."""
    square_mm: Length | None = None
    """Winding square across the flats, mm."""
