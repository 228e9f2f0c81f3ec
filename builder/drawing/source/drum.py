"""The drum of a weight-driven movement with great wheel, ratchet and cord: from the front, and from the side of the cord."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from builder.drawing.path import View, circle, number
from builder.drawing.sheet import Figure, Shape
from builder.drawing.source.cut import box_d, changing, cut
from builder.drawing.source.hold import Hold, end_on, seated, wheel_figure
from builder.drawing.source.run import Run
from builder.drawing.source.section import Axis, Stretch, both, hold_figures, square_figures, turned_d, whole
from builder.drawing.source.views import Spot
from builder.drawing.source.wraps import Wrap
from builder.going.placed import Toothing
from builder.parts.source.weight import Weight

USUAL_CORD = 0.03
"""Thickness of a cord that was not measured, by the drum's diameter (as drawn)."""
CORDS = {"gut": "wood", "rope": "wood", "steel line": "steel", "chain": "steel"}
SPACED = 1.6
"""Turns of cord lie at most this much of its thickness apart (as drawn)."""


@dataclass(frozen=True)
class Side:
    """The side view: figures, where leaders end, how far it reaches to left and right of the square's end. px."""

    figures: tuple[Figure, ...]
    spots: dict[str, Spot]
    left: float
    right: float


@dataclass(frozen=True)
class Drum:
    """Drum, ratchet and great wheel with all that is known of them."""

    source: Weight
    diameter_mm: float
    pull_mm: float
    """Radius at which the cord pulls."""
    wheel: Toothing
    run: Run
    held: Hold | None
    view: View
    square_mm: float
    names: dict[str, str]

    @property
    def hangs(self) -> int:
        """−1 where the cord hangs at the left of the front view: where the drum turns down."""
        return self.run.sense if self.view.back else -self.run.sense

    @property
    def cord_mm(self) -> float:
        """Thickness of the cord."""
        return self.source.cord_mm or USUAL_CORD * self.diameter_mm

    @property
    def cord(self) -> str:
        """Class of the cord."""
        return CORDS[self.source.cord]

    def front(self, low: float) -> list[Figure]:
        """Great wheel, ratchet and click, the drum taken off but for its outline, the cord."""
        px = self.view.scale
        turning: list[Figure] = [wheel_figure(self.wheel, self.view, self.held)]
        if self.held:
            turning += seated(self.held, self.view, self.names)
        turning.append(end_on(self.square_mm, self.view, self.names))
        outline = [Shape(circle(r * px), "phantom") for r in (self.diameter_mm / 2, self.pull_mm + self.cord_mm / 2)]
        return [
            Figure(None, None, moves=(self.run.turning(self.view),), inner=tuple(turning)),
            Figure("drum", self.names["drum"], shapes=tuple(outline)),
            self._hanging(self.hangs * self.pull_mm * px, low),
        ]

    def _hanging(self, x: float, low: float) -> Figure:
        """The cord from the drum down, broken off."""
        half = self.cord_mm * self.view.scale / 2
        n, wide = number, 3 * half + 5
        broken = f"M{n(x - wide, 1)} {n(low, 1)}q{n(wide / 2, 1)}-7 {n(wide, 1)} 0t{n(wide, 1)} 0"
        shapes = (Shape(box_d((x - half, 0.0, x + half, low)), f"{self.cord} detail"), Shape(broken, "outline"))
        return Figure("cord", self.names["cord"], shapes=shapes)

    def side(self, low: float, plate_mm: float) -> Side:
        """From where the square stands: plate, drum with its cord, ratchet, great wheel, plate. The front lies on the side that
        is right for looking at it from the cord's side."""
        px, names, turns, cord = self.view.scale, self.names, self.run.turns, self.cord_mm
        radius, tip = self.diameter_mm / 2 * px, self.wheel.gear.tip_mm * px
        axis = Axis(px, self.hangs)
        square = axis.go(0.15 * self.diameter_mm + plate_mm)
        near = axis.go(plate_mm)
        axis.go(0.7 * plate_mm)
        rim = 1.4 * cord
        flange = axis.go(rim)
        length = (self.source.drum_length_mm or 1.15 * cord * (turns + 1)) - 2 * rim
        drum = axis.go(max(length, cord * (turns + 1)))
        other = axis.go(rim)
        ratchet = axis.go(plate_mm if self.held else 0.0)
        great = axis.go(plate_mm)
        axis.go(0.7 * plate_mm)
        far = axis.go(plate_mm)
        end = axis.go(0.5 * plate_mm)
        pitch = min(abs(drum[1] - drum[0]) / (turns + 1), SPACED * cord * px)
        pull = self.pull_mm * px
        wrap = Wrap(turns, lambda turn: np.full(np.shape(turn), pull), lambda turn: pitch * turn, cord * px, -1, -axis.way)
        fastened = (drum[1] + axis.way * cord * px / 2, 0.0)
        hangs = self._hanging(fastened[0] + wrap.leaves_px(turns), low)
        arbor, edge, collar = 0.24 * radius, 1.06 * tip, radius + 1.7 * cord * px
        steps = [(square[1], 0.9 * arbor), (near[1], arbor), (far[0], 0.6 * arbor), (end[1], 0.0)]
        flanges = "".join(box_d(whole(x, collar)) for x in (flange, other))
        rims = "".join(f"M{number(min(great), 1)} {number(y, 1)}H{number(max(great), 1)}" for y in self._roots())
        left, right = sorted((0.0, end[1]))
        held = hold_figures(names, self.held, px, ratchet, great) if self.held else []
        figures = [
            Figure("plates", None, shapes=cut([*both(near, arbor, edge), *both(far, 0.65 * arbor, edge)], "plate")),
            Figure(None, None, shapes=(Shape(turned_d(steps), "steel arbor"),)),
            Figure("drum", names["drum"], shapes=(Shape(box_d(whole(drum, radius)), "brass"),)),
            changing("cord", None, f"{self.cord} detail", wrap.move(self.run, lambda turns_left: turns_left), fastened),
            Figure(None, None, moves=(self.run.sliding(-wrap.leaves_px(turns), 0.0),), inner=(hangs,)),
            Figure("drum", None, shapes=(Shape(flanges, "brass"),)),
            Figure(self.wheel.id, names["great-wheel"], shapes=(Shape(box_d(whole(great, tip)), "brass"), Shape(rims, "detail"))),
            *held,
            *square_figures(names, square, min(self.square_mm * px / 2, 0.9 * arbor)),
            Figure(None, None, shapes=(Shape(f"M{number(left - 16, 1)} 0H{number(right + 16, 1)}", "axis"),)),
        ]
        return Side(tuple(figures), self._spots(square, drum, ratchet, great), left, right)

    def _roots(self) -> tuple[float, float]:
        root = self.wheel.gear.root_mm * self.view.scale
        return -root, root

    def _spots(self, square: Stretch, drum: Stretch, ratchet: Stretch, great: Stretch) -> dict[str, Spot]:
        px = self.view.scale
        spots = {
            "drum": (sum(drum) / 2, -0.25 * self.diameter_mm * px),
            "winding-square": (sum(square) / 2, 0.0),
            self.wheel.id: (sum(great) / 2, 0.86 * self.wheel.gear.tip_mm * px),
        }
        if self.held:
            spots["click"] = (sum(ratchet) / 2, -self.held.screw_distance_mm * px)
            spots["ratchet-wheel"] = (sum(ratchet) / 2, 0.5 * self.held.tip_mm * px)
        return spots
