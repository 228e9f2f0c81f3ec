"""How long the source lies along its arbor: drum, barrel, fusee or open spring beside the great wheel, and the ratchet."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from builder.going.placed import Point
from builder.going.plan import Plan
from builder.going.solids import Ring
from builder.going.stacking import Block, Item
from builder.ground.faults import Key
from builder.movement.model import Movement
from builder.parts.source.fusee import Fusee
from builder.parts.source.going_barrel import GoingBarrel
from builder.parts.source.open_spring import OpenSpring
from builder.parts.source.weight import Weight

BARREL_PIVOT = 0.3
"""Radius of a barrel arbor's pivot beside a fusee, by the diameter of the arbor's body (common practice, no source)."""
FLANGE = 1.1
"""Radius of a drum's flanges by the drum's (common practice, no source)."""
RATCHET = 0.8
"""Thickness of a ratchet wheel by the great wheel's."""
OUTSIDE, OUTSIDE_BY_MM = 0.35, 0.05
"""Thickness of a going barrel's ratchet wheel, which lies outside the plate, by the plate's; and what is left between the two."""
FLOOR = 0.03
"""Thickness of a barrel's bottom and of its cover by the inside diameter."""
APART_MM = 3.0
"""What is left between fusee and barrel (common practice, no source)."""

BARREL = "fusee_barrel"
"""The arbor of the barrel that a fusee is chained to."""


@dataclass(frozen=True)
class Body:
    """What lies on the source's arbor beside its wheel: drawn part, radius, length over everything, bore."""

    part: str
    name: str
    outer_mm: float
    long_mm: float
    measured: bool = True
    """Whether its sizes are the file's."""


def body(movement: Movement, plan: Plan) -> Body | None:
    """None where the file tells too little to draw it."""
    source = movement.source
    tip_mm = plan.of(source.arbor, "wheel").gear.tip_mm if movement.arbor(source.arbor).wheel else 0.0
    if isinstance(source, Weight):
        radius = (source.drum_diameter_mm or tip_mm) / 2
        cords = (source.usable_turns or 16.0) * (source.cord_mm or 1.5)
        long = (source.drum_length_mm or cords) + (2 * FLANGE - 2) * radius
        found = Body("drum", "Drum", FLANGE * radius, long, None not in (source.drum_diameter_mm, source.drum_length_mm))
    elif isinstance(source, OpenSpring):
        if source.spring is None:
            return None
        room = source.room_diameter_mm
        found = Body("mainspring", "Mainspring", (room or 2 * tip_mm) / 2, source.spring.height_mm, room is not None)
    elif isinstance(source, GoingBarrel):
        if source.barrel is None:
            return None
        found = Body("barrel", "Barrel", source.barrel.outside_mm / 2, _barrel_mm(source))
    else:
        groove = source.groove_mm(9)
        if groove is None or source.line is None:
            return None
        long = float(groove[-1, 0]) + 2 * source.line.breadth_mm
        found = Body("fusee", "Fusee", float(groove[0, 1]) + source.line.thickness_mm, long)
    stated = movement.heights.source_length_mm
    return found if stated is None else replace(found, long_mm=stated)


def _barrel_mm(source: GoingBarrel | Fusee) -> float:
    barrel = source.barrel
    assert barrel is not None
    clear = barrel.height_mm or 1.1 * (source.spring.height_mm if source.spring else barrel.inside_diameter_mm / 3)
    return clear + (FLOOR if barrel.cover == "none" else 2 * FLOOR) * barrel.inside_diameter_mm


def source_items(movement: Movement, plan: Plan, wheel_mm: float, at_mm: float | None) -> tuple[tuple[Item, ...], float | None]:
    """Ratchet and body beside the wheel of the source's arbor, heights from that wheel's middle; and the wheel's height where
    it follows from the body's."""
    found = body(movement, plan)
    if found is None:
        return (), None
    stated = movement.heights.source_mm
    barrel = isinstance(movement.source, GoingBarrel)
    ratchet = movement.source.ratchet
    own = RATCHET * wheel_mm if ratchet and isinstance(movement.source, Weight | OpenSpring) else 0.0
    offset = (found.long_mm - wheel_mm) / 2 if barrel else wheel_mm / 2 + own + found.long_mm / 2
    if stated is not None and at_mm is not None:
        offset = stated - at_mm
    side = math.copysign(1.0, offset)
    arbor = movement.source.arbor
    place = plan.centres[arbor]
    key: Key = ()
    if stated is not None:
        key = ("heights", "source_mm")
    elif at_mm is not None and found.measured:
        key = plan.of(arbor, "wheel").key
    items = [
        Item(
            found.part,
            arbor,
            Ring(place, found.outer_mm),
            offset - found.long_mm / 2,
            offset + found.long_mm / 2,
            key,
            found.name,
        )
    ]
    if own:
        low, high = sorted((side * wheel_mm / 2, side * (wheel_mm / 2 + own)))
        radius = (ratchet.radius_mm if ratchet else None) or 0.4 * plan.of(arbor, "wheel").gear.tip_mm
        items.append(Item("ratchet-wheel", arbor, Ring(place, radius), low, high, (), "Ratchet wheel"))
    return tuple(items), None if stated is None or at_mm is not None else stated - offset


def wound_at(movement: Movement) -> Literal["front", "back"]:
    """The side of the winding square: as the file says, else the back for a watch."""
    return movement.heights.winding or ("back" if movement.movement.sort == "watch" else "front")


def ratchet_outside(movement: Movement, plan: Plan, front_mm: float, plate_mm: float) -> Item | None:
    """The ratchet wheel of a going barrel, outside the plate on the side where it is wound; None elsewhere."""
    source = movement.source
    if not isinstance(source, GoingBarrel) or source.ratchet is None or source.barrel is None:
        return None
    thick = OUTSIDE * plate_mm
    low = front_mm + OUTSIDE_BY_MM if wound_at(movement) == "front" else -plate_mm - OUTSIDE_BY_MM - thick
    radius = source.ratchet.radius_mm or 0.3 * source.barrel.outside_mm
    return Item("ratchet-wheel", source.arbor, Ring(plan.centres[source.arbor], radius), low, low + thick, (), "Ratchet wheel")


def fusee_barrel(movement: Movement, plan: Plan) -> Block | None:
    """The barrel that a fusee draws its chain from, at a place found for it; None for other sources."""
    source = movement.source
    place = barrel_place(movement, plan)
    if place is None or not isinstance(source, Fusee) or source.barrel is None:
        return None
    radius = source.barrel.outside_mm / 2 + (source.line.thickness_mm if source.line else 0.0)
    return Block((Item("barrel", BARREL, Ring(place, radius), 0.0, _barrel_mm(source), (), "Barrel"),))


def barrel_place(movement: Movement, plan: Plan) -> Point | None:
    """Where a fusee's barrel can stand, mm: beside the fusee, clear of every arbor. The file does not give it; a stand-in."""
    source = movement.source
    fusee = body(movement, plan)
    if not isinstance(source, Fusee) or source.barrel is None or fusee is None:
        return None
    radius = source.barrel.outside_mm / 2 + (source.line.thickness_mm if source.line else 0.0)
    x, y = plan.centres[source.arbor]
    others = [(name, at) for name, at in plan.centres.items() if name != source.arbor]
    best: tuple[float, Point] | None = None
    away = max(fusee.outer_mm, plan.of(source.arbor, "wheel").gear.tip_mm) + radius + APART_MM
    middle = movement.plates.centre_mm[0] if movement.plates else 0.0
    for degrees in range(0, 360, 5):
        at = (x + away * math.cos(math.radians(degrees)), y + away * math.sin(math.radians(degrees)))
        free = min((math.dist(at, other) - plan.arbor_mm.get(name, 1.0) - radius for name, other in others), default=1.0)
        over_edge = abs(at[0] - middle) + radius
        score = (0.0 if free > 0 else 1e3 - free) + over_edge + abs(at[1] - y)
        if best is None or score < best[0]:
            best = (score, at)
    return best[1] if best else None
