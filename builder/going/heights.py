"""Heights: from where to where each part lies along the arbors, as measured, else as it could be built; what meets what.

Heights are mm above the inside face of the back plate, forwards positive. What was not measured is a stand-in: thicknesses by
module and size (common practice, no source), heights the first free ones from the back plate. `measured` says which is which.
Two measured parts that meet, a measured part that stands in a plate, and mates that miss one another are refused.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from builder.going import inertia
from builder.going.escape_heights import escape_block, swings_outside
from builder.going.height_faults import Placed, faults, sides
from builder.going.placed import DIAL_SIDE, Toothing
from builder.going.plan import Plan
from builder.going.solids import Ring, over
from builder.going.source_heights import fusee_barrel, ratchet_outside, source_items
from builder.going.stacking import Block, Item, stacked
from builder.going.train import Train
from builder.ground.faults import Finding, Key, Refused
from builder.movement.model import Movement

ENDSHAKE = 0.005
"""Endshake by the distance between the plates, where it was not measured (common practice, no source)."""
OUTSIDE_WHEEL = 1.7
"""Thickness of the motion work's wheels in modules."""
LEAVES_PAST = 1.6
"""Length of its leaves by the thickness of the wheel that they meet."""
SLIMMER = (1.0, 0.75, 0.55, 0.4)
"""Tried in turn: by how much estimated thicknesses shrink where measured plates leave less room than usual ones need."""


@dataclass(frozen=True)
class Span:
    """From where to where, mm, and whether the height was measured."""

    low_mm: float
    high_mm: float
    measured: bool = False

    @property
    def middle_mm(self) -> float:
        return (self.low_mm + self.high_mm) / 2

    @property
    def thickness_mm(self) -> float:
        return self.high_mm - self.low_mm


@dataclass(frozen=True)
class Elevation:
    """Every part at its height."""

    between_mm: float
    """Clear distance between the plates."""
    plate_mm: float
    clear_mm: float
    """What estimated heights leave between two parts."""
    spans: dict[str, Span]
    """By drawn part; the pieces of pallets and rollers as 'pallets/entry stone'."""
    endshake_mm: dict[str, float]
    """By arbor of the train."""
    measured: frozenset[str]
    """'between', and the arbors whose endshake was measured."""
    findings: tuple[Finding, ...]

    def __getitem__(self, part: str) -> Span:
        return self.spans[part]

    @property
    def front_mm(self) -> float:
        """Outside face of the front plate."""
        return self.between_mm + self.plate_mm

    @property
    def estimated(self) -> tuple[str, ...]:
        """Parts whose heights are stand-ins."""
        return tuple(part for part, span in self.spans.items() if not span.measured)


def elevation(movement: Movement, train: Train, plan: Plan) -> Elevation:
    """Every part at its height. Raises Refused with all measured heights that cannot be."""
    plates = movement.plates
    plate_mm = plates.thickness_mm if plates else 2.0
    given_mm = plates.between_mm if plates else None
    inside = [t for t in plan.toothings if t.level < DIAL_SIDE]
    clear_mm = 0.5 * min((inertia.thickness_mm(movement, t) for t in inside if t.wheel), default=1.0)
    items: list[Item] | None = None
    for slimmer in SLIMMER:
        items = stacked(_inside(movement, train, plan, slimmer), slimmer * clear_mm, given_mm)
        if items is not None:
            break
    findings = []
    if items is None:
        items = stacked(_inside(movement, train, plan, 1.0), clear_mm, None)
        assert items is not None, "without a limit there is always room"
        if given_mm is not None:
            text = "the parts are not known to fit between plates so near: measure their heights (height_mm, [heights])"
            findings.append(Finding(("plates", "between_mm"), text))
            given_mm = None
    needed = max(item.high_mm for item in items) + clear_mm
    between_mm = given_mm if given_mm is not None else needed
    endshake = {a.id: a.endshake_mm or ENDSHAKE * between_mm for a in movement.arbors}
    ratchet = ratchet_outside(movement, plan, between_mm + plate_mm, plate_mm)
    front = [ratchet] if ratchet and ratchet.low_mm > 0 else []
    outside = _outside(movement, plan, between_mm + plate_mm, clear_mm, front)
    behind = swings_outside(movement, plan, plate_mm, clear_mm)
    placed = Placed(items, outside, behind, between_mm, plate_mm, given_mm is not None, endshake)
    complaints, more = faults(movement, train, plan, placed)
    if complaints:
        raise Refused(complaints)
    findings += more
    if ratchet and ratchet.low_mm < 0:
        behind.append(ratchet)
    spans = {item.part: Span(item.low_mm, item.high_mm, item.measured) for item in (*items, *outside, *behind)}
    spans |= _dial(movement, train, max([between_mm + plate_mm, *(i.high_mm for i in outside)]), clear_mm)
    measured = frozenset([*(a.id for a in movement.arbors if a.endshake_mm), *(["between"] if given_mm is not None else [])])
    return Elevation(between_mm, plate_mm, clear_mm, spans, endshake, measured, tuple(findings))


def storeyed(plan: Plan, heights: Elevation) -> Plan:
    """The plan with its storeys in the order of these heights, so that what is drawn over what is what lies over what."""
    thin = {t.id: heights[t.id] for t in plan.toothings}
    for one in plan.sized:  # mates lie where the thinner of them does
        pair = [plan.of(*side).id for side in sides(one.pair)]
        thinner = min((thin[part] for part in pair), key=lambda span: span.thickness_mm)
        thin |= dict.fromkeys(pair, thinner)
    order = sorted({round(span.middle_mm, 6) for span in thin.values()})
    low = [z for z in order if z < heights.between_mm]
    rank = {z: k for k, z in enumerate(low)} | {z: DIAL_SIDE + k for k, z in enumerate(order[len(low) :])}
    placed = tuple(replace(t, level=rank[round(thin[t.id].middle_mm, 6)]) for t in plan.toothings)
    return replace(plan, toothings=placed)


def _inside(movement: Movement, train: Train, plan: Plan, slimmer: float) -> list[Block]:
    """Blocks between the plates, in the order of the power path."""
    inside = [t for t in plan.toothings if t.level < DIAL_SIDE]
    drivers = {(p.driven, p.driven_part): (p.driver, p.driver_part) for p in train.pairs if p.key[0] == "meshes"}
    blocks = []
    for lead in inside:
        if (lead.arbor, lead.part) in drivers:
            continue
        group = [lead, *(t for t in inside if drivers.get((t.arbor, t.part)) == (lead.arbor, lead.part))]
        heights = [height for t in group if (height := _height(movement, t)) is not None]
        at = heights[0] if heights else None
        source = (movement.source.arbor, "wheel") in [(t.arbor, t.part) for t in group]
        more, source_at = source_items(movement, plan, inertia.thickness_mm(movement, lead), at) if source else ((), None)
        at = at if at is not None else source_at
        items = [_item(movement, plan, t, _height(movement, t), at, heights, slimmer) for t in group]
        blocks.append(Block((*items, *more), at))
    return [*blocks, *(each for each in (fusee_barrel(movement, plan), escape_block(movement, train, plan)) if each)]


def _item(
    movement: Movement, plan: Plan, t: Toothing, own: float | None, at: float | None, heights: list[float], slimmer: float
) -> Item:
    toothed = movement.toothed(t.arbor, t.part)
    thick = inertia.thickness_mm(movement, t)
    if toothed is None or toothed.thickness_mm is None:
        thick *= slimmer
    middle = own - at if own is not None and at is not None else 0.0
    key: Key = (*t.key, "height_mm") if own is not None else (t.key if heights else ())
    ring = Ring(plan.centres[t.arbor], t.gear.tip_mm)
    return Item(t.id, t.arbor, ring, middle - thick / 2, middle + thick / 2, key, t.title)


def _height(movement: Movement, t: Toothing) -> float | None:
    toothed = movement.toothed(t.arbor, t.part) if t.key[0] == "arbors" else None
    return toothed.height_mm if toothed else None


def _outside(movement: Movement, plan: Plan, front_mm: float, clear_mm: float, there: list[Item]) -> list[Item]:
    """The motion work, storey by storey before the front plate and what is already there."""
    said = {"minute-wheel": ("minute_wheel_mm", movement.heights.minute_wheel_mm)}
    said["hour-wheel"] = ("hour_wheel_mm", movement.heights.hour_wheel_mm)
    outside = [t for t in plan.toothings if t.level >= DIAL_SIDE]
    made = list(there)
    for storey in sorted({t.level for t in outside}):
        group = [t for t in outside if t.level == storey]
        own = {t.id: said[t.id] for t in group if said.get(t.id, ("", None))[1] is not None}
        thick = {t.id: OUTSIDE_WHEEL * t.gear.module_mm for t in group}
        wheel = max((thick[t.id] for t in group if t.wheel), default=0.0)
        rings = {t.id: Ring(plan.centres[t.arbor], t.gear.tip_mm) for t in group}
        under = [item.high_mm for item in made if any(over(ring, item.region) for ring in rings.values())]
        middle = next((float(z) for _, z in own.values() if z is not None), max([front_mm, *under]) + clear_mm + wheel / 2)
        key: Key = ("heights", next(iter(own.values()))[0]) if own else ()
        for t in group:
            half = (thick[t.id] if t.wheel else LEAVES_PAST * wheel) / 2
            made.append(Item(t.id, t.arbor, rings[t.id], middle - half, middle + half, key, t.title))
    return made


def _dial(movement: Movement, train: Train, top_mm: float, clear_mm: float) -> dict[str, Span]:
    """The dial before the motion work, and the hands before the dial: a small seconds hand under the hour hand."""
    spans: dict[str, Span] = {}
    size = movement.dial.diameter_mm if movement.dial else 60.0
    top = top_mm + clear_mm
    if movement.dial:
        back = movement.heights.dial_mm
        low = back if back is not None else top + clear_mm
        spans["dial"] = Span(low, low + 0.3 + 0.006 * size, back is not None)
        top = spans["dial"].high_mm + clear_mm
    carriers = dict(train.hands)
    central = carriers.get("seconds") is not None and carriers.get("seconds") == carriers.get("minutes")
    order = ("hours", "minutes", "seconds") if central else ("seconds", "hours", "minutes")
    thick = 0.1 + 0.004 * size
    for shows in (each for each in order if each in carriers):
        part = f"{shows.rstrip('s')}-hand" if shows != "seconds" else "seconds-hand"
        spans[part] = Span(top, top + thick, "dial" in spans and spans["dial"].measured)
        top += thick + clear_mm
    return spans
