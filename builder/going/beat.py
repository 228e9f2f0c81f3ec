"""Drive, escapement and oscillator together: the steady beat at each state of winding, and over the whole going.

Where the file leaves the setting of nut or regulator open, the clock is taken as rated: right when it is half wound, at 20 °C.
What is then left of rate is what winding does to it, and the warmth or cold that it runs in.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from builder.going import beat_path, steady
from builder.going.beat_path import Path
from builder.going.course import Coupling, Course, course, crutch, fork
from builder.going.inertia import DENSITY, ESCAPE_THICKNESS, at_escape_kg_m2
from builder.going.keeps import of_the_oscillator
from builder.going.motion import Motion
from builder.going.periods import Near
from builder.going.plan import Plan
from builder.going.power import PowerFlow, power
from builder.going.steady import Running, Stopped
from builder.going.train import Train
from builder.going.worn import jammed, worn_terms
from builder.ground.constants import ROOM_C, SECONDS_PER_DAY
from builder.movement.model import Movement
from builder.parts.escapement import DetachedLever, Working
from builder.parts.escapement.action import Action
from builder.parts.escapement.solve import action_of
from builder.parts.finding.condition import SOUND, Condition
from builder.parts.oscillator.balance import Balance
from builder.parts.oscillator.counted import Counted
from builder.parts.oscillator.pendulum import Pendulum
from builder.parts.oscillator.terms import Terms
from builder.parts.source.drive import Drive
from builder.parts.source.tired import tired
from builder.parts.source.winding import State, states

Array = NDArray[np.float64]

RATED = "half wound"
"""The state at which a clock whose setting is open keeps time."""

CURVE_POINTS = 9
"""Eighths of the winding: the named states are among them."""

PATH_WITHIN = 5e-5
"""Of pitch, amplitude and reach: what is drawn of wheel and pallets then stays within 1e-4 of the wheel's radius of touching."""

SteadyAt = Callable[[float], Running | Stopped]
"""The steady beat at a torque on the escape wheel (N·mm)."""


@dataclass(frozen=True)
class Winding:
    """One state of winding, solved."""

    name: str
    turns_left: float
    hours_left: float
    power: PowerFlow
    beat: Running | Stopped
    path: Path | None
    """The period in time; None where it stops."""
    rest_rad: float
    """Where the escape wheel stands on a pallet that is midway: how a stopped clock is found."""

    def motion(self, train: Train) -> Motion:
        """What drawings follow in this state."""
        if self.path is None:
            return standing(train, self.rest_rad)
        path = self.path
        return Motion(
            beats_per_hour=train.beats_per_hour,
            times=path.times_s / path.times_s[-1],
            wheel_rad=path.wheel_rad - path.wheel_rad[0],
            solved=True,
            oscillator_rad=path.oscillator_rad,
            pallet_rad=path.pallet_rad,
            wheel_start_rad=float(path.wheel_rad[0]),
        )


@dataclass(frozen=True)
class Curves:
    """Over the whole going, wound first; arrays (K,). Amplitude and rate are nan where the clock stops."""

    hours_gone: Array
    turns_left: Array
    source_nmm: Array
    escape_nmm: Array
    amplitude_rad: Array
    rate_s_per_day: Array


@dataclass(frozen=True)
class Beat:
    """The movement's beat over one winding."""

    windings: tuple[Winding, ...]
    curves: Curves
    terms: Terms
    """The oscillator as it is rated."""
    wheel_kg_m2: float
    """Inertia of escape wheel and train, at the escape arbor."""

    def __getitem__(self, name: str) -> Winding:
        return next(each for each in self.windings if each.name == name)


def standing(train: Train, wheel_rad: float) -> Motion:
    """Nothing moves: two equal frames."""
    still = np.zeros(2)
    return Motion(train.beats_per_hour, np.array([0.0, 1.0]), still, True, still, still, wheel_rad)


def _rest_rad(action: Action) -> float:
    """The wheel's angle where it lies on the pallet with the pallets midway, as they come to rest on the up-swing."""
    piece = next(piece for piece in action.up.pieces if piece.start_rad <= 0.0 <= piece.end_rad)
    return float(piece.wheel_rad(0.0))


def coupling(movement: Movement, plan: Plan) -> Coupling:
    """How pallets and oscillator go together: a crutch, or fork and impulse pin."""
    escapement = movement.escapement
    if not isinstance(escapement, DetachedLever):
        return crutch()
    joint = escapement.fork()
    return fork(joint.theta_rad, joint.slope, joint.lever_half_rad, lever_kg_m2(plan))


def lever_kg_m2(plan: Plan) -> float:
    """Polar moment of the lever with its pallets about the pallet arbor, as thick as the escape wheel, all of steel."""
    assert plan.draft is not None
    total = sum(abs(_polar_mm4(drawn.outline_mm)) for drawn in plan.draft.pallets)
    return total * ESCAPE_THICKNESS * plan.draft.tip_mm * DENSITY["steel"] * 1e-15


def _polar_mm4(outline: Array) -> float:
    """Second polar moment of a polygon (N, 2) about the origin: Green's theorem."""
    x, y = outline.T
    u, v = np.roll(x, -1), np.roll(y, -1)
    return float(np.sum((x * v - u * y) * (x * x + x * u + u * u + y * y + y * v + v * v)) / 12)


def beat(movement: Movement, train: Train, plan: Plan) -> Beat | None:
    """Solve the movement's beat; None where the force, the escapement or the oscillator is only counted.

    Raises Refused with what source, escapement and oscillator find impossible.
    """
    works = workings(movement, train, plan)
    return None if works is None else solved(works)


@dataclass(frozen=True)
class Workings:
    """All that a beat is solved from, in one condition."""

    movement: Movement
    train: Train
    plan: Plan
    condition: Condition
    drive: Drive
    course: Course
    terms: Terms
    wheel_kg_m2: float
    rest_rad: float
    stands: Stopped | None
    """Why it cannot go at all, where the train itself is held."""
    near: Near | None
    """A beat that is not far from its own, where one is known."""

    def flow(self, turns_left: float) -> PowerFlow:
        """The train in force with so many turns left."""
        torque = float(self.drive.torque_nmm(turns_left))
        return power(self.movement, self.train, self.plan, torque, turns_left, self.condition)

    def steady_at(self, torque_nmm: float, near: Near | None = None) -> Running | Stopped:
        """The steady beat at a torque on the escape wheel, sought near another where one is known."""
        return self.stands or steady.solve(self.terms, self.course, torque_nmm, self.wheel_kg_m2, near or self.near)

    def following(self) -> SteadyAt:
        """The same for one torque after the other, each sought near the one before."""
        near: Near | None = None

        @cache  # a weight's torque is one and the same all the way down; the states lie on the curves
        def found(torque_nmm: float) -> Running | Stopped:
            nonlocal near
            beat = self.steady_at(torque_nmm, near)
            near = beat.near if isinstance(beat, Running) else None
            return beat

        return found


def workings(
    movement: Movement, train: Train, plan: Plan, condition: Condition = SOUND, sound: Beat | None = None
) -> Workings | None:
    """What a beat is solved from; None as `beat`. For a condition that is not sound, `plan` is the worn one (worn.py) and
    `sound` the beat when sound. Raises Refused."""
    escapement, oscillator, drive = movement.escapement, movement.oscillator, movement.source.drive
    if drive is None or plan.draft is None or not isinstance(escapement, Working) or isinstance(oscillator, Counted):
        return None
    action = action_of(plan.draft, escapement.friction * condition.pallet_friction)
    on, rest = course(action, coupling(movement, plan)), _rest_rad(action)
    wheel = at_escape_kg_m2(movement, train, plan)
    beats = float(train.beats_per_hour)
    drive = tired(drive, condition.torque_part, condition.torque_less_nmm, condition.lost_turns)
    if sound is None:
        turns = _turns(drive, RATED)
        half = power(movement, train, plan, float(drive.torque_nmm(turns)), turns).escape_torque_nmm
        (terms, near), stands = _rated(oscillator, beats, on, half, wheel), None
    else:
        terms = worn_terms(oscillator, sound.terms, beats, condition)
        near = next((each.beat.near for each in sound.windings if isinstance(each.beat, Running)), None)
        stands = _held(movement, train, plan, condition)
    return Workings(movement, train, plan, condition, drive, on, terms, wheel, rest, stands, near)


def solved(works: Workings) -> Beat:
    """The beat at each state of winding, and over the whole going."""
    steady_at = works.following()
    hours_per_turn = float(works.train[works.train.path[0]].hours_per_turn)
    curves = _curves(works, steady_at, hours_per_turn)  # first, from one state to the next
    return Beat(_windings(works, steady_at, hours_per_turn), curves, works.terms, works.wheel_kg_m2)


def windings(works: Workings) -> tuple[Winding, ...]:
    """The beat at each state of winding alone."""
    return _windings(works, works.following(), float(works.train[works.train.path[0]].hours_per_turn))


def _windings(works: Workings, steady_at: SteadyAt, hours_per_turn: float) -> tuple[Winding, ...]:
    return tuple(
        _winding(s, hours_per_turn, works.flow(s.turns_left), steady_at, works.rest_rad) for s in states(works.drive.turns)
    )


def _turns(drive: Drive, name: str) -> float:
    return next(state.turns_left for state in states(drive.turns) if state.name == name)


def _held(movement: Movement, train: Train, plan: Plan, condition: Condition) -> Stopped | None:
    """Why the train itself is held, where worn holes have brought two of its wheels too near."""
    one = jammed(plan, train, movement, condition)
    if one is None:
        return None
    text = (
        f"The teeth of {one.pair.driver} and {one.pair.driven} jam: their centres stand {-one.too_far_mm:.2f} mm too near each "
        "other, and there is no play left between the teeth."
    )
    if one.too_far_mm >= 0.0:
        text = f"The teeth of {one.pair.driver} and {one.pair.driven} jam: no torque gets through them at some angle."
    return Stopped("the train jams", text, 0.0, 0.0)


def _rated(
    oscillator: Pendulum | Balance, beats: float, on: Course, torque_nmm: float, wheel: float
) -> tuple[Terms, Near | None]:
    """The oscillator's terms; where the setting is open, nut or regulator stand where the running clock keeps time at 20 °C.

    With them a beat that is near its own, where one was solved."""
    if _setting_is_given(oscillator):
        return oscillator.terms(beats), None
    at_room = oscillator.model_copy(update={"temperature_c": ROOM_C})
    terms = at_room.terms(beats)
    small_s = 7200.0 / beats
    near: Near | None = None
    for _ in range(3):  # each round leaves about 1e-4 of the error before
        running = steady.solve(terms, on, torque_nmm, wheel, near)
        if isinstance(running, Stopped):
            break
        near = running.near
        small_s *= 1 + running.rate_s_per_day / SECONDS_PER_DAY
        with of_the_oscillator():
            terms = at_room.terms(beats, small_period_s=small_s)
    if oscillator.temperature_c == ROOM_C:
        return terms, near
    with of_the_oscillator():
        return oscillator.terms(beats, small_period_s=small_s), near


def _setting_is_given(oscillator: Pendulum | Balance) -> bool:
    """Whether the file's dimensions fix the period by themselves."""
    if isinstance(oscillator, Pendulum):
        return oscillator.bob.centre_mm is not None and oscillator.rating_nut is None
    return not oscillator.hairspring.unknown()


def _winding(state: State, hours_per_turn: float, flow: PowerFlow, steady_at: SteadyAt, rest_rad: float) -> Winding:
    solved = steady_at(flow.escape_torque_nmm)
    path = beat_path.path(solved, PATH_WITHIN) if isinstance(solved, Running) else None
    return Winding(state.name, state.turns_left, state.turns_left * hours_per_turn, flow, solved, path, rest_rad)


def _curves(works: Workings, steady_at: SteadyAt, hours_per_turn: float) -> Curves:
    drive = works.drive
    left = drive.turns * np.linspace(1.0, 0.0, CURVE_POINTS)
    source = drive.torque_nmm(left)
    escape = np.array([works.flow(float(turns)).escape_torque_nmm for turns in left])
    amplitude, rate = np.full(len(left), np.nan), np.full(len(left), np.nan)
    for k, torque in enumerate(escape):
        solved = steady_at(float(torque))
        if isinstance(solved, Running):
            amplitude[k], rate[k] = solved.amplitude_rad, solved.rate_s_per_day
    return Curves((drive.turns - left) * hours_per_turn, left, source, escape, amplitude, rate)
