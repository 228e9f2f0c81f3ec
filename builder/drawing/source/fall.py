"""A weight's whole fall at true scale: drum, seat board, cord, pulley, weight, and a rule beside them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from builder.drawing.path import circle, number
from builder.drawing.sheet import Figure, Move, Shape, Words
from builder.drawing.source.cut import box_d, changing
from builder.drawing.source.drum import Drum
from builder.drawing.source.sized import say
from builder.going.going import Going
from builder.ground.constants import MATERIALS
from builder.ground.wording import Wording
from builder.parts.source.winding import states

SLENDER = 2.6
"""Height of the weight by its diameter (as drawn: the file has its mass)."""
BOARD = 1.5
"""From the drum's axis to the underside of the seat board, by the radius at which the cord pulls (as drawn)."""
FEW_MM = 4000.0
"""A rule for a fall longer than this has a line every half metre, not every 100 mm."""


@dataclass(frozen=True)
class Fall:
    """The fall in px about the drum's axis, y downwards, at `scale` px/mm."""

    drum: Drum
    falls_mm: float
    scale: float

    @property
    def pulley_mm(self) -> float:
        """Radius of the pulley to the middle of the cord, 0 without one. As drawn: its two lines hang plumb."""
        return self.drum.pull_mm if self.drum.source.lines == 2 else 0.0

    @property
    def weight_mm(self) -> tuple[float, float]:
        """Diameter and height of an iron cylinder of that mass; without a mass, as wide as the drum."""
        wide, mass = self.drum.diameter_mm, self.drum.source.mass_kg
        if mass is not None:
            wide = 1000 * (4 * mass / (math.pi * SLENDER * MATERIALS["cast_iron"].density_kg_m3)) ** (1 / 3)
        return wide, SLENDER * wide

    @property
    def first_mm(self) -> float:
        """From the drum's axis to the pulley's (or to the end of the cord) when wound."""
        return 2.2 * self.drum.pull_mm + self.pulley_mm

    @property
    def neck_mm(self) -> float:
        """From the pulley's axis (or the cord's end) to the weight's top."""
        return 1.5 * self.pulley_mm + 0.3 * self.weight_mm[0]

    @property
    def whole_mm(self) -> float:
        """From the drum's axis to the weight's foot when run down."""
        return self.first_mm + self.falls_mm + self.neck_mm + self.weight_mm[1]

    @property
    def half_px(self) -> float:
        """Half the width of what hangs."""
        return max(self.weight_mm[0] / 2, 1.5 * self.drum.pull_mm) * self.scale

    @property
    def x_px(self) -> float:
        """Of the weight's middle."""
        return self.drum.hangs * (self.drum.pull_mm - self.pulley_mm) * self.scale

    @property
    def sinking(self) -> Move:
        """How the weight goes: evenly, as the drum turns."""
        return self.drum.run.sliding(0.0, self.falls_mm * self.scale)

    @property
    def pulley_turns(self) -> float:
        """Turns of the pulley in the winding, counter-clockwise positive from the front: it rolls on the standing line."""
        return self.drum.run.sense * self.falls_mm / (2 * math.pi * self.pulley_mm)

    def figures(self, going: Going, wording: Wording) -> list[Figure]:
        """Back to front."""
        run, px, called = self.drum.run, self.scale, self.drum.names
        pull, first = self.drum.pull_mm * px, self.first_mm * px
        x, board = self.drum.hangs * pull, BOARD * pull
        wire = f"{self.drum.cord} wire cord"
        cords = [changing("cord", called["cord"], wire, self._line(x, 0.0))]
        if self.pulley_mm:
            cords.append(changing("cord", None, wire, self._line(x - 2 * self.drum.hangs * self.pulley_mm * px, board)))
        seat = Figure(None, None, shapes=(Shape(box_d((-self.half_px, board - 0.4 * pull, self.half_px, board)), "wood"),))
        turning = Figure("drum", called["drum"], moves=(run.turning(self.drum.view),), shapes=_spoked(pull, 3))
        mark = Shape(f"M{number(-self.half_px - 18, 1)} {number(first, 1)}l12-6v12z", "pointer")
        left = {state.name: state.turns_left for state in states(run.turns)}
        ghosts = [
            Figure(
                None, None, (self.x_px, first + self.falls_mm * px * (1 - left[winding.name] / run.turns)),
                shapes=(Shape(self._body_d(), "ghost"),), state=winding.name,
            )
            for winding in going.windings
        ]  # fmt: skip
        return [
            seat, *cords, turning, *ghosts, self._hung(), self._rule(wording),
            Figure(None, None, moves=(self.sinking,), shapes=(mark,)),
        ]  # fmt: skip

    def _line(self, x: float, top: float) -> Move:
        """A cord from `top` to the pulley, or to the weight."""
        wound, down = self.first_mm * self.scale, (self.first_mm + self.falls_mm) * self.scale
        ends = tuple(f"M{number(x, 1)} {number(top, 1)}L{number(x, 1)} {number(y, 1)}" for y in (wound, down))
        return self.drum.run.move("d", ends, (0.0, 1.0))

    def _body_d(self) -> str:
        """The weight, from the pulley's axis."""
        wide, tall = (mm * self.scale for mm in self.weight_mm)
        top, r, n = self.neck_mm * self.scale, 0.14 * wide, number
        return (
            f"M{n(-wide / 2 + r, 1)} {n(top, 1)}H{n(wide / 2 - r, 1)}L{n(wide / 2, 1)} {n(top + r, 1)}V{n(top + tall, 1)}"
            f"H{n(-wide / 2, 1)}V{n(top + r, 1)}z"
        )

    def _hung(self) -> Figure:
        """Pulley, strap and weight, sinking; the pulley turns as the cord runs through it."""
        called = self.drum.names
        strap = Shape(f"M0 0V{number(self.neck_mm * self.scale, 1)}", "steel wire cord")
        inner = [Figure("weight", called["weight"], shapes=(strap, Shape(self._body_d(), "iron")))]
        if self.pulley_mm:
            turning = self.drum.run.turning(self.drum.view, self.pulley_turns)
            inner.append(Figure("pulley", called["pulley"], moves=(turning,), shapes=_spoked(self.pulley_mm * self.scale, 4)))
        return Figure(None, None, (self.x_px, self.first_mm * self.scale), moves=(self.sinking,), inner=tuple(inner))

    def _rule(self, wording: Wording) -> Figure:
        """How far it has sunk."""
        x, y, n = -self.half_px - 20, self.first_mm * self.scale, number
        step = 100.0 if self.falls_mm < FEW_MM else 500.0
        marks = "".join(
            f"M{n(x, 1)} {n(y + k * step * self.scale, 1)}h-{8 if k % 5 else 14}" for k in range(int(self.falls_mm / step) + 1)
        )
        down = y + self.falls_mm * self.scale
        texts = (Words(x, y - 20, "0"), Words(x - 20, down, say(wording, "mm", mm=self.falls_mm), "label", "end"))
        rule = f"M{n(x, 1)} {n(y, 1)}V{n(down, 1)}h-14"
        return Figure(None, None, shapes=(Shape(rule, "outline"), Shape(marks, "detail")), words=texts)


def _spoked(radius: float, spokes: int) -> tuple[Shape, Shape]:
    """A small wheel whose turning can be seen."""
    angles = [2 * math.pi * k / spokes for k in range(spokes)]
    lines = "".join(f"M0 0L{number(radius * math.cos(a), 1)} {number(radius * math.sin(a), 1)}" for a in angles)
    return Shape(circle(radius, places=1), "brass"), Shape(lines, "detail")
