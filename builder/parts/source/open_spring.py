"""Open spring: the mainspring lies bare round the great arbor, its outer end looped over a pillar of the frame."""

from __future__ import annotations

from functools import cached_property
from typing import Annotated, Literal

from pydantic import Field

from builder.ground.faults import Complaint, Finding
from builder.ground.part import Angle, Length, Part, Slug
from builder.ground.words import THIN, figure
from builder.parts.source.coils import Coils
from builder.parts.source.drive import Drive
from builder.parts.source.housed import Housed
from builder.parts.source.mainspring import Mainspring
from builder.parts.source.spring import Spring
from builder.parts.source.winding import Ratchet, Readings, Stored, Turns


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

    @cached_property
    def mainspring(self) -> Mainspring:
        """The spring with all that is known of it.

        Neglected: an open spring bows out to the side away from its pillar; here it opens round the arbor.
        """
        housed = None
        if self.spring and self.arbor_diameter_mm and self.room_diameter_mm:
            housed = Housed(self.spring, self.arbor_diameter_mm, self.room_diameter_mm, "room")
        let_back = self.ratchet.turns_let_back if self.ratchet else 0.0
        keys = ("arbor_diameter_mm",), ("room_diameter_mm",)
        return Mainspring(housed, self.turns, self.measured, self.set_up_turns, let_back, *keys)

    @property
    def usable_turns(self) -> float | None:
        """Turns of the great arbor in one winding; None where nothing tells. Raises Refused."""
        return self.mainspring.usable_turns

    @property
    def drive(self) -> Drive | None:
        """Torque on the great arbor over the winding; None where the force is not known. Raises Refused."""
        return self.mainspring.drive

    @property
    def stored(self) -> Stored | None:
        """What the wound spring holds; None where the force is not known. Raises Refused."""
        return self.mainspring.stored

    @property
    def pillar_distance_mm(self) -> float | None:
        """From the arbor to the pillar; None where neither it nor the room is known."""
        return self.pillar_mm or (self.room_diameter_mm / 2 if self.room_diameter_mm else None)

    def coils(self, turns_left: float) -> Coils | None:
        """The strip as it lies, outer end on +x; None where its sizes are not known. Raises Refused, ValueError."""
        return self.mainspring.coils(turns_left)

    def complaints(self) -> list[Complaint]:
        """All that cannot be, keys relative to [source]."""
        found = self.mainspring.complaints()
        housed = self.mainspring.housed
        if not found and housed and self.pillar_mm is not None:
            wound = housed.bed.wound
            packed_mm = wound.radii_mm[1] + wound.thickness_mm / 2
            if self.pillar_mm <= packed_mm:
                allowed = f"more than the {figure(packed_mm, 3)}{THIN}mm that the wound spring reaches"
                advice = "The pillar would stand in the wound coils. Measure it from the arbor's centre, or the strip again."
                found.append(Complaint(("pillar_mm",), f"{self.pillar_mm:g}{THIN}mm", allowed, advice))
        return found

    def findings(self) -> list[Finding]:
        """What is worth knowing, keys relative to [source]. Raises Refused."""
        found = self.mainspring.findings()
        if self.spring and self.mainspring.housed is None and self.measured is None:
            key = "arbor_diameter_mm" if self.arbor_diameter_mm is None else "room_diameter_mm"
            found.append(Finding((key,), "without the arbor's size and the room's the spring's torque is not known"))
        return found
