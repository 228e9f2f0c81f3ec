"""Arbors of the file with all that is cut on them or fixed to them, as solids."""

from __future__ import annotations

from builder.going.axes import Laid
from builder.going.placed import DIAL_SIDE
from builder.going.solids import Ring, Solid
from builder.parts.clutch import SpringWasher


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
    """Wheels and pinions of an arbor between the plates."""
    plan, heights = laid.plan, laid.heights
    inner = laid.shaft(arbor).radius_mm
    made = []
    for t in (each for each in plan.toothings if each.arbor == arbor and each.level < DIAL_SIDE):
        span = heights[t.id]
        ring = Ring(plan.centres[arbor], t.gear.tip_mm, min(inner, 0.9 * t.gear.root_mm))
        made.append(Solid(t.id, ring, span.low_mm, span.high_mm, t.material, "teeth" if t.wheel else "leaves"))
    if arbor == laid.train.path[-1] and plan.draft is not None:
        span = heights["escape-wheel"]
        ring = Ring(plan.centres[arbor], plan.draft.tip_mm, inner)
        made.append(Solid("escape-wheel", ring, span.low_mm, span.high_mm, plan.draft.wheel.material, "teeth"))
    return made


def clutch_solids(laid: Laid) -> list[Solid]:
    """A spring washer that presses the centre wheel, loose on its arbor, against a bush: washer and collet on the side away from
    the pinion. Nothing where the hands are carried otherwise."""
    washer, arbor = laid.clutch, laid.cannon_on
    wheel = next((t for t in laid.plan.toothings if (t.arbor, t.part) == (arbor, "wheel")), None)
    if not isinstance(washer, SpringWasher) or arbor is None or wheel is None:
        return []
    at, radius, span = laid.plan.centres[arbor], laid.shaft(arbor).radius_mm, laid.heights[wheel.id]
    full = washer.sized(2 * radius)
    pinion = next((t for t in laid.plan.toothings if (t.arbor, t.part) == (arbor, "pinion")), None)
    front = pinion is None or laid.heights[pinion.id].middle_mm < span.middle_mm
    pressed = (full.dish_mm or 0.0) - (full.pressed_mm or 0.0) + (full.thickness_mm or 0.0)
    thick = 0.9 * span.thickness_mm

    def ring(part: str, outer: float, near: float, far: float, material: str) -> Solid:
        start = span.high_mm if front else span.low_mm
        low, high = sorted(start + (1 if front else -1) * by for by in (near, far))
        return Solid(part, Ring(at, outer, radius), low, high, material)

    outer = max((full.outside_diameter_mm or 0.0) / 2, 1.6 * radius)
    return [
        ring("centre-bush", 2.0 * radius, -span.thickness_mm - thick, -span.thickness_mm, "brass"),
        ring("spring-washer", outer, 0.0, pressed, "brass"),
        ring("clutch-collet", 1.9 * radius, pressed, pressed + 0.8 * thick, "brass"),
    ]
