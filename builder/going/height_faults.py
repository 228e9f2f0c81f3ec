"""What is wrong with measured heights: parts that stand in a plate or in another part, mates that miss one another.

What only the play of the arbors brings together is a finding.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations

from builder.going.plan import Plan
from builder.going.power import pivot_radius_mm
from builder.going.solids import TOUCH, Ring, over, over_by
from builder.going.source_heights import wound_at
from builder.going.stacking import Item
from builder.going.train import Pair, Train
from builder.ground import words
from builder.ground.faults import Complaint, Finding
from builder.movement.model import Movement
from builder.parts.source.going_barrel import GoingBarrel

SQUARE = "the winding square"
BACK_WOUND = '; or, where it is wound from behind, write winding = "back" under [heights]'


@dataclass(frozen=True)
class Placed:
    """All parts at their heights, measured or not, and the plates they lie between."""

    inside: list[Item]
    outside: list[Item]
    """Before the front plate."""
    behind: list[Item]
    """Behind the back plate."""
    between_mm: float
    plate_mm: float
    plates_measured: bool
    endshake_mm: dict[str, float]


def faults(movement: Movement, train: Train, plan: Plan, placed: Placed) -> tuple[list[Complaint], list[Finding]]:
    """Everything that cannot be, and what is worth knowing."""
    mates = {frozenset(plan.of(*side).id for side in sides(pair)) for pair in train.pairs}
    findings: list[Finding] = []
    complaints = _mates(placed.inside + placed.outside, mates)
    complaints += _in_plates(placed, findings)
    complaints += _before_the_plate(movement, train, plan, placed.outside) + _under_the_dial(movement, placed)
    for group in (placed.inside, placed.outside, placed.behind):
        complaints += _meetings(group, mates, placed.endshake_mm, findings)
    return complaints, findings


def sides(pair: Pair) -> tuple[tuple[str, str], tuple[str, str]]:
    """(arbor, part) of the driver and of the driven."""
    return (pair.driver, pair.driver_part), (pair.driven, pair.driven_part)


def _mates(items: list[Item], mates: set[frozenset[str]]) -> list[Complaint]:
    """Wheels that do not run wholly on the leaves that they meet, where their heights were measured."""
    found = []
    placed = {item.part: item for item in items}
    for names in mates:
        short, long = sorted((placed[name] for name in sorted(names)), key=lambda item: item.high_mm - item.low_mm)
        past = max(long.low_mm - short.low_mm, short.high_mm - long.high_mm)
        if past > TOUCH and short.measured and long.measured:
            key = short.key if short.key[-1] == "height_mm" else long.key
            advice = (
                f"{short.name} ({_from_to(short)}) runs {words.figure(past, 2)} mm past the end of its mate, {long.name.lower()} "
                f"({_from_to(long)}). Measure both heights, or the length of the leaves, again."
            )
            found.append(Complaint(key, _middle(short), "a wheel wholly on the leaves it meets", advice))
    return sorted(found, key=str)


def _in_plates(placed: Placed, findings: list[Finding]) -> list[Complaint]:
    """Measured parts that stand in a plate, or that rub the front one when their arbor slides forwards."""
    found = []
    front, back = "the front plate", "the back plate"
    reaches = [(item, back, -item.low_mm) for item in placed.inside]
    reaches += [(item, front, placed.between_mm + placed.plate_mm - item.low_mm) for item in placed.outside]
    reaches += [(item, back, item.high_mm + placed.plate_mm) for item in placed.behind if item.part != "hairspring"]
    if placed.plates_measured:
        reaches += [(item, front, item.high_mm - placed.between_mm) for item in placed.inside]
    for item, plate, deep in reaches:
        if not item.measured:
            continue
        if deep > TOUCH:
            advice = (
                f"{item.name} lies from {_from_to(item)} and stands {words.figure(deep, 2)} mm in {plate}. Measure its height or "
                f"its thickness again{', or between_mm of the plates' if plate == front and item in placed.inside else ''}."
            )
            found.append(Complaint(item.key, _middle(item), f"a height clear of {plate}", advice))
        elif item in placed.inside and plate == front and -deep < (play := placed.endshake_mm.get(item.arbor, 0.0)):
            text = (
                f"{item.name.lower()} lies {words.figure(-deep, 2)} mm from the front plate, less than its arbor's endshake, "
                f"{words.figure(play, 2)} mm: it rubs when the arbor slides forwards"
            )
            findings.append(Finding(item.key, text))
    return found


def _under_the_dial(movement: Movement, placed: Placed) -> list[Complaint]:
    """A dial measured nearer than what lies under it."""
    dial = movement.heights.dial_mm
    top = max(placed.outside, key=lambda item: item.high_mm, default=None)
    if dial is None or top is None or not top.measured or dial >= top.high_mm - TOUCH:
        return []
    advice = (
        f"{top.name} lies from {_from_to(top)} and stands {words.figure(top.high_mm - dial, 2)} mm in the dial. Measure the "
        "length of the dial's feet again."
    )
    return [Complaint(("heights", "dial_mm"), f"{dial:g}", f"a dial in front of the {top.name.lower()}", advice)]


def _before_the_plate(movement: Movement, train: Train, plan: Plan, outside: list[Item]) -> list[Complaint]:
    """Wheels of the motion work in which an arbor stands that passes through the front plate to its hand or its key."""
    passing = {carrier: "its hand" for _, carrier in train.hands if carrier in {arbor.id for arbor in movement.arbors}}
    if wound_at(movement) == "front" and not isinstance(movement.source, GoingBarrel):
        passing[movement.source.arbor] = SQUARE
    found = []
    for item in outside:
        for arbor, what in passing.items():
            at, radius = plan.centres[arbor], pivot_radius_mm(movement, plan, arbor)
            deep = over_by(item.region, Ring(at, radius))
            if math.dist(at, item.region.at if isinstance(item.region, Ring) else at) > TOUCH and deep > TOUCH:
                advice = (
                    f"The {arbor} arbor passes through the front plate to carry {what}, and {item.name.lower()} reaches "
                    f"{words.figure(deep, 2)} mm into it. Turn direction_deg of the motion work, or measure its module again"
                    f"{BACK_WOUND if what == SQUARE else ''}."
                )
                allowed = f"a motion work clear of the {arbor} arbor"
                found.append(Complaint(("motion_work",), item.name.lower(), allowed, advice))
    return found


def _meetings(
    items: list[Item], mates: set[frozenset[str]], endshake: dict[str, float], findings: list[Finding]
) -> list[Complaint]:
    """Measured parts that stand in one another; those that only the play of the arbors brings together become findings."""
    found = []
    for one, other in combinations([item for item in items if item.measured], 2):
        together = one.arbor == other.arbor or frozenset((one.part, other.part)) in mates or one.key == other.key
        if together or not over(one.region, other.region):
            continue
        gap = max(one.low_mm - other.high_mm, other.low_mm - one.high_mm)
        if gap < -TOUCH:
            advice = (
                f"{other.name} lies from {_from_to(other)}, {one.name.lower()} from {_from_to(one)}: {words.figure(-gap, 2)} mm "
                f"in one another, where they overlap by {words.figure(over_by(one.region, other.region), 2)} mm in plan. Measure "
                "both heights again, or the thickness of either."
            )
            found.append(Complaint(other.key, _middle(other), f"a height clear of {one.name.lower()}", advice))
        elif gap < (play := endshake.get(one.arbor, 0.0) + endshake.get(other.arbor, 0.0)):
            text = (
                f"{one.name.lower()} and {other.name.lower()} lie {words.figure(gap, 2)} mm apart in height, less than the "
                f"endshake of both arbors together, {words.figure(play, 2)} mm: shaken to opposite ends they touch"
            )
            findings.append(Finding(other.key, text))
    return found


def _middle(item: Item) -> str:
    return f"{words.figure(item.middle_mm, 4)} mm"


def _from_to(item: Item) -> str:
    return f"{words.figure(item.low_mm, 3)} to {words.figure(item.high_mm, 3)} mm"
