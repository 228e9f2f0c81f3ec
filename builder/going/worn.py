"""A movement that is not sound: what worn holes, leaves and pallets change of its plan, and what is wrong with its oscillator.

All of it at once: meshes are solved where worn holes put them, with worn flanks; the pallets with worn faces where worn holes
put them. Neglected: that an arbor in a worn hole leans (its teeth touch at one end), that it changes its place with the load,
that a lever's worn pivot also shifts fork against roller, and cocks: every arbor is taken to run from plate to plate.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from builder.going.heights import Elevation
from builder.going.plan import Plan
from builder.going.power import mesh_contact
from builder.going.sizes import Sized
from builder.going.train import Train
from builder.ground.faults import Complaint, Refused
from builder.ground.words import figure
from builder.movement.model import Movement
from builder.parts.escapement.wear import worn_draft
from builder.parts.finding.condition import Condition, Pit
from builder.parts.oscillator.balance import Balance
from builder.parts.oscillator.pendulum import Pendulum
from builder.parts.oscillator.terms import Terms
from builder.parts.teeth.gear import Gear, GearPair
from builder.parts.teeth.wear import worn as pitted

Shift = Callable[[str, float], complex]
"""How far an arbor ('pallets' too) stands off its place at a height (mm), as x + iy."""


def worn_plan(movement: Movement, train: Train, plan: Plan, elevation: Elevation, condition: Condition) -> Plan:
    """The plan with meshes and escapement as they are. Raises Refused where a wear is more than there is material or plate;
    keys are those of the finding's own table."""
    if not (condition.holes or condition.pits or condition.pallets):
        return plan
    shift = _shifts(elevation, condition)
    found = _off_the_plate(movement, plan, condition)
    sized = []
    for one in plan.sized:
        changed = one
        try:
            changed = _with_pits(movement, one, condition.pits)
        except Refused as refused:
            found += refused.complaints
        apart = _too_far_mm(plan, elevation, one, shift)
        if apart + one.distance_mm >= changed.gears.driver.tip_mm + changed.gears.driven.tip_mm:
            most = changed.gears.driver.tip_mm + changed.gears.driven.tip_mm - one.distance_mm
            advice = f"{one.pair.driver} and {one.pair.driven} would no longer reach each other. Measure again."
            allowed = f"such that their centres part by less than {figure(most, 3)} mm"
            found.append(Complaint(("worn_mm",), f"{figure(apart, 3)} mm further apart", allowed, advice))
        sized.append(replace(changed, too_far_mm=apart))
    draft = plan.draft
    if draft is not None:
        for wear in condition.pallets:
            draft = worn_draft(draft, wear.pallet, wear.face, wear.depth_mm)
        height = elevation.spans["escape-wheel"].middle_mm if "escape-wheel" in elevation.spans else elevation.between_mm / 2
        escape = movement.escapement.arbor
        if parted := shift("pallets", height) - shift(escape, height):
            draft = replace(draft, centre_mm=abs(complex(*plan.centres["pallets"]) - complex(*plan.centres[escape]) + parted))
    if found:
        raise Refused(found)
    return replace(plan, sized=tuple(sized), draft=draft)


def _shifts(elevation: Elevation, condition: Condition) -> Shift:
    """An arbor runs straight from hole to hole, in the middle of each plate's thickness."""
    back_mm, front_mm = -elevation.plate_mm / 2, elevation.between_mm + elevation.plate_mm / 2

    def shift(arbor: str, height_mm: float) -> complex:
        total = 0j
        for hole in condition.holes:
            if hole.arbor == arbor:
                share = (height_mm - back_mm) / (front_mm - back_mm)
                share = 1 - share if hole.plate == "back" else share
                total += share * hole.out_mm * complex(math.cos(a := math.radians(hole.direction_deg)), math.sin(a))
        return total

    return shift


def _too_far_mm(plan: Plan, elevation: Elevation, one: Sized, shift: Shift) -> float:
    pair = one.pair
    if pair.key[0] != "meshes":
        return 0.0  # the motion work turns on its post and on the arbor's middle; neglected: that this moves too
    span = elevation.spans.get(plan.of(pair.driver, pair.driver_part).id)
    height = span.middle_mm if span else elevation.between_mm / 2
    line = complex(*plan.centres[pair.driven]) - complex(*plan.centres[pair.driver])
    return abs(line + shift(pair.driven, height) - shift(pair.driver, height)) - abs(line)


def _off_the_plate(movement: Movement, plan: Plan, condition: Condition) -> list[Complaint]:
    """Holes worn out of their plate, where the file gives one."""
    plates = movement.plates
    found: list[Complaint] = []
    for hole in condition.holes if plates else ():
        assert plates is not None
        x, y = plan.centres[hole.arbor]
        angle = math.radians(hole.direction_deg)
        x, y = (c + hole.out_mm * f(angle) - m for c, f, m in zip((x, y), (math.cos, math.sin), plates.centre_mm, strict=True))
        if plates.shape == "round":
            over = math.hypot(x, y) - plates.width_mm / 2
        else:
            high = plates.height_mm if plates.height_mm is not None else plates.width_mm
            over = max(abs(x) - plates.width_mm / 2, abs(y) - high / 2)
        if over >= 0 and hole.arbor != "pallets":
            allowed = "a hole that stays inside the plate"
            advice = f"So far to that side the plate has ended {figure(over, 2)} mm before. Measure again."
            found.append(Complaint(("worn_mm",), f"{hole.out_mm:g}", allowed, advice))
    return found


def _with_pits(movement: Movement, one: Sized, pits: tuple[Pit, ...]) -> Sized:
    gears = one.gears
    for pit in pits:
        for side in ("driver", "driven"):
            if (getattr(one.pair, side), getattr(one.pair, f"{side}_part")) == (pit.arbor, pit.part):
                gear = _pitted(gears, side, pit, movement.friction.teeth)
                gears = replace(gears, driver=gear) if side == "driver" else replace(gears, driven=gear)
    return replace(one, gears=gears)


def _pitted(gears: GearPair, side: str, pit: Pit, friction: float) -> Gear:
    """The gear with its pit, between the radii given or where its mate rubs."""
    gear: Gear = getattr(gears, side)
    from_mm, to_mm = pit.from_mm, pit.to_mm
    if from_mm is None or to_mm is None:
        seen = mesh_contact(gears, friction)
        radii = np.abs(seen.point_mm - (gears.distance_mm if side == "driven" else 0.0))[seen.pairs > 0]
        from_mm, to_mm = max(float(radii.min()), gear.root_mm), min(float(radii.max()), gear.tip_mm)
    return pitted(gear, pit.depth_mm, from_mm, to_mm)


def jammed(plan: Plan, train: Train, movement: Movement, condition: Condition) -> Sized | None:
    """The first mesh of the power path that cannot turn as it now stands, if one cannot."""
    for one in plan.sized:
        if one.pair in train.path_pairs:
            friction = movement.friction.teeth * condition.teeth_friction.get(one.pair.driver, 1.0)
            if mesh_contact(one.gears, friction, one.too_far_mm).verdict == "jams":
                return one
    return None


def worn_terms(oscillator: Pendulum | Balance, sound: Terms, beats_per_hour: float, condition: Condition) -> Terms:
    """The oscillator's terms as it is, nut and regulator standing where they stand when it is sound.

    Its loss at a speed is the sound one's, times the condition's factor. Raises Refused (key kind) where a pendulum so changed
    cannot beat at all.
    """
    loss, rest = sound.loss_nms * condition.loss, sound.out_of_beat_rad + condition.out_of_beat_rad
    if isinstance(oscillator, Balance):
        stiffness = sound.stiffness_nm * condition.hairspring
        return replace(sound, stiffness_nm=stiffness, loss_nms=loss, out_of_beat_rad=rest)
    if condition.bob_down_mm or condition.strip_longer_mm or condition.strip != 1.0:
        sound = changed_pendulum(oscillator, sound, beats_per_hour, condition)
    return replace(sound, loss_nms=loss, out_of_beat_rad=rest)


def changed_pendulum(oscillator: Pendulum, sound: Terms, beats_per_hour: float, condition: Condition) -> Terms:
    """The terms with bob and strip changed. Raises Refused (key kind)."""
    lower_mm = condition.bob_down_mm + condition.strip_longer_mm
    strip = oscillator.suspension
    if strip is not None:
        strip = strip.model_copy(
            update={
                "width_mm": strip.width_mm * condition.strip,
                "length_mm": strip.length_mm + condition.strip_longer_mm,
            }
        )
    try:
        return lowered(oscillator.model_copy(update={"suspension": strip}), oscillator, sound, beats_per_hour, lower_mm)
    except Refused as refused:
        first = refused.complaints[0]
        raise Refused([Complaint(("kind",), first.value, first.allowed, "Measure the pendulum again.")]) from None


def as_set(oscillator: Pendulum | Balance, sound: Terms, beats_per_hour: float) -> float:
    """Small period at 20 °C, s, to which nut or regulator is set."""
    wanted = sound.small_period_s
    return wanted * wanted / oscillator.terms(beats_per_hour, small_period_s=wanted).small_period_s


def lowered(changed: Pendulum, pendulum: Pendulum, sound: Terms, beats_per_hour: float, by_mm: float) -> Terms:
    """The terms of a changed pendulum with its bob so much lower than it is set on `pendulum`. Raises Refused."""
    centre_mm = 1e3 * pendulum.hung(beats_per_hour, small_period_s=as_set(pendulum, sound, beats_per_hour)).centre_m
    bob = changed.bob.model_copy(update={"centre_mm": centre_mm + by_mm})
    return changed.model_copy(update={"bob": bob, "rating_nut": None}).terms(beats_per_hour)
