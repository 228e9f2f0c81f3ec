"""Arbors of the file with all that is cut on them or fixed to them, as solids."""

from __future__ import annotations

from builder.going.axes import Laid
from builder.going.placed import DIAL_SIDE
from builder.going.solids import Ring, Solid


def shaft_solids(laid: Laid, arbor: str) -> list[Solid]:
    """Arbor between its shoulders, and pivots."""
    shaft, at, part = laid.shaft(arbor), laid.plan.centres[arbor], f"{arbor}-arbor".replace("_", "-")
    (low, high), (back, front) = shaft.shoulders_mm, shaft.ends_mm
    return [
        Solid(part, Ring(at, shaft.radius_mm), low, high, "steel", "shaft"),
        Solid(part, Ring(at, shaft.pivot_mm), back, low, "steel", "shaft"),
        Solid(part, Ring(at, shaft.pivot_mm), high, front, "steel", "shaft"),
    ]


def toothed_solids(laid: Laid, arbor: str) -> list[Solid]:
    """Wheels and pinions of an arbor between the plates, and a pinion of report before them."""
    plan, heights = laid.plan, laid.heights
    inner = laid.shaft(arbor).radius_mm
    made = []
    for t in (each for each in plan.toothings if each.arbor == arbor):
        span = heights[t.id]
        ring = Ring(plan.centres[arbor], t.gear.tip_mm, min(inner, 0.9 * t.gear.root_mm) if t.level < DIAL_SIDE else 0.0)
        made.append(Solid(t.id, ring, span.low_mm, span.high_mm, t.material, "teeth" if t.wheel else "leaves"))
    if arbor == laid.train.path[-1] and plan.draft is not None:
        span = heights["escape-wheel"]
        ring = Ring(plan.centres[arbor], plan.draft.tip_mm, inner)
        made.append(Solid("escape-wheel", ring, span.low_mm, span.high_mm, plan.draft.wheel.material, "teeth"))
    return made
