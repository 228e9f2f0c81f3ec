"""Fusee: the spring's barrel pulls a chain off a cone whose radius grows as the pull fades, so that the torque stays even."""

from __future__ import annotations

from functools import cached_property
from typing import Annotated, Literal

import numpy as np
from pydantic import Field

from builder.ground.faults import Complaint, Finding, Refused
from builder.ground.geometry import Points
from builder.ground.part import Length, Part, Slug
from builder.ground.words import THIN, figure
from builder.parts.source.barrel import Barrel
from builder.parts.source.chained import Chained, Line, LineState, chain_up
from builder.parts.source.coils import Coils
from builder.parts.source.drive import Drive
from builder.parts.source.housed import Housed
from builder.parts.source.spring import UNCERTAINTY, Spring
from builder.parts.source.winding import Ratchet, Readings, Stored, Turns, measured_drive, reading_complaints, spread_text


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

    @cached_property
    def _housed(self) -> Housed | None:
        if self.spring is None or self.barrel is None:
            return None
        return Housed(self.spring, self.barrel.arbor_diameter_mm, self.barrel.inside_diameter_mm, "barrel")

    @cached_property
    def _chained(self) -> Chained | None:
        """Cone, barrel and set-up, for sizes that fit each in itself; None where too little is known."""
        if self._housed is None or self.barrel is None or self.line is None or self.large_diameter_mm is None:
            return None
        half = self.line.thickness_mm / 2
        small = None if self.small_diameter_mm is None else self.small_diameter_mm / 2 + half
        drum, large = self.barrel.outside_mm / 2 + half, self.large_diameter_mm / 2 + half
        return chain_up(self._housed, drum, large, small, self.turns, self.set_up_turns)

    @cached_property
    def chained(self) -> Chained | None:
        """Cone, barrel and set-up; None where too little is known. Raises Refused."""
        if broken := self.complaints():
            raise Refused(broken)
        return self._chained

    @property
    def usable_turns(self) -> float | None:
        """Turns of the fusee in one winding; None where nothing tells. Raises Refused."""
        if self.chained:
            return self.chained.cone.turns
        return self.turns or (self.measured[-1][0] if self.measured else None)

    @cached_property
    def drive(self) -> Drive | None:
        """Torque on the fusee's arbor over the winding; None where the force is not known. Raises Refused."""
        chained, turns = self.chained, self.usable_turns
        if turns is not None and self.measured:
            return measured_drive(self.measured, turns)
        if chained is None:
            return None
        return Drive(chained.cone.turns, chained.pull, "computed", UNCERTAINTY, chained.housed.winding_factor)

    @property
    def stored(self) -> Stored | None:
        """What the wound spring holds, the set-up with it; None where the force is not known. Raises Refused.

        `kept_j` is what is left when both the fusee has run down and the set-up is let off at the barrel's own ratchet.
        """
        drive, chained = self.drive, self.chained
        if drive is None:
            return None
        if chained is None:
            return Stored("spring", drive.energy_j())
        housed, set_up = chained.housed, chained.set_up_turns
        above = drive.energy_j() if self.measured else housed.energy_j(set_up + chained.barrel_turns) - housed.energy_j(set_up)
        return Stored("spring", housed.energy_j(set_up) + above, housed.energy_j(0.0))

    def coils(self, turns_left: float) -> Coils | None:
        """The strip as it lies in the barrel, outer end on +x; None where its sizes are not known. Raises Refused, ValueError."""
        return self.chained.coils(turns_left) if self.chained else None

    def line_state(self, turns_left: float) -> LineState | None:
        """How much line lies on fusee and barrel; None where their sizes are not known. Raises Refused."""
        return self.chained.line_state(turns_left) if self.chained else None

    def groove_mm(self, points: int = 65) -> Points | None:
        """Floor of the groove (N, 2): distance along the arbor from the large end, radius. None where sizes are missing."""
        if self.chained is None or self.line is None:
            return None
        pitch = self.pitch_mm or 1.1 * self.line.breadth_mm
        return self.chained.cone.profile_mm(pitch, points) - np.array([0.0, self.line.thickness_mm / 2])

    def complaints(self) -> list[Complaint]:
        """All that cannot be, keys relative to [source]."""
        found = reading_complaints(self.measured, ("measured",), fading=False) if self.measured else []
        if self.barrel:
            found += self.barrel.complaints(("barrel",), self.spring)
        if self._housed:
            found += self._housed.complaints(("spring",), ("barrel", "arbor_diameter_mm"), ("barrel", "inside_diameter_mm"))
        large, small = self.large_diameter_mm, self.small_diameter_mm
        if large is not None and small is not None and small >= large:
            advice = "The line pulls at the small end when the spring is wound and strongest. Have the two been exchanged?"
            found.append(
                Complaint(("small_diameter_mm",), f"{small:g}{THIN}mm", f"less than the large end's {large:g}{THIN}mm", advice)
            )
        if not found and self._chained:
            found += self._chained.complaints(self.set_up_turns is not None)
        return found

    def findings(self) -> list[Finding]:
        """What is worth knowing, keys relative to [source]. Raises Refused."""
        chained, drive = self.chained, self.drive
        found = []
        if self._housed:
            found += self._housed.findings(("spring",), ("barrel", "arbor_diameter_mm"))
        if self.measured and drive and (text := spread_text(self.measured, drive.turns)):
            found.append(Finding(("measured",), text))
        if chained is None:
            if self.spring and self.measured is None:
                found.append(Finding(("spring",), f"its torque on the fusee is not known without {self._lacking}"))
            return found
        if self.barrel and self.barrel.outside_diameter_mm is None:
            text = (
                f"taken as {figure(self.barrel.outside_mm, 3)}{THIN}mm; the fusee's torque goes inversely with it, so measure it"
            )
            found.append(Finding(("barrel", "outside_diameter_mm"), text))
        return found + chained.findings(self.set_up_turns is not None)

    @property
    def _lacking(self) -> str:
        """The first size without which the cone and its torque cannot be worked out, for a sentence."""
        wanted = (
            (self.barrel, "the barrel's sizes"),
            (self.line, "the line's thickness"),
            (self.large_diameter_mm, "the fusee's large diameter"),
            (self.turns or self.small_diameter_mm, "the fusee's turns or its small diameter"),
        )
        return next((words for value, words in wanted if not value), "the set-up, or both the small diameter and the turns")
