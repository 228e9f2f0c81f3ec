"""Heights about the escapement: wheel and pallets in one plane, lever and rollers in storeys, the balance inside or behind."""

from __future__ import annotations

from builder.going import inertia
from builder.going.plan import Plan
from builder.going.solids import Outline, Ring, over
from builder.going.stacking import Block, Item
from builder.going.train import Train
from builder.ground.faults import Key
from builder.movement.model import Movement
from builder.parts.oscillator.balance import Balance

PALLETS = 1.6
"""Thickness of pallets by the escape wheel's (common practice, no source)."""
STOREY = 1.25
"""Height of a storey of lever and rollers by the thickness of pallets."""
RIM, HAIRSPRING = 0.055, 0.02
"""Heights of a balance's rim and of its hairspring by the balance's diameter, where they were not measured."""


def escape_block(movement: Movement, train: Train, plan: Plan) -> Block | None:
    """Escape wheel, pallets, lever and rollers, and a balance between the plates; None for a counted escapement."""
    draft = plan.draft
    if draft is None:
        return None
    told = movement.heights
    escape = train.path[-1]
    wheel = told.escape_wheel_thickness_mm or inertia.ESCAPE_THICKNESS * draft.tip_mm
    key: Key = ("heights", "escape_wheel_mm") if told.escape_wheel_mm is not None else ()
    items = [Item("escape-wheel", escape, Ring(plan.centres[escape], draft.tip_mm), -wheel / 2, wheel / 2, key, "Escape wheel")]
    sense = -1 if balance_behind(movement, plan) else 1
    half = PALLETS * wheel / 2
    for body, at, name in ((draft.pallets, "pallets", "pallets"), (draft.balance, "balance", "rollers")):
        for drawn in body:
            middle = sense * drawn.level * STOREY * 2 * half
            outline = Outline(plan.frame.points(drawn.outline_mm) + plan.centres[at])
            items.append(Item(f"{name}/{drawn.name}", at, outline, middle - half, middle + half, key, drawn.name.capitalize()))
    return Block((*items, *_swings_inside(movement, plan, max(i.high_mm for i in items))), told.escape_wheel_mm)


def balance_behind(movement: Movement, plan: Plan) -> bool:
    """Whether the balance swings behind the back plate: as measured, else where its rim would strike an arbor between them."""
    oscillator = movement.oscillator
    if not isinstance(oscillator, Balance) or "balance" not in plan.centres:
        return False
    if movement.heights.balance_mm is not None:
        return movement.heights.balance_mm < 0
    rim = Ring(plan.centres["balance"], oscillator.diameter_mm / 2)
    stand = {name: plan.arbor_mm.get(name, 0.03 * oscillator.diameter_mm) for name in plan.centres if name != "balance"}
    return any(over(rim, Ring(plan.centres[name], radius)) for name, radius in stand.items())


def _heights(oscillator: Balance) -> tuple[float, float]:
    """Height of the rim and of the hairspring, mm."""
    rim = oscillator.rim.height_mm if oscillator.rim else RIM * oscillator.diameter_mm
    return rim, oscillator.hairspring.height_mm or HAIRSPRING * oscillator.diameter_mm


def _swings_inside(movement: Movement, plan: Plan, top_mm: float) -> list[Item]:
    """Rim and hairspring in front of the rollers, heights from the escape wheel's middle."""
    oscillator, told = movement.oscillator, movement.heights
    if not isinstance(oscillator, Balance) or "balance" not in plan.centres or balance_behind(movement, plan):
        return []
    rim, spring = _heights(oscillator)
    middle = top_mm + 0.5 * rim + rim / 2
    key: Key = ()
    if told.balance_mm is not None and told.escape_wheel_mm is not None:
        middle, key = told.balance_mm - told.escape_wheel_mm, ("heights", "balance_mm")
    return _rim_and_spring(plan, oscillator, middle, 1, rim, spring, key)


def swings_outside(movement: Movement, plan: Plan, plate_mm: float, clear_mm: float) -> list[Item]:
    """Rim and hairspring of a balance behind the back plate."""
    oscillator, told = movement.oscillator, movement.heights
    if not isinstance(oscillator, Balance) or not balance_behind(movement, plan):
        return []
    rim, spring = _heights(oscillator)
    middle = told.balance_mm if told.balance_mm is not None else -(plate_mm + clear_mm + rim / 2)
    key: Key = ("heights", "balance_mm") if told.balance_mm is not None else ()
    return _rim_and_spring(plan, oscillator, middle, -1, rim, spring, key)


def _rim_and_spring(plan: Plan, oscillator: Balance, middle: float, side: int, rim: float, spring: float, key: Key) -> list[Item]:
    at = plan.centres["balance"]
    radius = oscillator.diameter_mm / 2
    above = middle + side * (rim / 2 + spring)
    return [
        Item("balance", "balance", Ring(at, radius), middle - rim / 2, middle + rim / 2, key, "Balance"),
        Item("hairspring", "balance", Ring(at, 0.6 * radius), above - spring / 2, above + spring / 2, key, "Hairspring"),
    ]
