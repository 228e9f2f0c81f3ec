"""Weight: the oldest source and the steadiest, a mass on a cord that unwinds from a drum."""

from __future__ import annotations

from functools import cached_property
from math import pi
from typing import Annotated, Literal

from pydantic import Field

from builder.ground.constants import GRAVITY_STANDARD_M_S2
from builder.ground.faults import Complaint, Finding, Refused
from builder.ground.part import Length, Part, Slug
from builder.ground.words import THIN, figure
from builder.parts.source.drive import Drive, Straight
from builder.parts.source.winding import Ratchet, Readings, Stored, Turns, measured_drive, reading_complaints, spread_text


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

    @property
    def pull_radius_mm(self) -> float | None:
        """Radius at which the cord pulls, to its middle; None where the drum was not measured."""
        return None if self.drum_diameter_mm is None else (self.drum_diameter_mm + (self.cord_mm or 0.0)) / 2

    @property
    def fall_per_turn_mm(self) -> float | None:
        """How far the weight sinks for a turn of the drum; None where the drum was not measured.

        One layer of cord. Neglected: the cord's slope along the drum, its stretch and its own weight.
        """
        return None if self.pull_radius_mm is None else 2 * pi * self.pull_radius_mm / self.lines

    @property
    def usable_turns(self) -> float | None:
        """Turns of the drum in one winding; None where nothing tells. Raises Refused."""
        if broken := self.complaints():
            raise Refused(broken)
        return self.turns or self._turns_of_fall or (self.measured[-1][0] if self.measured else None)

    @cached_property
    def drive(self) -> Drive | None:
        """Torque on the drum, the same to the last turn; None where the force is not known. Raises Refused."""
        turns = self.usable_turns
        if turns is None:
            return None
        if self.measured:
            return measured_drive(self.measured, turns)
        if self.pull_n is None or self.pull_radius_mm is None:
            return None
        return Drive(turns, Straight(self.pull_n * self.pull_radius_mm, 0.0), "computed")

    @property
    def pull_n(self) -> float | None:
        """Pull of the cord on the drum, the pulley paid for; None where the weight was not weighed."""
        if self.mass_kg is None:
            return None
        return self.mass_kg * GRAVITY_STANDARD_M_S2 / self.lines * (self.pulley_efficiency if self.lines == 2 else 1.0)

    @property
    def falls_mm(self) -> float | None:
        """How far the weight sinks in one winding; None where it is not known. Raises Refused."""
        turns, each = self.usable_turns, self.fall_per_turn_mm
        return self.fall_mm if turns is None or each is None else turns * each

    @property
    def stored(self) -> Stored | None:
        """What the wound-up weight holds; None where its mass or its fall is not known. Raises Refused."""
        if self.mass_kg is None or self.falls_mm is None:
            return None
        energy = self.mass_kg * GRAVITY_STANDARD_M_S2 * self.falls_mm / 1000
        return Stored("weight", energy, mass_kg=self.mass_kg, fall_mm=self.falls_mm)

    @property
    def _turns_of_fall(self) -> float | None:
        if self.fall_mm is None or self.fall_per_turn_mm is None:
            return None
        return self.fall_mm / self.fall_per_turn_mm

    def complaints(self) -> list[Complaint]:
        """All that cannot be, keys relative to [source]."""
        found = reading_complaints(self.measured, ("measured",), fading=False) if self.measured else []
        if self.lines == 1 and self.pulley_efficiency < 1:
            advice = "There is no pulley on one line: say lines = 2, or leave pulley_efficiency out."
            found.append(Complaint(("pulley_efficiency",), f"{self.pulley_efficiency:g}", "1 where lines = 1", advice))
        room, each = self._turns_of_fall, self.fall_per_turn_mm
        if self.turns and room and each and self.turns > 1.02 * room:
            cure = (
                "Count the turns, or measure drum and fall, again."
                if self.lines == 2
                else "A pulley (lines = 2) halves the fall."
            )
            advice = f"The weight would sink {figure(self.turns * each, 3)}{THIN}mm of its {self.fall_mm:g}{THIN}mm. {cure}"
            found.append(Complaint(("turns",), f"{self.turns:g}", f"at most {figure(room, 3)}, which the fall allows", advice))
        return found

    def findings(self) -> list[Finding]:
        """What is worth knowing, keys relative to [source]. Raises Refused."""
        turns = self.usable_turns
        found = []
        if turns and self.measured and (text := spread_text(self.measured, turns)):
            found.append(Finding(("measured",), text))
        if turns and self.cord_mm and self.drum_length_mm and turns * self.cord_mm > self.drum_length_mm:
            taken = f"{figure(turns * self.cord_mm, 3)}{THIN}mm of drum"
            text = (
                f"{figure(turns, 3)} turns of cord take {taken}: the rest lies in a second layer and pulls harder; left out here"
            )
            found.append(Finding(("drum_length_mm",), text))
        if self.mass_kg is not None and self.drum_diameter_mm is None and self.measured is None:
            found.append(Finding(("drum_diameter_mm",), "without the drum's diameter the torque is not known"))
        if self.lines == 2 and self.pulley_efficiency == 1 and self.measured is None:
            found.append(Finding(("pulley_efficiency",), "the loss in the pulley is left out: the real torque is a little less"))
        return found
