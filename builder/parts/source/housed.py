"""A mainspring in the room that it works in: turns from the areas, torque against turns, what does not fit."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import pi, sqrt

from builder.ground.faults import Complaint, Finding, Key
from builder.ground.words import THIN, figure
from builder.parts.source.coils import Bed, Coils
from builder.parts.source.drive import J_PER_NMM_TURN, Straight
from builder.parts.source.spring import STRENGTH_GPA, Spring, bending_stress_gpa


def ring_turns(room_diameter_mm: float, arbor_diameter_mm: float, thickness_mm: float, length_mm: float) -> float:
    """The handbook's turns: rings packed on the arbor less rings packed against the wall, both of the strip's own area.

    Neglected here, unlike in `Bed`: the strip that bridges from pack to wall, and half a thickness where the spiral begins.
    Raises ValueError where the strip is longer than the room.
    """
    R, r, area = room_diameter_mm / 2, arbor_diameter_mm / 2, length_mm * thickness_mm / pi
    if area > R * R - r * r:
        raise ValueError(f"{length_mm} mm of strip do not go in")
    return (sqrt(r * r + area) - r - R + sqrt(R * R - area)) / thickness_mm


def half_area_length_mm(room_diameter_mm: float, arbor_diameter_mm: float, thickness_mm: float) -> float:
    """Length of strip that fills half of the free area, which gives the most turns."""
    return pi * (room_diameter_mm**2 - arbor_diameter_mm**2) / (8 * thickness_mm)


@dataclass(frozen=True)
class Housed:
    """A spring between an arbor and a wall (or the edge of the room that an open spring has)."""

    spring: Spring
    arbor_diameter_mm: float
    room_diameter_mm: float
    place: str
    """'barrel' or 'room', for the texts."""

    @cached_property
    def bed(self) -> Bed:
        return Bed(self.spring.length_mm, self.spring.thickness_mm, self.arbor_diameter_mm / 2, self.room_diameter_mm / 2)

    @cached_property
    def coils_down(self) -> float:
        """Coils when run down: against the wall, or lying free where the strip has set to more coils than that."""
        return max(self.bed.down.count, self.spring.free_coils or 0.0)

    @property
    def coils_wound(self) -> float:
        return self.bed.wound.count

    @property
    def turns(self) -> float:
        """Turns from run down to fully wound, by the true spiral."""
        return self.coils_wound - self.coils_down

    @property
    def handbook_turns(self) -> float:
        """The same by the handbook's rings: some per cent more."""
        return ring_turns(self.room_diameter_mm, self.arbor_diameter_mm, self.spring.thickness_mm, self.spring.length_mm)

    @property
    def fill(self) -> float:
        """Part of the free area that the strip takes up."""
        free_mm2 = pi * (self.room_diameter_mm**2 - self.arbor_diameter_mm**2) / 4
        return self.spring.length_mm * self.spring.thickness_mm / free_mm2

    @property
    def preload_turns(self) -> float:
        """Turns that the run-down coils are already wound beyond the free shape: why a spring jumps out of an opened barrel."""
        return self.coils_down - (self.spring.free_coils or 0.0)

    @property
    def pull_nmm_per_turn(self) -> float:
        """Torque a turn while the spring drives, N·mm: coil friction taken off."""
        return self.spring.pull_nmm_per_turn * (1 - self.spring.coil_friction)

    @property
    def winding_factor(self) -> float:
        return (1 + self.spring.coil_friction) / (1 - self.spring.coil_friction)

    def law(self, set_up_turns: float) -> Straight:
        """Torque on the spring's own arbor or barrel, over turns left above the set-up.

        A straight line to the last. Neglected: the last half turn falls off faster, as the coils come to lie on the wall.
        """
        pull = self.pull_nmm_per_turn
        return Straight(pull * (self.preload_turns + set_up_turns), pull)

    def energy_j(self, turns_wound: float) -> float:
        """Energy that the strip holds, so many turns above run down, J: all of it, from its free shape."""
        return J_PER_NMM_TURN * self.spring.pull_nmm_per_turn * (self.preload_turns + turns_wound) ** 2 / 2

    def coils(self, turns_wound: float, all_turns: float) -> Coils:
        """The coils as they lie `turns_wound` above run down, where counting found `all_turns` from run down to wound.

        Where counting found more turns than there is room for, each counts for a little less, so that the picture can hold.
        """
        part = min(1.0, self.turns / all_turns)
        return self.bed.coils(min(self.coils_down + part * turns_wound, self.coils_wound))

    def complaints(self, strip: Key, arbor: Key, room: Key) -> list[Complaint]:
        """What cannot be; the keys are those of the strip's table, the arbor's diameter and the room's diameter."""
        spring = self.spring
        if (
            self.arbor_diameter_mm <= spring.thickness_mm
            or self.arbor_diameter_mm >= self.room_diameter_mm - 4 * spring.thickness_mm
        ):
            allowed = f"more than the strip's thickness and well under the {self.place}'s {self.room_diameter_mm:g}{THIN}mm"
            advice = f"Usual is about a third of the {self.place}: {figure(self.room_diameter_mm / 3, 2)}{THIN}mm."
            return [Complaint(arbor, f"{self.arbor_diameter_mm:g}{THIN}mm", allowed, advice)]
        half = half_area_length_mm(self.room_diameter_mm, self.arbor_diameter_mm, spring.thickness_mm)
        key, value = (*strip, "length_mm"), f"{spring.length_mm:g}{THIN}mm"
        most = min(self.bed.longest_mm, 2 * half)
        if spring.length_mm >= most:
            allowed = f"less than {figure(most, 3)}{THIN}mm, which would fill the {self.place} solid"
            advice = (
                f"Too long for this {self.place}. The most turns come from half the free area: {figure(half, 3)}{THIN}mm of this "
                f"thickness. Measure thickness and {self.place} again, or shorten the spring to that."
            )
            return [Complaint(key, value, allowed, advice)]
        if spring.length_mm <= self.bed.shortest_mm:
            allowed = f"more than {figure(self.bed.shortest_mm, 3)}{THIN}mm, once round from arbor to wall"
            advice = f"Too short to work. The most turns come from {figure(half, 3)}{THIN}mm of this thickness."
            return [Complaint(key, value, allowed, advice)]
        if self.turns < 0.5:
            allowed = f"a spring that can turn between the {figure(self.coils_down, 3)} coils of run down and those of wound"
            advice = (
                f"It winds to {figure(self.coils_wound, 3)} coils, so it has {figure(max(self.turns, 0), 1)} turns. "
                f"Measure length, thickness and free coils again; {figure(half, 3)}{THIN}mm give the most turns."
            )
            return [Complaint(key, value, allowed, advice)]
        return []

    def turns_complaints(self, turns: float, set_up_turns: float, key: Key) -> list[Complaint]:
        """Turns counted (with the set-up) that the room does not have by a good margin: a count or a size is wrong."""
        if turns + set_up_turns <= 1.15 * self.handbook_turns:
            return []
        with_set_up = f" with {set_up_turns:g} of set-up" if set_up_turns else ""
        allowed = f"at most {figure(self.handbook_turns, 3)} turns in all, which the areas give"
        advice = (
            "Count the turns again, or measure the strip's thickness and length again: a thinner or another length gives more."
        )
        return [Complaint(key, f"{turns:g}{with_set_up}", allowed, advice)]

    def findings(self, strip: Key, arbor: Key) -> list[Finding]:
        """What is worth knowing of a spring that can be."""
        spring = self.spring
        found = []
        half = half_area_length_mm(self.room_diameter_mm, self.arbor_diameter_mm, spring.thickness_mm)
        if self.place == "barrel" and not 0.42 <= self.fill <= 0.58:
            best = Bed(half, spring.thickness_mm, self.arbor_diameter_mm / 2, self.room_diameter_mm / 2)
            most, fill = figure(best.wound.count - best.down.count, 2), figure(100 * self.fill, 2)
            text = (
                f"the strip takes up {fill}{THIN}% of the free area and has {figure(self.turns, 2)} turns; half the area, "
                f"{figure(half, 3)}{THIN}mm, would have {most}"
            )
            found.append(Finding((*strip, "length_mm"), text))
        share = self.arbor_diameter_mm / self.room_diameter_mm
        if self.place == "barrel" and not 0.25 <= share <= 0.4:
            found.append(Finding(arbor, f"the arbor is {figure(share, 2)} of the barrel; about a third is usual"))
        stress = bending_stress_gpa(spring.modulus_gpa, spring.thickness_mm, self.arbor_diameter_mm / 2)
        strength = STRENGTH_GPA[spring.material]
        if stress > strength:
            text = (
                f"round this arbor the inner coil is bent as if to {figure(stress, 2)}{THIN}GPa, and {spring.material} gives way "
                f"near {strength:g}{THIN}GPa: it has set there, as mainsprings do"
            )
            if self.arbor_diameter_mm < 20 * spring.thickness_mm:
                kinder = figure(25 * spring.thickness_mm, 2)
                text += f"; so tight a bend breaks springs: an arbor of {kinder}{THIN}mm or a thinner strip is kinder"
            found.append(Finding((*strip, "thickness_mm"), text))
        return found
