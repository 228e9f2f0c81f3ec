"""The source in section: coils of a spring, a drum with its cord, a fusee."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from builder.drawing.hatching import box_d, broken_below, hatched
from builder.drawing.path import circle, number
from builder.drawing.sheet import Shape
from builder.drawing.side_frame import SideFrame
from builder.going.solids import Ring, Solid
from builder.going.source_heights import FLANGE, barrel_place
from builder.parts.source.fusee import Fusee
from builder.parts.source.weight import Weight


def coils(side: SideFrame, solid: Solid, region: Ring) -> Iterator[Shape]:
    """The strip wherever it passes the line, half wound."""
    source, span = side.laid.movement.source, (solid.low_mm, solid.high_mm)
    lay = None if isinstance(source, Weight) else source.coils((source.usable_turns or 0.0) / 2)
    if lay is None:
        yield from hatched(side.bands(region, span), "blued", solid.part)
        return
    boxes = []
    for phase in (0.0, 0.5):
        turns = np.arange(math.ceil(lay.count - phase)) + phase
        for radius in np.interp(turns, lay.knots, lay.radii_mm):
            ring = Ring(region.at, float(radius) + lay.thickness_mm / 2, max(1e-6, float(radius) - lay.thickness_mm / 2))
            boxes.append(side.bands(ring, span)[0 if phase == 0.0 else 1])
    yield Shape("".join(box_d(box) for box in boxes), "blued coil")


def drum(side: SideFrame, solid: Solid, region: Ring) -> Iterator[Shape]:
    """The drum whole, between its flanges, half of the cord on it."""
    source = side.laid.movement.source
    assert isinstance(source, Weight)
    radius = (source.drum_diameter_mm or 1.8 * region.outer_mm) / 2
    flange = flange_mm(side)
    u, low, high = side.view.axis(region.at), solid.low_mm, solid.high_mm
    body = side.box((u - radius, u + radius), (low + flange, high - flange))
    ends = [side.box((u - region.outer_mm, u + region.outer_mm), span) for span in ((low, low + flange), (high - flange, high))]
    yield Shape(box_d(body) + "".join(box_d(box) for box in ends), "brass drum")
    cord, places = source.cord_mm or 1.5, cord_mm(side)
    r = cord / 2 * side.view.scale
    spots = [(side.view.x(z), side.view.y(u + way * (radius + cord / 2))) for z in places for way in (1, -1)]
    if spots:
        yield Shape("".join(circle(r, at, 1) for at in spots), "wood cord")


def cord_mm(side: SideFrame) -> list[float]:
    """Heights of the turns of cord on the drum, half wound; the last is where it leaves."""
    source = side.laid.movement.source
    if not isinstance(source, Weight) or "drum" not in side.laid.heights.spans:
        return []
    span, cord, flange = side.laid.heights["drum"], source.cord_mm or 1.5, flange_mm(side)
    count = min(int((source.usable_turns or 8.0) / 2), int((span.thickness_mm - 2 * flange) / cord))
    return [span.low_mm + flange + (k + 0.5) * cord for k in range(count)]


def flange_mm(side: SideFrame) -> float:
    """Thickness of a drum's flanges: as far as they stand out."""
    source, span = side.laid.movement.source, side.laid.heights["drum"]
    assert isinstance(source, Weight)
    tip = side.laid.plan.of(source.arbor, "wheel").gear.tip_mm
    return min((FLANGE - 1) * (source.drum_diameter_mm or tip) / 2, 0.2 * span.thickness_mm)


def hanging_cord(side: SideFrame) -> Shape:
    """From the drum down to the weight, broken off."""
    source = side.laid.movement.source
    assert isinstance(source, Weight)
    u, cord, last = side.view.axis(side.laid.plan.centres[source.arbor]), source.cord_mm or 1.5, cord_mm(side)[-1]
    tip = side.laid.plan.of(source.arbor, "wheel").gear.tip_mm
    radius = (source.drum_diameter_mm or tip) / 2
    return Shape(broken_below(side.box((side.low_mm, u - radius - cord / 2), (last - cord / 2, last + cord / 2))), "wood cord")


def fusee(side: SideFrame, solid: Solid, region: Ring) -> Shape:
    """The cone as turned, groove by groove left out."""
    found = _cone(side)
    u = side.view.axis(region.at)
    if found is None:
        return Shape(box_d(side.bands(Ring(region.at, region.outer_mm), (solid.low_mm, solid.high_mm))[0]), "brass drum")
    upper = [(side.view.x(z), side.view.y(u + r)) for z, r in found]
    lower = [(side.view.x(z), side.view.y(u - r)) for z, r in found[::-1]]
    n = number
    return Shape("M" + "L".join(f"{n(x, 1)} {n(y, 1)}" for x, y in (*upper, *lower)) + "z", "brass drum")


def _cone(side: SideFrame) -> list[tuple[float, float]] | None:
    """(height, radius) along the floor of the fusee's groove, from its large end; None where its sizes are not known."""
    source = side.laid.movement.source
    groove = source.groove_mm(25) if isinstance(source, Fusee) else None
    if groove is None or "fusee" not in side.laid.heights.spans:
        return None
    span, wheel = side.laid.heights["fusee"], side.laid.heights[side.laid.plan.of(source.arbor, "wheel").id]
    way = 1 if span.middle_mm > wheel.middle_mm else -1
    start = (span.low_mm if way > 0 else span.high_mm) + way * (span.thickness_mm - float(groove[-1, 0])) / 2
    return [(start + way * float(z), float(r)) for z, r in groove]


def chain(side: SideFrame) -> Shape | None:
    """The line half run off, cut wherever it passes the section: what is left on the fusee from its large end, and on the barrel
    from the height of the fusee's small end. None where sizes are not known. Neglected: the half turn between above and below."""
    source, cone = side.laid.movement.source, _cone(side)
    place = barrel_place(side.laid.movement, side.laid.plan)
    if cone is None or place is None or not isinstance(source, Fusee) or source.line is None or source.barrel is None:
        return None
    state = source.line_state((source.usable_turns or 0.0) / 2)
    if state is None:
        return None
    thick, wide = source.line.thickness_mm, source.line.breadth_mm
    (first, _), (last, _) = cone[0], cone[-1]
    pitch = (last - first) / (source.usable_turns or 1.0)
    left = first + pitch * (np.arange(int(state.on_fusee_turns)) + 0.5)
    way = 1 if pitch > 0 else -1
    heights, radii = zip(*sorted(cone), strict=True)
    turns = [(side.laid.plan.centres[source.arbor], float(z), float(np.interp(z, heights, radii))) for z in left]
    drawn = last - way * 1.05 * wide * (np.arange(math.ceil(state.on_barrel_turns)) + 0.5)
    turns += [(place, float(z), source.barrel.outside_mm / 2) for z in drawn]
    boxes = [box for at, z, r in turns for box in side.bands(Ring(at, r + thick, r), (z - wide / 2, z + wide / 2))]
    return Shape("".join(box_d(box) for box in boxes), "steel solid" if source.line.kind != "gut" else "wood cord")
