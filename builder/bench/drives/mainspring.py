"""A mainspring for a barrel: thickness, height, length, turns and torque from barrel and arbor.

The strip that fills half of the free area has the most turns, (√(2(D² + d²)) − D − d)/2h; of any other length, rings packed on
the arbor less rings packed on the wall (from memory: the handbooks' areas). Torque of a bent strip: 2π E b h³/12L a turn (any
book of mechanics). What the true spiral has is less by some per cent: the strip that bridges from wall to arbor.

Neglected in the rings: that bridge and the snail of the arbor. In the torque: friction between coils. Real springs set in use and
lose a fifth or more of it, and a strip 3 % too thick has 9 % more: from sizes alone a torque is known to 30 % at best.
"""

from __future__ import annotations

from math import pi, sqrt
from typing import Annotated

from pydantic import Field

from builder.bench.working.lines import Steps, Working
from builder.bench.working.once import cannot, not_once, refuse
from builder.ground.faults import Complaint
from builder.ground.part import Length, Part
from builder.parts.source.drive import J_PER_NMM_TURN
from builder.parts.source.housed import Housed, half_area_length_mm, ring_turns
from builder.parts.source.spring import MODULUS_GPA, USUAL_SET, Spring, SpringMaterial, bending_stress_gpa, pull_nmm_per_turn


class Mainspring(Part):
    """The spring for a barrel, or what a spring does in it."""

    barrel_mm: Length
    """Inside diameter of the barrel."""
    arbor_mm: Length
    """Diameter of the arbor where the spring lies on it: about a third of the barrel is usual."""
    turns: Annotated[float, Field(gt=0, le=100)] | None = None
    """Turns wished for: then the thickness follows. Give this or the thickness."""
    thickness_mm: Annotated[float, Field(gt=0.01, le=5)] | None = None
    """Thickness of the strip."""
    length_mm: Annotated[float, Field(gt=5, le=20_000)] | None = None
    """Length of the strip. Left out: what fills half of the free area."""
    height_mm: Annotated[float, Field(gt=0.1, le=200)] | None = None
    """Height of the strip, for the torque."""
    material: SpringMaterial = "blued steel"
    """Blued steel, or the white alloy of newer springs."""
    set: Annotated[float, Field(ge=0, lt=1)] = USUAL_SET
    """Part of the torque lost because the spring has set: 0.2 for a fifth."""

    def working(self) -> Working:
        """Raises Refused where not just one of turns and thickness is told, or the strip does not go in."""
        self._refuse()
        steps = Steps("mainspring", self)
        D, d = self.barrel_mm, self.arbor_mm
        room = steps.line("room_mm", sqrt(2 * (D * D + d * d)) - D - d)
        h = self.thickness_mm
        if h is None:
            assert self.turns is not None, "told once"
            h = steps.line("thickness_mm", room / (2 * self.turns))
        else:
            steps.line("most_turns", room / (2 * h))
        half = steps.line("half_area_mm", half_area_length_mm(D, d, h), thickness_mm=h)
        steps.line("coils_reach_mm", sqrt((D * D + d * d) / 2))
        length, turns = half, room / (2 * h)
        if self.length_mm is not None:
            length = self.length_mm
            steps.line("fill_percent", 50 * length / half)
            turns = self._ring_turns(steps, h)
        self._true_turns(steps, h, length)
        if self.height_mm is not None:
            self._torque(steps, h, self.height_mm, length, turns)
        modulus = MODULUS_GPA[self.material]
        steps.line("stress_gpa", bending_stress_gpa(modulus, h, d / 2), modulus_gpa=modulus, thickness_mm=h)
        return steps.done()

    def _ring_turns(self, steps: Steps, h: float) -> float:
        assert self.length_mm is not None
        area = steps.line("area_over_pi_mm2", self.length_mm * h / pi, thickness_mm=h)
        R, r = self.barrel_mm / 2, self.arbor_mm / 2
        if area >= R * R - r * r:
            most = 2 * half_area_length_mm(self.barrel_mm, self.arbor_mm, h)
            raise cannot(
                "length_mm",
                f"{self.length_mm:g}",
                f"less than {most:.4g} mm, which fills the barrel solid",
                "Measure again, or shorten the spring.",
            )
        return steps.line("ring_turns", ring_turns(self.barrel_mm, self.arbor_mm, h, self.length_mm), thickness_mm=h)

    def _true_turns(self, steps: Steps, h: float, length: float) -> None:
        """By the true spiral, where the strip's sizes are those of a spring that can work there."""
        height = self.height_mm or 1.0
        if not (0.01 < h <= 5 and 5 < length <= 20_000):
            return
        housed = Housed(Spring(thickness_mm=h, height_mm=height, length_mm=length), self.arbor_mm, self.barrel_mm, "barrel")
        if not housed.complaints((), (), ()):
            steps.line("true_turns", housed.turns, solved=True)

    def _torque(self, steps: Steps, h: float, height: float, length: float, turns: float) -> None:
        modulus = MODULUS_GPA[self.material]
        put = {"modulus_gpa": modulus, "thickness_mm": h, "length_mm": length}
        pull = steps.line("pull_nmm_per_turn", (1 - self.set) * pull_nmm_per_turn(modulus, height, h, length), put=put)
        coils = steps.line("coils_down", (self.barrel_mm - sqrt(self.barrel_mm**2 - 4 * length * h / pi)) / (2 * h), put=put)
        down = steps.line("down_nmm", pull * coils)
        wound = steps.line("wound_nmm", pull * (coils + turns), turns_had=turns)
        steps.line("energy_j", J_PER_NMM_TURN * turns * (down + wound) / 2, turns_had=turns)

    def _refuse(self) -> None:
        found = not_once(self, "turns", "thickness_mm")
        if self.arbor_mm >= self.barrel_mm:
            allowed = f"less than the barrel's {self.barrel_mm:g} mm"
            found.append(Complaint(("arbor_mm",), f"{self.arbor_mm:g}", allowed, "Have the two been exchanged?"))
        refuse(found)
