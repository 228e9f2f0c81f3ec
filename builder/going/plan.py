"""The movement in plan: where each arbor stands, what is on it, how its teeth are turned at 12 o'clock, what lies over what.

Seen from the front (the dial's side), x to the right, y upwards, mm. The dial's centre is the origin unless centres are given.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from builder.going.clearance import collisions, thick_pivots
from builder.going.placed import DIAL_SIDE, Frame, Noun, Point, Toothing
from builder.going.sizes import Sized, sizes
from builder.going.train import Pair, Train
from builder.ground import words
from builder.ground.faults import Complaint, Finding, Key, Refused
from builder.movement.model import Movement, Wheel
from builder.parts.escapement import Working
from builder.parts.escapement.draft import Draft
from builder.parts.motion_work import CANNON, HOUR, MINUTE, MinuteAndHour
from builder.parts.teeth.gear import Gear
from builder.parts.teeth.mesh import meshing_angle

OFF_CENTRES = 0.05
"""Centres that other arbors fix may miss the right distance of a mesh by this part of its module: its depth hardly changes."""


@dataclass(frozen=True)
class Plan:
    """Centres (mm) of every arbor and all toothed parts, with the meshes they take part in."""

    centres: dict[str, Point]
    """Arbors by id, and 'pallets' and 'balance' where the escapement is drafted."""
    toothings: tuple[Toothing, ...]
    sized: tuple[Sized, ...]
    arbor_mm: dict[str, float]
    """Radius of each arbor."""
    draft: Draft | None
    """The escapement as drafted; None where it is only counted."""
    frame: Frame
    """How the draft lies on the plate."""
    findings: tuple[Finding, ...]

    def of(self, arbor: str, part: str) -> Toothing:
        return next(t for t in self.toothings if (t.arbor, t.part) == (arbor, part))

    def line_rad(self, sized: Sized) -> float:
        """Direction of the line of centres, driver to driven."""
        (x0, y0), (x1, y1) = self.centres[sized.pair.driver], self.centres[sized.pair.driven]
        return math.atan2(y1 - y0, x1 - x0)


def plan(movement: Movement, train: Train) -> Plan:
    """Lay the movement out. Raises Refused with every mesh, centre or wheel that cannot be where it is."""
    undirected = _undirected(movement, train)
    try:
        sized, findings = sizes(movement, train)
    except Refused as refused:
        raise Refused([*undirected, *refused.complaints]) from None
    if undirected:
        raise Refused(undirected)
    centres = _centres(movement, train, sized)
    unplaced = _toothings(movement, sized)
    inside = _levelled([t for t in unplaced if t.key[0] == "arbors"], centres, train, 0)
    toothings = inside + _levelled([t for t in unplaced if t.key[0] != "arbors"], centres, train, DIAL_SIDE)
    placed = _phased(toothings, sized, centres, train)
    draft, frame = _drafted(movement, train, centres)
    arbor_mm = _arbor_radii(train, placed)
    found = collisions(movement, train, placed, centres, arbor_mm, draft) + thick_pivots(movement, placed)
    if found:
        raise Refused(found)
    return Plan(centres, placed, sized, arbor_mm, draft, frame, findings)


def _drafted(movement: Movement, train: Train, centres: dict[str, Point]) -> tuple[Draft | None, Frame]:
    """The escapement's draft laid on the plate; its arbors are added to the centres."""
    escapement = movement.escapement
    if not isinstance(escapement, Working):
        return None, Frame(False, 0.0)
    draft = escapement.draft()  # the rules have made sure that it can be drawn
    frame = Frame(train[escapement.arbor].clockwise, math.radians(escapement.direction_deg - 90))
    x, y = centres[escapement.arbor]
    ahead = frame.points(np.array([[0.0, draft.centre_mm]]))[0]
    centres["pallets"] = (x + float(ahead[0]), y + float(ahead[1]))
    if draft.balance_mm is not None:
        on = frame.points(np.array([draft.balance_mm]))[0]
        centres["balance"] = (centres["pallets"][0] + float(on[0]), centres["pallets"][1] + float(on[1]))
    return draft, frame


def _given(movement: Movement) -> dict[str, Point]:
    """The centres that the file gives; where it gives none, the dial's centre (or the source) is the origin."""
    given = {arbor.id: (float(arbor.at_mm[0]), float(arbor.at_mm[1])) for arbor in movement.arbors if arbor.at_mm is not None}
    work = movement.motion_work
    return given or {work.on if work else movement.source.arbor: (0.0, 0.0)}


def _placing(movement: Movement, train: Train) -> Iterator[tuple[Pair, str, str]]:
    """(mesh, arbor that stands, arbor that it places), in an order in which all can be placed; '' where both stand."""
    placed = set(_given(movement))
    waiting = [pair for pair in train.pairs if pair.key[0] == "meshes"]
    while waiting:
        pair = next(each for each in waiting if each.driver in placed or each.driven in placed)
        waiting.remove(pair)
        new = "" if {pair.driver, pair.driven} <= placed else pair.driven if pair.driver in placed else pair.driver
        placed |= {pair.driver, pair.driven}
        yield pair, pair.driven if new == pair.driver else pair.driver, new


def only_counted(movement: Movement) -> bool:
    """Whether nothing in the file gives any place or any size of a tooth."""
    toothed = [each for arbor in movement.arbors for each in (arbor.wheel, arbor.pinion, *arbor.more.values()) if each]
    sized = any(each.module_mm is not None or each.outside_diameter_mm is not None for each in toothed)
    placed = any(arbor.at_mm is not None for arbor in movement.arbors)
    directed = any(mesh.direction_deg is not None for mesh in movement.meshes)
    return bool(movement.meshes) and not (sized or placed or directed)


def _undirected(movement: Movement, train: Train) -> list[Complaint]:
    found = []
    for pair, _, new in _placing(movement, train):
        if new and movement.meshes[int(pair.key[1])].direction_deg is None:
            advice = f"Give direction_deg (the direction from {pair.driver} to {pair.driven}), or at_mm on both arbors."
            found.append(Complaint(pair.key, f"{pair.driver} to {pair.driven}", "a mesh with a direction", advice))
    return found


def _centres(movement: Movement, train: Train, sized: tuple[Sized, ...]) -> dict[str, Point]:
    centres = _given(movement)
    of = {one.pair.key: one for one in sized}
    found: list[Complaint] = []
    for pair, known, new in _placing(movement, train):
        one = of[pair.key]
        if new:
            direction = movement.meshes[int(pair.key[1])].direction_deg
            assert direction is not None, "made sure before"
            way = 1 if new == pair.driven else -1
            centres[new] = _moved(centres[known], way * one.distance_mm, direction)
        elif abs(_apart(centres, pair.driver, pair.driven) - one.distance_mm) > OFF_CENTRES * one.module_mm:
            apart = words.figure(_apart(centres, pair.driver, pair.driven), 4)
            advice = (
                f"The centres and meshes given put {pair.driver} and {pair.driven} {apart} mm apart; these teeth need "
                f"{words.figure(one.distance_mm, 4)} mm. Correct a direction or a size, or give at_mm on every arbor between."
            )
            found.append(Complaint(pair.key, f"{apart} mm", f"centres {words.figure(one.distance_mm, 4)} mm apart", advice))
    if found:
        raise Refused(found)
    work = movement.motion_work
    if work:
        away = next(one for one in sized if one.pair.key == ("motion_work",))
        off = _moved(centres[work.on], away.distance_mm, work.direction_deg)
        if isinstance(work, MinuteAndHour):
            centres |= {CANNON: centres[work.on], MINUTE: off, HOUR: centres[work.on]}
        else:
            centres[HOUR] = off
    return {arbor.id: centres[arbor.id] for arbor in train.arbors}


def _moved(start: Point, distance: float, direction_deg: float) -> Point:
    angle = math.radians(direction_deg)
    return start[0] + distance * math.cos(angle), start[1] + distance * math.sin(angle)


MOTION_PARTS = {
    (CANNON, "cannon"): ("cannon-pinion", "Cannon pinion"),
    (MINUTE, "wheel"): ("minute-wheel", "Minute wheel"),
    (MINUTE, "pinion"): ("minute-pinion", "Minute pinion"),
    (HOUR, "wheel"): ("hour-wheel", "Hour wheel"),
}


def _toothings(movement: Movement, sized: tuple[Sized, ...]) -> list[Toothing]:
    """Every toothed part that meshes, once, cut for the first mesh it takes part in, in the train's order."""
    found: dict[tuple[str, str], Toothing] = {}
    for one in sized:
        pair = one.pair
        for arbor, part, gear in (
            (pair.driver, pair.driver_part, one.gears.driver),
            (pair.driven, pair.driven_part, one.gears.driven),
        ):
            if (arbor, part) not in found:
                found[arbor, part] = _toothing(movement, arbor, part, gear, pair.key)
    return list(found.values())


def _toothing(movement: Movement, arbor: str, part: str, gear: Gear, key: Key) -> Toothing:
    if key[0] == "motion_work" and (arbor, part) in MOTION_PARTS:
        slug, title = MOTION_PARTS[arbor, part]
        leaves = part == "pinion" or (part == "cannon" and gear.teeth <= 24)
        arms = 0 if leaves or gear.teeth < 30 else 4
        return Toothing(slug, title, arbor, part, gear, "leaves" if leaves else "teeth", arms, "brass", 0, key=key)
    if key[0] == "motion_work":  # the pinion of report on an arbor of the train
        return Toothing("report-pinion", "Pinion of report", arbor, part, gear, "leaves", 0, "steel", 0, key=key)
    holder = movement.arbor(arbor)
    toothed = movement.toothed(arbor, part)
    assert toothed is not None
    index = next(i for i, each in enumerate(movement.arbors) if each.id == arbor)
    own: Key = ("arbors", index, part) if part in ("wheel", "pinion") else ("arbors", index, "more", part)
    name = holder.title
    if part in ("wheel", "pinion"):
        slug, title = f"{arbor}-{part}", f"{name} {part}"
    else:
        slug, title = f"{arbor}-{part}-wheel", f"{part.replace('_', ' ').capitalize()} wheel on the {name.lower()} arbor"
    arms = 0
    if isinstance(toothed, Wheel):
        barrel = arbor == movement.source.arbor and movement.source.kind == "going_barrel"
        small = movement.movement.sort == "watch"
        arms = toothed.arms if toothed.arms is not None else 0 if barrel else 5 if small else 4
    noun: Noun = "leaves" if part == "pinion" else "teeth"
    return Toothing(slug.replace("_", "-"), title, arbor, part, gear, noun, arms, toothed.material, 0, key=own)


def _levelled(toothings: list[Toothing], centres: dict[str, Point], train: Train, lowest: int) -> list[Toothing]:
    """Storeys such that mates share one and no two other parts of a storey overlap; the lowest that is free.

    A stand-in for measured heights: it makes the drawing possible, not the movement's true heights.
    """
    level: dict[tuple[str, str], int] = {}
    mates = {(pair.driven, pair.driven_part): (pair.driver, pair.driver_part) for pair in train.pairs}

    def clear(toothing: Toothing, storey: int) -> bool:
        """Whether it and the pinions it drives would touch nothing that already lies in that storey."""
        driven = [t for t in toothings if mates.get((t.arbor, t.part)) == (toothing.arbor, toothing.part)]
        for other in toothings:
            if level.get((other.arbor, other.part)) == storey:
                for one in [toothing, *driven]:
                    if _apart(centres, one.arbor, other.arbor) < one.gear.tip_mm + other.gear.tip_mm:
                        return False
        return True

    for toothing in toothings:
        place = (toothing.arbor, toothing.part)
        if (mate := mates.get(place)) in level:
            level[place] = level[mate]  # drivers stand before what they drive
            continue
        storey = lowest
        while not clear(toothing, storey):
            storey += 1
        level[place] = storey
    return [replace(toothing, level=level[toothing.arbor, toothing.part]) for toothing in toothings]


def _apart(centres: dict[str, Point], a: str, b: str) -> float:
    return math.dist(centres[a], centres[b])


def _phased(toothings: list[Toothing], sized: tuple[Sized, ...], centres: dict[str, Point], train: Train) -> tuple[Toothing, ...]:
    """Turn every arbor so that the teeth of all meshes touch on their driving flanks at t = 0.

    From the escape arbor back down to the source, then out along the branches and the motion work. How the escape wheel
    itself is set on its arbor is free: the escapement decides it.
    """
    turned: dict[str, float] = {train.path[-1]: 0.0}
    if CANNON in centres:
        turned[CANNON] = 0.0

    def solve(one: Sized) -> bool:
        pair = one.pair
        (x0, y0), (x1, y1) = centres[pair.driver], centres[pair.driven]
        line = math.atan2(y1 - y0, x1 - x0)
        ccw = not train[pair.driver].clockwise
        if pair.driver in turned and pair.driven not in turned:
            turned[pair.driven] = meshing_angle(one.gears, turned[pair.driver], line, ccw)
        elif pair.driven in turned and pair.driver not in turned:
            at_zero = meshing_angle(one.gears, 0.0, line, ccw)  # linear in the driver's angle, slope -ratio
            turned[pair.driver] = (at_zero - turned[pair.driven]) / float(pair.ratio)
        else:
            return False
        return True

    solving = True
    while solving:
        solving = any([solve(one) for one in sized])  # noqa: C419  # every one is tried in each round
    return tuple(replace(t, phase_rad=turned.get(t.arbor, 0.0)) for t in toothings)


def _arbor_radii(train: Train, toothings: tuple[Toothing, ...]) -> dict[str, float]:
    """Arbor radius: 0.7 of the pinion's root circle, or 1/14 of the wheel's pitch circle where there is no pinion."""
    radii: dict[str, float] = {}
    for arbor in train.arbors:
        own = [t for t in toothings if t.arbor == arbor.id]
        pinions = [t.gear.root_mm for t in own if not t.wheel]
        wheels = [t.gear.pitch_mm for t in own if t.wheel]
        radii[arbor.id] = 0.7 * min(pinions) if pinions else max(wheels) / 14 if wheels else 0.5
    return radii
