"""The movement really changed: another count, another force, another oscillator, computed anew by the same laws."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from builder.going import steady, worn
from builder.going.beat import RATED, Winding
from builder.going.going import Going
from builder.going.power import power
from builder.going.steady import Running, Stopped
from builder.going.train import Train, train
from builder.ground.faults import Refused
from builder.ground.part import Part
from builder.movement.model import Movement
from builder.parts.oscillator.balance import Balance
from builder.parts.oscillator.pendulum import Pendulum
from builder.parts.oscillator.terms import Terms
from builder.parts.source.weight import Weight

HALVINGS = 6


def recounted(movement: Movement, arbor: str, part: str, count: int) -> Train | None:
    """The train with another count of a wheel, a pinion or the escape wheel, solved anew; None where it then cannot be.

    What the counts are to be judged by is left out of the changed file: the stated beat, and a seconds hand that would no
    longer agree with the minute hand.
    """
    if part not in ("wheel", "pinion", "escape"):
        return None
    arbors = []
    for each in movement.arbors:
        changes: dict[str, object] = {"hand": None} if each.hand == "seconds" else {}
        if each.id == arbor and part != "escape":
            toothed = each.wheel if part == "wheel" else each.pinion
            assert toothed is not None
            changes[part] = toothed.model_copy(update={"teeth" if part == "wheel" else "leaves": count})
        arbors.append(each.model_copy(update=changes))
    escapement = movement.escapement
    assert isinstance(escapement, Part)
    if part == "escape":
        escapement = escapement.model_copy(update={"teeth": count})
    oscillator = movement.oscillator.model_copy(update={"beats_per_hour": None})
    changed = movement.model_copy(update={"arbors": tuple(arbors), "escapement": escapement, "oscillator": oscillator})
    try:
        return train(changed)
    except Refused:
        return None


def hand_speed(going: Going, changed: Train) -> Fraction:
    """How fast the minute hand goes after the change, 1 being right: the counts ask for another beat, and do not get it."""
    return going.train.beats_per_hour / changed.beats_per_hour


def rated(going: Going) -> Winding | None:
    """The state at which the movement keeps time, or the first in which it goes; None where it never does."""
    going_on = [winding for winding in going.windings if isinstance(winding.beat, Running)]
    return next((winding for winding in going_on if winding.name == RATED), going_on[0] if going_on else None)


def with_force(going: Going, winding: Winding, part: float) -> Running | Stopped:
    """The beat with a part of the force at the source: of the weight, or of the spring's torque."""
    assert isinstance(winding.beat, Running)
    movement, source = going.movement, going.movement.source
    if isinstance(source, Weight) and source.mass_kg is not None:
        movement = movement.model_copy(update={"source": source.model_copy(update={"mass_kg": source.mass_kg * part})})
    flow = power(movement, going.train, going.plan, winding.power.source_torque_nmm * part, winding.turns_left)
    works = winding.beat.works
    return steady.solve(works.terms, works.course, flow.escape_torque_nmm, works.wheel_kg_m2, winding.beat.near)


def with_terms(winding: Winding, terms: Terms) -> Running | Stopped:
    """The beat of another oscillator under the same torque."""
    assert isinstance(winding.beat, Running)
    works = winding.beat.works
    return steady.solve(terms, works.course, 1e3 * works.torque_nm, works.wheel_kg_m2, winding.beat.near)


def out_of_beat(winding: Winding, angle_rad: float) -> Running | Stopped:
    """The beat with the pallets' middle set beside the oscillator's rest."""
    assert isinstance(winding.beat, Running)
    return with_terms(winding, replace(winding.beat.works.terms, out_of_beat_rad=angle_rad))


def heavier(winding: Winding, part: float) -> Running | Stopped:
    """A balance with more inertia on the same spring, its loss at a speed unchanged."""
    assert isinstance(winding.beat, Running)
    terms = winding.beat.works.terms
    return with_terms(winding, replace(terms, inertia_kg_m2=terms.inertia_kg_m2 * part))


def lengthened(winding: Winding, part: float) -> Running | Stopped:
    """A hairspring with more length in action: its stiffness goes as one over its length."""
    assert isinstance(winding.beat, Running)
    terms = winding.beat.works.terms
    return with_terms(winding, replace(terms, stiffness_nm=terms.stiffness_nm / part))


def as_set(going: Going, oscillator: Pendulum | Balance) -> float:
    """Small period at 20 °C, s, to which nut or regulator is set."""
    assert going.beat is not None
    return worn.as_set(oscillator, going.beat.terms, float(going.train.beats_per_hour))


def warmed(going: Going, oscillator: Pendulum | Balance, by_c: float) -> Terms:
    """The oscillator's terms, set as it is, when it is warmer. Raises Refused."""
    warm = oscillator.model_copy(update={"temperature_c": oscillator.temperature_c + by_c})
    return warm.terms(float(going.train.beats_per_hour), small_period_s=as_set(going, oscillator))


def let_down(going: Going, pendulum: Pendulum, by_mm: float) -> Terms:
    """The pendulum's terms with its bob lower than it is set. Raises Refused."""
    assert going.beat is not None
    return worn.lowered(pendulum, pendulum, going.beat.terms, float(going.train.beats_per_hour), by_mm)


def plainly_out(winding: Winding) -> tuple[float, Running] | None:
    """A quarter of the lift out of beat, or the half, quarter … of that with which it still goes; None where it does not.

    The lift is taken from drop to drop, at the oscillator.
    """
    assert isinstance(winding.beat, Running)
    course = winding.beat.works.course
    angle_rad = (course.unlocks_up - course.unlocks_down) / 4
    for _ in range(HALVINGS):
        solved = out_of_beat(winding, angle_rad)
        if isinstance(solved, Running):
            return angle_rad, solved
        angle_rad /= 2
    return None
