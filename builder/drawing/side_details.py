"""Small things in section that have no heights of their own: collets, pillar ends and their pins, chops, cups, a click."""

from __future__ import annotations

from collections.abc import Iterator

from builder.drawing.hatching import box_d, hatched
from builder.drawing.path import number
from builder.drawing.sheet import Shape
from builder.drawing.side_frame import SideFrame
from builder.going.axes import pillar_mm
from builder.going.shafts import clutch_solids
from builder.going.solids import Ring, Solid

COLLET, COLLET_LONG = 1.75, 1.1
"""Radius of a collet by the arbor's, its length by the wheel's thickness (common practice, no source)."""
AGAINST = 0.6
"""A wheel nearer to its pinion than this, by its thickness, sits on it."""
END = 0.5
"""Radius of a pillar's end, where it passes through a plate, by the pillar's (common practice, no source)."""
END_INSET = 2.2
"""How far a pillar is drawn from the end of the line, by its radius."""


def collet(side: SideFrame, wheel: Solid, region: Ring) -> Iterator[Shape]:
    """The brass seat of a wheel that stands away from its pinion; nothing where the wheel is riveted on its pinion's end.

    Drawn on the side where there is more room along the arbor. Nothing for the first wheel, which is loose on its arbor or cut
    on its barrel, and for one that slips on a bush.
    """
    laid = side.laid
    arbor = next((a.id for a in laid.movement.arbors if wheel.part in _wheels(side, a.id)), None)
    if arbor is None or arbor == laid.movement.source.arbor or (arbor == laid.cannon_on and clutch_solids(laid)):
        return
    shaft = laid.shaft(arbor)
    ends = list(shaft.shoulders_mm)
    others = [laid.heights[t.id] for t in laid.plan.toothings if t.arbor == arbor and t.id != wheel.part and t.key[0] == "arbors"]
    if any(
        abs(gap) < AGAINST * wheel.thickness_mm for s in others for gap in (wheel.low_mm - s.high_mm, s.low_mm - wheel.high_mm)
    ):
        return
    ends += [edge for span in others for edge in (span.low_mm, span.high_mm)]
    below = wheel.low_mm - max(end for end in ends if end <= wheel.low_mm)
    above = min(end for end in ends if end >= wheel.high_mm) - wheel.high_mm
    long = min(COLLET_LONG * wheel.thickness_mm, 0.9 * max(below, above))
    span = (wheel.high_mm, wheel.high_mm + long) if above >= below else (wheel.low_mm - long, wheel.low_mm)
    yield from hatched(side.bands(Ring(region.at, COLLET * shaft.radius_mm, shaft.radius_mm), span), "brass collet", "collet")


def _wheels(side: SideFrame, arbor: str) -> set[str]:
    own = {t.id for t in side.laid.plan.toothings if t.arbor == arbor and t.wheel}
    return own | ({"escape-wheel"} if arbor == side.laid.train.path[-1] else set())


def pillar_places(side: SideFrame) -> tuple[float, float]:
    """Where the two pillars stand that are drawn for all of them, mm on the line."""
    inset = END_INSET * pillar_mm(side.laid.plates)
    return side.low_mm + inset, side.high_mm - inset


def pillar_holes(side: SideFrame, plate: str) -> list[tuple[float, float]]:
    """From where to where a pillar's end, or its screw, passes through a plate."""
    if plate not in ("front-plate", "back-plate"):
        return []
    half = END * pillar_mm(side.laid.plates)
    return [(u - half, u + half) for u in pillar_places(side)]


def pillar(side: SideFrame, solid: Solid) -> Iterator[Shape]:
    """Between its shoulders at full width; its ends pass through the plates: riveted in the one that stays, and in the other
    pinned outside, or in a watch held by a screw."""
    laid = side.laid
    half, fixed = END * pillar_mm(laid.plates), "front" if laid.loose == "back" else "back"
    heights = laid.heights
    far = 0.95 * heights.plate_mm
    outer = {"front": heights.front_mm, "back": laid.back_mm}
    ends = [(outer[fixed], heights.between_mm if fixed == "front" else 0.0)]
    if laid.style != "watch":
        ends.append(
            (outer[laid.loose] + (far if laid.loose == "front" else -far), 0.0 if laid.loose == "back" else heights.between_mm)
        )
    for u in pillar_places(side):
        boxes = [side.box((u - half, u + half), span) for span in ends]
        yield Shape("".join(box_d(box) for box in boxes), "brass pillar")
        body = side.box((u - pillar_mm(laid.plates), u + pillar_mm(laid.plates)), (solid.low_mm, solid.high_mm))
        yield Shape(box_d(body), "brass pillar")


def pillar_pin(side: SideFrame, solid: Solid, region: Ring) -> Iterator[Shape]:
    """A taper pin through each pillar's end, close on the plate; in a watch a screw with its head and slot."""
    front, n = side.laid.loose == "front", number
    near, way = (solid.low_mm, 1.0) if front else (solid.high_mm, -1.0)
    for u in pillar_places(side):
        if side.laid.style == "watch":
            shank = END * pillar_mm(side.laid.plates)
            inner = near - way * side.laid.heights.plate_mm
            boxes = [side.box((u - shank, u + shank), (inner, near)), _head(side, u, region.outer_mm, solid)]
            yield Shape("".join(box_d(box) for box in boxes), "steel solid")
            out = solid.high_mm if front else solid.low_mm
            slot = side.box((u - 0.18 * region.outer_mm, u + 0.18 * region.outer_mm), (out - way * 0.4 * solid.thickness_mm, out))
            yield Shape(box_d(slot), "sink")
            continue
        thick = 0.42 * solid.thickness_mm
        x0, x1, x2 = (side.view.x(near + way * k * thick) for k in (0.0, 0.72, 1.0))
        low, high = (side.view.y(u + k * 1.5 * region.outer_mm) for k in (-1, 1))
        yield Shape(f"M{n(x0, 1)} {n(low, 1)}V{n(high, 1)}H{n(x1, 1)}L{n(x2, 1)} {n(low, 1)}z", "steel solid")


def _head(side: SideFrame, u: float, radius: float, solid: Solid) -> tuple[float, float, float, float]:
    return side.box((u - radius, u + radius), (solid.low_mm, solid.high_mm))


def suspension(side: SideFrame, solid: Solid) -> Iterator[Shape]:
    """The strip, bare from where it leaves the cock's slot; above, the pin by which it hangs in it; below, the brass chop."""
    low, high = side.view.reach(solid)
    long, middle = high - low, solid.middle_mm
    yield Shape(box_d(side.box((low, high), (solid.low_mm, solid.high_mm))), "blued solid")
    half = 0.62 * solid.thickness_mm
    yield Shape(box_d(side.box((low, low + 0.22 * long), (middle - half, middle + half))), "brass solid")
    pin = side.box((high + 0.15 * long, high + 0.22 * long), (middle - half, middle + half))
    yield Shape(box_d(pin), "steel solid")


def cup(side: SideFrame, solid: Solid, region: Ring, staff_mm: float) -> Iterator[Shape]:
    """A screw with the hollow cone in which the staff's pointed end turns."""
    u, inwards = side.view.axis(region.at), solid.low_mm > side.laid.heights["balance"].middle_mm
    mouth, foot = (solid.low_mm, solid.high_mm) if inwards else (solid.high_mm, solid.low_mm)
    deep = 1.7 * staff_mm * (1 if inwards else -1)
    n = number
    x0, x1, x2 = (n(side.view.x(z), 1) for z in (mouth, mouth + deep, foot))
    top, upper, middle, lower, bottom = (
        n(side.view.y(u + r), 1) for r in (region.outer_mm, 1.25 * staff_mm, 0.0, -1.25 * staff_mm, -region.outer_mm)
    )
    yield Shape(f"M{x2} {top}H{x0}V{upper}L{x1} {middle}L{x0} {lower}V{bottom}H{x2}z", "steel solid")


def click(side: SideFrame, ratchet: Solid) -> Shape | None:
    """The click beside the ratchet wheel, its tip between two teeth, turned into the line."""
    if not isinstance(ratchet.region, Ring) or not side.view.knows(ratchet.region.at):
        return None
    outer, thin = ratchet.region.outer_mm, 0.12 * ratchet.thickness_mm
    u = side.view.axis(ratchet.region.at) + outer
    return Shape(
        box_d(side.box((u - 0.08 * outer, u + 0.3 * outer), (ratchet.low_mm + thin, ratchet.high_mm - thin))), "steel solid"
    )
