"""Inertia that the train shows at the escape wheel: each wheel's own, times the square of its speed against the escape wheel's.

Wheels are taken as rim, tapered arms (as even bars), hub and half-filled rings of teeth, pinions and arbors as cylinders.
Neglected: collets, and the spring or weight behind the source's arbor, whose speed is so small that it does not count.
"""

from __future__ import annotations

import math

from builder.going.placed import Toothing
from builder.going.plan import Plan
from builder.going.train import Train
from builder.ground.constants import MATERIALS
from builder.movement.model import Movement

WHEEL_THICKNESS = 2.2
"""Thickness of a wheel in modules where it was not measured (common practice, no source)."""
LEAF_LENGTH = 3.0
"""Length of leaves in thicknesses of the wheel that they meet, where it was not measured."""
ESCAPE_THICKNESS = 0.06
"""Thickness of the escape wheel by its radius, where it was not measured."""
RIM = 0.1
"""Radial width of a crossed wheel's rim by its root radius (as drawn)."""

DENSITY = {"brass": MATERIALS["brass"].density_kg_m3, "steel": MATERIALS["steel"].density_kg_m3}
DENSITY["nickel silver"] = MATERIALS["nickel_silver"].density_kg_m3


def ring_kg_m2(density: float, thickness_mm: float, outer_mm: float, inner_mm: float = 0.0) -> float:
    """Polar moment of inertia of a flat ring: π/2 ρ t (R⁴ − r⁴)."""
    return math.pi / 2 * density * thickness_mm * (outer_mm**4 - inner_mm**4) * 1e-15


def wheel_kg_m2(density: float, thickness_mm: float, tip_mm: float, root_mm: float, arms: int, hub_mm: float) -> float:
    """A wheel about its arbor; solid where arms is 0. Half of the ring between root and tip is tooth."""
    teeth = 0.5 * ring_kg_m2(density, thickness_mm, tip_mm, root_mm)
    if not arms:
        return teeth + ring_kg_m2(density, thickness_mm, root_mm)
    inner = root_mm * (1 - RIM)
    bar = 0.09 * root_mm * density * thickness_mm * (inner**3 - hub_mm**3) / 3 * 1e-15
    return teeth + ring_kg_m2(density, thickness_mm, root_mm, inner) + ring_kg_m2(density, thickness_mm, hub_mm) + arms * bar


def thickness_mm(movement: Movement, toothing: Toothing) -> float:
    """As measured, or estimated from the module."""
    toothed = movement.toothed(toothing.arbor, toothing.part)
    if toothed is not None and toothed.thickness_mm is not None:
        return toothed.thickness_mm
    return WHEEL_THICKNESS * toothing.gear.module_mm * (1 if toothing.wheel else LEAF_LENGTH)


def at_escape_kg_m2(movement: Movement, train: Train, plan: Plan) -> float:
    """Inertia of the whole train reduced to the escape arbor, kg·m²."""
    escape = train[train.path[-1]].turns_per_hour
    total = 0.0
    for toothing in plan.toothings:
        if toothing.arbor not in train.path:
            continue
        ratio = float(train[toothing.arbor].turns_per_hour / escape)
        gear, thick = toothing.gear, thickness_mm(movement, toothing)
        density = DENSITY[toothing.material]
        if toothing.wheel:
            own = wheel_kg_m2(density, thick, gear.tip_mm, gear.root_mm, toothing.arms, 2 * plan.arbor_mm[toothing.arbor])
        else:
            own = ring_kg_m2(density, thick, gear.pitch_mm)
        total += own * ratio**2
    if plan.draft is not None:
        draft = plan.draft
        density = DENSITY["steel" if draft.wheel.material == "steel" else "brass"]
        hub = 0.2 * draft.root_mm
        total += wheel_kg_m2(density, ESCAPE_THICKNESS * draft.tip_mm, draft.tip_mm, draft.root_mm, 4, hub)
    return total
