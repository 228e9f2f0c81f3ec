"""Barrel, line and cone of a fusee brought together: what follows from which sizes, what cannot work, how even it is."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from builder.ground.faults import Complaint, Finding
from builder.ground.part import Length, Part
from builder.ground.words import THIN, figure
from builder.parts.source.coils import Coils
from builder.parts.source.cone import Cone, Pull, even_cone, even_turns
from builder.parts.source.drive import Array
from builder.parts.source.housed import Housed

EVEN = 0.03
"""Torque may differ by so much over a winding and still be called even (no source)."""


class Line(Part):
    """What runs from the barrel to the fusee."""

    kind: Literal["chain", "gut", "steel line"] = "chain"
    """Chain, gut or steel line."""
    thickness_mm: Length
    """Thickness, mm: it pulls at half of this above the surface that it lies on."""
    width_mm: Length | None = None
    """Width along the arbor, mm; left out: as thick as wide."""

    @property
    def breadth_mm(self) -> float:
        """Width along the arbor, mm."""
        return self.width_mm or self.thickness_mm


@dataclass(frozen=True)
class LineState:
    """Where the line is. Turns of line on the one are turns that the other has let go."""

    on_fusee_turns: float
    fusee_radius_mm: float
    """Radius at which it leaves the fusee, to its middle."""
    on_barrel_turns: float
    barrel_radius_mm: float
    """Radius on the barrel, to its middle."""


@dataclass(frozen=True)
class Chained:
    """The fusee's parts with every size known or worked out."""

    housed: Housed
    cone: Cone
    drum_mm: float
    """Radius on the barrel to the middle of the line."""
    set_up_turns: float

    @property
    def barrel_turns(self) -> float:
        """Turns of the barrel in one winding."""
        return self._barrel_turns(self.cone.turns)

    @property
    def suiting_set_up_turns(self) -> float:
        """The set-up with which this cone keeps the torque even; below 0 where no set-up does."""
        return self.cone.evening_turns_by_drum / self.drum_mm - self.housed.preload_turns

    @property
    def pull(self) -> Pull:
        """Torque on the fusee's arbor."""
        return Pull(self.cone, self.drum_mm, self.housed.preload_turns + self.set_up_turns, self.housed.pull_nmm_per_turn)

    def line_state(self, turns_left: float) -> LineState:
        """How much line lies on the fusee and on the barrel."""
        radius = float(self.cone.radius_mm(np.array(turns_left)))
        return LineState(turns_left, radius, self.barrel_turns - self._barrel_turns(turns_left), self.drum_mm)

    def coils(self, turns_left: float) -> Coils:
        """The strip as it lies in the barrel. Raises ValueError for turns that the fusee has not."""
        if not 0 <= turns_left <= self.cone.turns * (1 + 1e-9):
            raise ValueError(f"turns left from 0 to {self.cone.turns}, not {turns_left}")
        return self.housed.coils(self.set_up_turns + self._barrel_turns(turns_left), self.set_up_turns + self.barrel_turns)

    def _barrel_turns(self, turns_left: float) -> float:
        return float(self.cone.line_turns(np.array(turns_left), self.drum_mm))

    def complaints(self, set_up_given: bool) -> list[Complaint]:
        """A cone, a spring and a set-up that cannot work together, keys relative to [source]."""
        preload, suiting, needed = self.housed.preload_turns, self.suiting_set_up_turns, self.barrel_turns
        if self.set_up_turns < 0:  # only where it was worked out
            allowed = "a cone that some set-up of this spring makes even"
            advice = (
                f"Run down, the spring is already {figure(preload, 3)} turns beyond its free shape; this cone wants "
                f"{figure(preload + suiting, 3)}. Measure the cone again, state the spring's free coils, or the set-up found."
            )
            return [Complaint(("small_diameter_mm",), "this cone", allowed, advice)]
        # the handbook's turns are the generous ones: past them the spring would be tight before the fusee is full
        most = self.housed.handbook_turns - needed
        if self.set_up_turns > most:
            allowed = f"at most {figure(most, 3)} turns" if most > 0 else "a barrel that turns less than its spring can"
            advice = (
                f"The line turns the barrel {figure(needed, 3)} times and the spring has {figure(self.housed.turns, 3)}: it is "
                "tight before the fusee is full. Fewer turns of groove, less set-up, a smaller cone or a thinner spring help."
            )
            value = f"{figure(self.set_up_turns, 3)} turns" + ("" if set_up_given else ", worked out")
            return [Complaint(("set_up_turns",), value, allowed, advice)]
        return []

    def findings(self, set_up_given: bool) -> list[Finding]:
        """How even the torque is, and whether the spring is long enough; keys relative to [source]."""
        found = []
        suiting, key = self.suiting_set_up_turns, ("set_up_turns",)
        down, wound = self.pull.torque_nmm(np.array([0.0, self.cone.turns])).tolist()
        if not set_up_given:
            found.append(Finding(key, f"not given: {figure(suiting, 2)} turns keep the torque even with this cone"))
        elif abs(wound - down) > EVEN * wound:
            way, part = ("more", 1 - down / wound) if wound > down else ("less", 1 - wound / down)
            cure = (
                f"{figure(suiting, 2)} turns of set-up would even it" if suiting >= 0 else "no set-up evens it with this spring"
            )
            compared = f"{figure(100 * part, 2)}{THIN}% of the larger"
            found.append(Finding(key, f"wound, the fusee pulls {way} than nearly run down, by {compared}; {cure}"))
        used = self.set_up_turns + self.barrel_turns
        if used > 1.001 * self.housed.turns:
            text = (
                f"set-up and line wind the spring {figure(used, 3)} turns, by its sizes it has {figure(self.housed.turns, 3)}; "
                "it may be tight before the fusee is full"
            )
            found.append(Finding(key, text))
        return found


def line_normal(sense: int, along_mm: Array, fusee_mm: float, drum_mm: float) -> Array:
    """(2,) unit normal of the running line, from both centres to where it touches.

    `along_mm` (2,) goes from the fusee's centre to the barrel's; `sense` is +1 where the line pulls the fusee counter-clockwise.
    """
    apart = float(np.hypot(*along_mm))
    to, lean = along_mm / apart, (fusee_mm - drum_mm) / apart
    return np.asarray(lean * to + math.sqrt(1 - lean**2) * sense * np.array([to[1], -to[0]]))


def chain_up(
    housed: Housed, drum_mm: float, large_mm: float, small_mm: float | None, turns: float | None, set_up_turns: float | None
) -> Chained | None:
    """Cone and set-up from what is known, radii to the middle of the line; None where that is too little.

    Of small end, turns and set-up any two tell the third, by asking for an even torque; all three are taken as they are.
    """
    preload = housed.preload_turns
    if small_mm is not None:
        if turns is None:
            if set_up_turns is None or preload + set_up_turns <= 0:
                return None
            turns = even_turns(large_mm, small_mm, drum_mm, preload + set_up_turns)
        cone = Cone(turns, large_mm, small_mm)
        return Chained(
            housed, cone, drum_mm, cone.evening_turns_by_drum / drum_mm - preload if set_up_turns is None else set_up_turns
        )
    if turns is None or set_up_turns is None or preload + set_up_turns <= 0:  # a slack spring has no pull to keep even
        return None
    return Chained(housed, even_cone(turns, large_mm, drum_mm, preload + set_up_turns), drum_mm, set_up_turns)
