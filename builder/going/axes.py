"""Arbors along their axes: shoulders, pivots, and how far each reaches through the plates; where the pillars stand."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from builder.going.going import Going
from builder.going.heights import Elevation
from builder.going.placed import Point
from builder.going.plan import Plan
from builder.going.power import pivot_radius_mm
from builder.going.setting import usual
from builder.going.source_heights import wound_at
from builder.going.train import Train
from builder.movement.model import Movement, Plates
from builder.parts.clutch import BowSpring, Clutch
from builder.parts.motion_work import HourOnly, MinuteAndHour
from builder.parts.source.going_barrel import GoingBarrel

Side = Literal["front", "back"]

SHOULDER = 1.2
"""Least radius of an arbor by its pivots', so that there is a shoulder."""
IN_PLATE = 0.9
"""How far a pivot reaches into its plate, by the plate's thickness: the rest is the oil sink."""
PIVOT_LONG = 3.0
"""No pivot is longer than this by its diameter: in a thicker plate the oil sink is deeper (common practice, no source)."""
PLAY = 1.02
"""Radius of a pivot's hole by the pivot's."""


@dataclass(frozen=True)
class Shaft:
    """One arbor of the train in section: from shoulder to shoulder at `radius_mm`, pivots to `ends_mm`."""

    radius_mm: float
    pivot_mm: float
    shoulders_mm: tuple[float, float]
    ends_mm: tuple[float, float]
    square: Side | None = None
    """'front' or 'back' where it is wound there."""


@dataclass(frozen=True)
class Laid:
    """A movement with plan and heights, and what follows from them for its arbors."""

    going: Going
    plates: Plates

    @property
    def movement(self) -> Movement:
        return self.going.movement

    @property
    def train(self) -> Train:
        return self.going.train

    @property
    def plan(self) -> Plan:
        return self.going.plan

    @property
    def heights(self) -> Elevation:
        return self.going.elevation

    @property
    def style(self) -> Literal["watch", "timepiece", "pendulum"]:
        """How such a movement is built: 'watch', 'timepiece' (with a balance) or 'pendulum'."""
        if self.movement.movement.sort == "watch":
            return "watch"
        return "pendulum" if self.movement.oscillator.kind == "pendulum" else "timepiece"

    @property
    def clutch(self) -> Clutch | None:
        """The friction that carries the hands: as described, or as such movements mostly have it."""
        work = self.movement.motion_work
        return (work.clutch or usual(self.going)) if work else None

    @property
    def supposed(self) -> tuple[str, ...]:
        """Wheels, pinions and balance whose heights were not measured."""
        own = {t.id for t in self.plan.toothings} | {"escape-wheel", "balance"}
        return tuple(part for part in self.heights.estimated if part in own)

    @property
    def pinned(self) -> bool:
        """Whether a collet and pin before the minute hand press all together, as a bow spring needs."""
        return self.cannon_on is not None and isinstance(self.clutch, BowSpring)

    @property
    def loose(self) -> Side:
        """The plate that comes off: 'front' or 'back'."""
        fixed = self.plates.pillars_on or ("front" if self.style == "watch" else "back")
        return "back" if fixed == "front" else "front"

    @property
    def winding(self) -> Side:
        """The side of the winding square."""
        return wound_at(self.movement)

    @property
    def back_mm(self) -> float:
        """Outside of the back plate."""
        return -self.heights.plate_mm

    @property
    def cannon_on(self) -> str | None:
        """The arbor that carries a cannon pinion."""
        work = self.movement.motion_work
        return work.on if isinstance(work, MinuteAndHour) else None

    @property
    def dial_at(self) -> Point:
        """The dial's middle: where the minute hand turns, else the hour hand, else the source."""
        carriers = dict(self.train.hands)
        return self.plan.centres[carriers.get("minutes") or carriers.get("hours") or self.train.path[0]]

    def shaft(self, arbor: str) -> Shaft:
        """An arbor of the file. Its play is drawn at the front."""
        heights, pivot = self.heights, pivot_radius_mm(self.movement, self.plan, arbor)
        radius = max(self.plan.arbor_mm[arbor], SHOULDER * pivot)
        into = into_mm(pivot, heights.plate_mm)
        back, front = -into, heights.between_mm + into
        shown = [
            f"{shows.rstrip('s')}-hand" if shows != "seconds" else "seconds-hand" for shows, at in self.train.hands if at == arbor
        ]
        if self.cannon_on == arbor:
            shown.append("minute-hand")
        work = self.movement.motion_work
        if isinstance(work, HourOnly) and work.on == arbor:
            shown.append("report-pinion")
        front = max([front, *(heights[part].high_mm for part in shown if part in heights.spans)])
        if self.cannon_on == arbor and self.pinned:
            front += 2.5 * pivot  # room for collet and pin
        square: Side | None = None
        if arbor == self.movement.source.arbor and not isinstance(self.movement.source, GoingBarrel):
            square = self.winding
            if square == "front":
                front = heights["dial"].high_mm if "dial" in heights.spans else heights.front_mm + 4 * pivot
            else:
                back = self.back_mm - 5 * pivot
        source = self.movement.source
        if arbor == source.arbor and isinstance(source, GoingBarrel) and "ratchet-wheel" in heights.spans:
            ratchet = heights["ratchet-wheel"]
            back, front = min(back, ratchet.low_mm), max(front, ratchet.high_mm)
        play = heights.endshake_mm[arbor]
        return Shaft(radius, pivot, (0.0, heights.between_mm - play), (back, front), square)


def into_mm(radius_mm: float, plate_mm: float) -> float:
    """How far a pivot of that radius reaches into a plate or cock."""
    return min(IN_PLATE * plate_mm, PIVOT_LONG * 2 * radius_mm)


def posts_mm(plates: Plates) -> list[Point]:
    """Where the pillars stand: as measured, else evenly near the edge."""
    if plates.pillars_at_mm:
        return [(float(x), float(y)) for x, y in plates.pillars_at_mm]
    width, height = plates.width_mm, plates.height_mm or plates.width_mm
    inset = 0.07 * min(width, height)
    x, y = plates.centre_mm
    if plates.shape == "round":
        turns = [2 * math.pi * (k + 0.5) / plates.pillars for k in range(plates.pillars)]
        return [(x + (width / 2 - inset) * math.cos(a), y + (width / 2 - inset) * math.sin(a)) for a in turns]
    w, h = width / 2 - inset, height / 2 - inset
    corners = [(-w, h), (w, h), (w, -h), (-w, -h), (0.0, h), (0.0, -h), (-w, 0.0), (w, 0.0)]
    chosen = {2: [(-w, 0.0), (w, 0.0)], 3: [(-w, h), (w, h), (0.0, -h)]}.get(plates.pillars, corners[: plates.pillars])
    return [(x + dx, y + dy) for dx, dy in chosen]


def feet_mm(plates: Plates) -> list[Point]:
    """Where the dial's feet stand: half way between neighbouring pillars of the upper and lower edge (a stand-in)."""
    posts = sorted(posts_mm(plates), key=lambda at: at[1])
    lower, upper = posts[:2], posts[-2:]
    return [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in (lower, upper)]


def pillar_mm(plates: Plates) -> float:
    """Radius of a pillar (as drawn in plan)."""
    return 0.028 * min(plates.width_mm, plates.height_mm or plates.width_mm)
