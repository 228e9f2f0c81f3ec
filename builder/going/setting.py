"""Setting the hands: what the friction at the centre carries, what a finger must give to slip it, and what the train feels.

Three torques on one arbor decide. The hands ask for the first while the movement goes: each lifts its own weight on the left
half of the dial. The friction slips at the second. The train gives the third to the arbor, and a fourth, larger one turns it
back against the source, since then every friction of the train stands in the way.

Neglected: the weight of the motion work's wheels on their posts (about a hundredth of what the hands ask for), their spring
washers and oil, wind on large hands, and the push of the pallets on a train that is turned back.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

import numpy as np

from builder.going.beat import Winding
from builder.going.going import Going
from builder.going.power import mesh_contact
from builder.ground import words
from builder.ground.constants import GRAVITY_STANDARD_M_S2, MATERIALS
from builder.ground.faults import Finding
from builder.ground.words import THIN
from builder.parts.clutch import BowSpring, Clutch, Grip, SnappedPinion, SpringWasher
from builder.parts.motion_work import Hand, HourOnly, MinuteAndHour
from builder.parts.source.going_barrel import GoingBarrel
from builder.parts.source.open_spring import OpenSpring
from builder.parts.teeth.gear import GearPair

USUAL_LENGTH = {"minutes": 0.9, "hours": 0.6}
"""Length of a hand by the radius of the hour circle (as drawn)."""
MEAN_WIDTH = {"minutes": 0.0274, "hours": 0.0581}
"""Mean width of a hand by its length: area over length of the hands that are drawn."""
CENTROID = {"minutes": 0.445, "hours": 0.458}
"""Where it balances, by its length: centroid of the same outlines."""
BORE = 0.65
"""Thickness of the arbor under a thin cannon pinion, by the diameter at the bottom of its spaces, at most (common practice,
no source)."""
FINGER = 2 / 3
"""Where a finger pushes the minute hand, by its length."""
AMPLE = 2.0
"""A friction that holds less than this many times what the hands ask for has little to spare (common practice, no source)."""

Tightness = Literal["goes on", "stands", "driven back"]


@dataclass(frozen=True)
class HandLoad:
    """A hand and what it weighs about its arbor."""

    shows: str
    mass_g: float
    centre_mm: float
    length_mm: float | None
    supposed: bool
    """Its mass was not measured: a steel hand of the form that is drawn, as long as suits the dial."""

    @property
    def unbalance_nmm(self) -> float:
        """Torque that holds it level: mass times distance times gravity."""
        return self.mass_g * 1e-3 * GRAVITY_STANDARD_M_S2 * self.centre_mm


@dataclass(frozen=True)
class Held:
    """A state of winding: what the train gives the arbor of the hands, and what turns it back against the source."""

    name: str
    given_nmm: float
    back_nmm: float


@dataclass(frozen=True)
class Setting:
    """One movement's setting of the hands."""

    clutch: Clutch
    supposed: bool
    """The file describes no friction: the kind and its sizes are what suits the movement."""
    post_mm: float
    """Diameter of the arbor under the cannon pinion."""
    grip: Grip
    hands: tuple[HandLoad, ...]
    """None where neither masses nor a dial are given."""
    out_efficiency: float
    """From the minute hand's arbor to the hour wheel, both meshes; 1 without meshes."""
    in_efficiency: float | None
    """From the minute wheel to the cannon pinion, as a crown drives it."""
    reduction: Fraction
    """Hours on the dial: turns of the minute hand for one of the hour hand."""
    held: tuple[Held, ...]
    """States of winding; none where the train's force at this arbor is not known."""

    def asked_nmm(self, minute: np.ndarray) -> np.ndarray:
        """Torque that the hands ask for at minutes past 12 (N,), clockwise positive; negative where they pull on.

        A hand pulls on against the meshes' friction too, with the same efficiency (its own sense of driving neglected).
        """
        total = np.zeros(np.shape(minute))
        for hand in self.hands:
            turns = minute / 60 if hand.shows == "minutes" else minute / 60 / float(self.reduction)
            lift = -hand.unbalance_nmm * np.sin(2 * np.pi * turns)
            if hand.shows == "hours" and len(self.hands) > 1:
                lift = lift / float(self.reduction)
                lift = np.where(lift > 0, lift / self.out_efficiency, lift * self.out_efficiency)
            total = total + lift
        return total

    @property
    def worst(self) -> tuple[float, float]:
        """(minute past 12, torque in N·mm) at which the hands ask for most; (0, 0) without hands."""
        minutes = np.arange(0.0, 60.0 * float(self.reduction), 1.0)
        asked = self.asked_nmm(minutes)
        at = int(np.argmax(asked))
        return float(minutes[at]), float(asked[at])

    @property
    def margin(self) -> float | None:
        """How many times the hands' need the friction holds; None where the hands are not known."""
        need = self.worst[1]
        return self.grip.torque_nmm / need if need > 0 else None

    @property
    def set_nmm(self) -> float:
        """Torque on the minute hand's arbor that sets the hands at the worst place: the friction's and the hands'."""
        return self.grip.torque_nmm + self.worst[1]

    @property
    def finger_n(self) -> float | None:
        """Force of a finger at two thirds of the hand that is set."""
        length = next((hand.length_mm for hand in self.hands if hand.length_mm), None)
        return None if length is None else self.set_nmm / (FINGER * length)

    def set_back(self, held: Held) -> Tightness:
        """What the train does while the hands are turned back in that state."""
        if self.grip.torque_nmm < held.given_nmm:
            return "goes on"
        return "stands" if self.grip.torque_nmm < held.back_nmm else "driven back"

    def pushed_on(self, held: Held) -> float:
        """How many times as hard the train is driven while the hands are turned on."""
        return 1 + self.grip.torque_nmm / held.given_nmm

    def findings(self) -> tuple[Finding, ...]:
        """What is wrong with it, or nearly; nothing where its sizes are only supposed."""
        found: list[Finding] = []
        if self.grip.origin == "supposed":
            return ()
        slip, (minute, need) = self.grip.torque_nmm, self.worst
        key = ("motion_work", "clutch")
        holds = f"the friction of the hands slips at {words.figure(slip, 2)}{THIN}N·mm"
        asks = f"the hands ask for {words.figure(need, 2)}{THIN}N·mm at {clock(minute)}"
        if self.margin is not None and self.margin < 1:
            found.append(Finding(key, f"{holds}, and {asks}: they stay behind there"))
        elif self.margin is not None and self.margin < AMPLE:
            found.append(Finding(key, f"{holds}, and {asks}: it has little to spare"))
        driven = [held for held in self.held if self.set_back(held) == "driven back"]
        if driven:
            text = (
                f"{holds}, and {words.figure(driven[0].back_nmm, 2)}{THIN}N·mm turn the {driven[0].name} train back: set back, "
                "the hands take the train along, and the escape wheel is pushed backwards into the pallets"
            )
            found.append(Finding(key, text))
        return tuple(found)


def clock(minute: float) -> str:
    """Minutes past 12 as the hands show them: 9:45."""
    hours, rest = divmod(round(minute), 60)
    return f"{hours or 12}:{rest:02d}"


def setting(going: Going) -> Setting | None:
    """None for a movement without motion work."""
    work = going.movement.motion_work
    if work is None:
        return None
    post = post_mm(going)
    clutch = work.clutch or usual(going)
    out, inwards = _efficiencies(going)
    return Setting(
        clutch=clutch.sized(post),
        supposed=work.clutch is None,
        post_mm=post,
        grip=clutch.grip(post),
        hands=_hands(going, work),
        out_efficiency=out,
        in_efficiency=inwards,
        reduction=Fraction(work.dial_hours),
        held=tuple(held for winding in going.windings if (held := _held(going, work.on, winding)) is not None),
    )


def usual(going: Going) -> Clutch:
    """The friction that such a movement mostly has: a snapped pinion in a watch, a washer behind the wheel in a small
    timepiece with a balance, else a bow spring under the cannon pinion (common practice, no source)."""
    if going.movement.movement.sort == "watch":
        return SnappedPinion(kind="snapped_pinion")
    if going.movement.oscillator.kind == "balance":
        return SpringWasher(kind="spring_washer")
    return BowSpring(kind="bow_spring")


def post_mm(going: Going) -> float:
    """Diameter of the arbor where the cannon pinion rides: the pivot as measured, else as thick as between the plates, unless
    the pinion is too thin for that."""
    work = going.movement.motion_work
    assert work is not None
    measured = going.movement.arbor(work.on).pivot_diameter_mm
    if measured is not None:
        return measured
    arbor = 2 * going.plan.arbor_mm[work.on]
    first = going.plan.sized[_first_mesh(going)].gears.driver
    return min(arbor, 2 * BORE * first.root_mm) if isinstance(work, MinuteAndHour) else arbor


def _first_mesh(going: Going) -> int:
    return next(index for index, one in enumerate(going.plan.sized) if one.pair.key == ("motion_work",))


def _efficiencies(going: Going) -> tuple[float, float | None]:
    """(out to the hour wheel, in from the minute wheel to the cannon pinion): the same teeth, driven from either side."""
    work, friction = going.movement.motion_work, going.movement.friction.teeth
    if not isinstance(work, MinuteAndHour):
        return 1.0, None
    first, second = going.plan.sized[_first_mesh(going) :][:2]
    out = mesh_contact(first.gears, friction).efficiency_at_steady_load
    out *= mesh_contact(second.gears, friction).efficiency_at_steady_load
    backwards = GearPair(first.gears.driven, first.gears.driver)
    return out, mesh_contact(backwards, friction).efficiency_at_steady_load


def _hands(going: Going, work: MinuteAndHour | HourOnly) -> tuple[HandLoad, ...]:
    given: dict[str, Hand | None] = {"hours": work.hour_hand}
    if isinstance(work, MinuteAndHour):
        given = {"minutes": work.minute_hand} | given
    dial = going.movement.dial
    found = []
    for shows, hand in given.items():
        length = USUAL_LENGTH[shows] * dial.diameter_mm / 2 if dial else None
        if hand is not None:
            found.append(HandLoad(shows, hand.mass_g, hand.centre_mm, length, supposed=False))
        elif length is not None:
            thick = 0.006 * length + 0.08  # common practice, no source
            mass_g = MATERIALS["steel"].density_kg_m3 * 1e-6 * MEAN_WIDTH[shows] * length**2 * thick
            found.append(HandLoad(shows, mass_g, CENTROID[shows] * length, length, supposed=True))
    return tuple(found)


def _held(going: Going, arbor: str, winding: Winding) -> Held | None:
    """None where the arbor is not on the power path."""
    flow = winding.power
    steps = {one.arbor: one for one in flow.arbors}
    if arbor not in steps:
        return None
    one = steps[arbor]
    return Held(winding.name, one.torque_nmm - one.pivot_torque_nmm, _back_nmm(going, arbor, winding))


def _back_nmm(going: Going, arbor: str, winding: Winding) -> float:
    """Torque on an arbor that just turns it back, and the source with it: the same flanks touch, every friction the other way.

    Pivot friction is taken as large as when going. A mainspring is wound by it, against its coils' friction.
    """
    friction = going.movement.friction.teeth
    torque = winding.power.source_torque_nmm * _winding_factor(going)
    meshes = {one.pair.driven: one for one in going.plan.sized}
    for flow in winding.power.arbors:
        if flow.arbor in meshes and flow.arbor != going.train.path[0]:
            one = meshes[flow.arbor]
            torque *= mesh_contact(one.gears, -friction).efficiency / float(one.pair.ratio)
        torque += flow.pivot_torque_nmm
        if flow.arbor == arbor:
            break
    return torque


def _winding_factor(going: Going) -> float:
    """How many times the torque that a source gives winds it: a spring's coils rub the other way round."""
    source = going.movement.source
    if isinstance(source, OpenSpring | GoingBarrel) and source.mainspring.housed is not None:
        return source.mainspring.housed.winding_factor
    return 1.0


def wound_nmm(going: Going) -> float:
    """Torque that the last turn of winding takes on the source's own arbor. Raises ValueError where the force is not known.

    Neglected: friction of the barrel arbor in its holes, and the click.
    """
    drive = going.movement.source.drive
    if drive is None:
        raise ValueError("the force of the source is not known")
    return float(drive.torque_nmm(drive.turns)) * _winding_factor(going)


def crown_nmm(going: Going, solved: Setting) -> float:
    """Torque at the crown that slips the friction and lifts the hands at their worst, through minute wheel and setting wheels.

    Neglected: friction of clutch and setting wheels. Raises ValueError without keyless work or minute wheel.
    """
    keyless, work = going.movement.keyless, going.movement.motion_work
    if keyless is None or not isinstance(work, MinuteAndHour) or solved.in_efficiency is None:
        raise ValueError("no crown sets these hands")
    return solved.set_nmm * float(keyless.minute_hand_turns_per_crown_turn(work.cannon_leaves)) / solved.in_efficiency
