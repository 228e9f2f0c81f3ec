"""A fusee for a spring: torque times radius is the same at both ends of the cone (from memory: the fusee's law).

Between the ends 1/radius² goes evenly with the turns, where the spring pulls in a straight line (see parts/source/cone.py); the
chain on the full cone is then as long as at the harmonic mean of both radii.

Neglected: the chain's own thickness (measure diameters to its middle), the rise of the groove, friction of chain and coils.
"""

from __future__ import annotations

from math import pi
from typing import Annotated

from pydantic import Field

from builder.bench.working.lines import Steps, Working
from builder.bench.working.once import not_once, refuse
from builder.ground.faults import Complaint
from builder.ground.part import Length, Part
from builder.parts.source.cone import Cone

TorqueNmm = Annotated[float, Field(gt=0, le=1e6)]


class Fusee(Part):
    """The other end of the cone, the chain and the set-up."""

    wound_nmm: TorqueNmm
    """Torque of the spring on the barrel with the fusee wound full."""
    down_nmm: TorqueNmm
    """The same with the fusee run down."""
    small_mm: Length | None = None
    """Diameter of the cone at the small end, to the middle of the chain. Give this or the large one."""
    large_mm: Length | None = None
    """Diameter at the large end."""
    turns: Annotated[float, Field(gt=0, le=50)] | None = None
    """Turns of groove, for the length of the chain."""
    drum_mm: Length | None = None
    """Diameter of the barrel to the middle of the chain on it, for its turns and the set-up."""

    def working(self) -> Working:
        """Raises Refused where not just one end is told, or the spring does not fade."""
        self._refuse()
        steps = Steps("fusee", self)
        small, large = self.small_mm, self.large_mm
        if large is None:
            assert small is not None, "told once"
            large = steps.line("large_mm", small * self.wound_nmm / self.down_nmm)
        else:
            small = steps.line("small_mm", large * self.down_nmm / self.wound_nmm)
        if self.turns is not None:
            chain = Cone(self.turns, large / 2, small / 2).line_mm
            steps.line("chain_mm", chain, small_mm=small, large_mm=large)
            if self.drum_mm is not None:
                barrel = steps.line("barrel_turns", chain / (pi * self.drum_mm))
                steps.line("fusee_nmm", self.down_nmm * large / self.drum_mm, large_mm=large)
                pull = steps.line("pull_nmm_per_turn", (self.wound_nmm - self.down_nmm) / barrel)
                steps.line("set_up_turns", self.down_nmm / pull)
        return steps.done()

    def _refuse(self) -> None:
        found = not_once(self, "small_mm", "large_mm")
        if self.wound_nmm <= self.down_nmm:
            advice = "A spring pulls harder wound: have the two been exchanged?"
            found.append(Complaint(("wound_nmm",), f"{self.wound_nmm:g}", f"more than down_nmm = {self.down_nmm:g}", advice))
        refuse(found)
