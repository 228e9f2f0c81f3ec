"""Going barrel: the spring pushes on the barrel's wall and the barrel, which is the great wheel, drives while it is wound."""

from __future__ import annotations

from functools import cached_property
from typing import Annotated, Literal

from pydantic import Field

from builder.ground.faults import Complaint, Finding
from builder.ground.part import Length, Part, Slug
from builder.parts.source.barrel import Barrel
from builder.parts.source.coils import Coils
from builder.parts.source.drive import Drive
from builder.parts.source.housed import Housed
from builder.parts.source.mainspring import Mainspring
from builder.parts.source.spring import Spring
from builder.parts.source.winding import Ratchet, Readings, Stored, Turns


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

    @cached_property
    def mainspring(self) -> Mainspring:
        """The spring with all that is known of it."""
        housed = None
        if self.spring and self.barrel:
            housed = Housed(self.spring, self.barrel.arbor_diameter_mm, self.barrel.inside_diameter_mm, "barrel")
        let_back = self.ratchet.turns_let_back if self.ratchet else 0.0
        keys = ("barrel", "arbor_diameter_mm"), ("barrel", "inside_diameter_mm")
        return Mainspring(housed, self.turns, self.measured, self.set_up_turns, let_back, *keys)

    @property
    def usable_turns(self) -> float | None:
        """Turns of the barrel in one winding; None where nothing tells. Raises Refused."""
        return self.mainspring.usable_turns

    @property
    def drive(self) -> Drive | None:
        """Torque on the barrel over the winding; None where the force is not known. Raises Refused."""
        return self.mainspring.drive

    @property
    def stored(self) -> Stored | None:
        """What the wound spring holds; None where the force is not known. Raises Refused."""
        return self.mainspring.stored

    def coils(self, turns_left: float) -> Coils | None:
        """The strip as it lies in the barrel, outer end on +x; None where its sizes are not known. Raises Refused, ValueError."""
        return self.mainspring.coils(turns_left)

    def complaints(self) -> list[Complaint]:
        """All that cannot be, keys relative to [source]."""
        return (self.barrel.complaints(("barrel",), self.spring) if self.barrel else []) + self.mainspring.complaints()

    def findings(self) -> list[Finding]:
        """What is worth knowing, keys relative to [source]. Raises Refused."""
        if self.spring and self.barrel is None and self.measured is None:
            return [
                Finding(("barrel",), "without the barrel's sizes the spring's torque is not known"),
                *self.mainspring.findings(),
            ]
        return self.mainspring.findings()
