"""A repair computed: the movement with its faults and after the repair as two solutions, and what each fault costs alone.

The model file describes the sound movement; faults are laid on top of it. What several do together is solved together, never
added. Nut and regulator stand where they stand when it is sound, so that a fault shows in the rate too.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache, cached_property
from typing import Literal

from builder.going.beat import SteadyAt, Workings, solved, workings
from builder.going.budget import Budget, budget
from builder.going.felt import Passing, Slips, felt, passings, slips
from builder.going.going import Going
from builder.going.power import PowerFlow
from builder.going.repair_rules import refuse
from builder.going.setting import Setting, setting, usual
from builder.going.steady import Running, Stopped
from builder.going.worn import worn_plan
from builder.ground.faults import Complaint, FaultsFound, Key, Refused
from builder.movement.repair import Job, Reading, Repair, seen
from builder.parts.finding import SOUND, Condition, Found
from builder.parts.source.winding import states

Side = Literal["before", "after"]


@dataclass(frozen=True)
class State:
    """One state of winding in one condition."""

    name: str
    turns_left: float
    hours_left: float
    source_nmm: float
    escape_nmm: float
    """Mean torque on the escape wheel."""
    weakest_nmm: float
    """The same where every mesh comes to the worst place of its pitch at once, as far as the oscillator feels it."""
    beat: Running | Stopped
    weakest: Running | Stopped
    """The beat that this least torque would keep up."""
    budget: Budget
    critical_nmm: float | None
    """The least torque on the escape wheel that keeps it going; None where it stops."""
    slips: Slips
    """What teeth do that go by without driving."""

    @property
    def amplitude_deg(self) -> float | None:
        """None where it stops; as the next two."""
        return self.beat.amplitude_deg if isinstance(self.beat, Running) else None

    @property
    def rate_s_per_day(self) -> float | None:
        """Of the beat, as an instrument hears it."""
        return self.beat.rate_s_per_day if isinstance(self.beat, Running) else None

    @property
    def slips_s_per_day(self) -> float:
        """What the hands gain beside that, by teeth that go by without driving."""
        return self.slips.hands_s_per_day

    @property
    def beat_error_ms(self) -> float | None:
        return self.beat.beat_error_ms if isinstance(self.beat, Running) else None

    @property
    def reserve(self) -> float | None:
        """How many times the least torque that keeps it going the escape wheel gets at the worst place; None where it stops."""
        return None if self.critical_nmm is None else self.weakest_nmm / self.critical_nmm

    @property
    def stops(self) -> Stopped | None:
        """Why it stops: always, or when all meshes stand at their worst; None where it goes through."""
        return next((beat for beat in (self.beat, self.weakest) if isinstance(beat, Stopped)), None)

    @property
    def stops_now_and_then(self) -> bool:
        """Whether it goes, until the train comes to a bad place."""
        return isinstance(self.beat, Running) and isinstance(self.weakest, Stopped)


@dataclass(frozen=True)
class Alone:
    """One finding as if it were the only one."""

    index: int
    """In the repair's findings."""
    finding: Found
    windings: tuple[tuple[str, Running | Stopped], ...]
    """(state, beat under the mean torque), wound and nearly down."""
    weakest: Running | Stopped
    """The beat where force is least: nearly down, every mesh at its worst."""
    costs_deg: float
    """Amplitude that it costs there against the sound movement; all of it where it stops."""
    passings: tuple[Passing, ...]
    """What a hurt tooth does."""
    slips: Slips
    """What the hands and the source do with it."""

    def beat(self, name: str) -> Running | Stopped:
        """The beat in one state."""
        return dict(self.windings)[name]


@dataclass(frozen=True)
class Read:
    """A reading beside what is computed for the same side and state of winding."""

    reading: Reading
    amplitude_deg: float | None
    rate_s_per_day: float | None
    beat_error_ms: float | None
    goes: bool
    """As computed."""

    @property
    def off(self) -> dict[str, float]:
        """Measured less computed, by the reading's keys, for what there is both of."""
        found = {}
        for key in ("amplitude_deg", "rate_s_per_day", "beat_error_ms"):
            measured, computed = getattr(self.reading, key), getattr(self, key)
            if measured is not None and computed is not None:
                found[key] = measured - computed
        return found


@dataclass(frozen=True)
class Repaired:
    """One repair, solved."""

    job: Job
    before: Going
    """With its faults: every drawing can be made of it."""
    after: Going
    """After the repair: sound, but for what was left."""
    sound: Going
    states_before: tuple[State, ...]
    """Wound, half wound, nearly down; empty where no beat can be computed. As the next."""
    states_after: tuple[State, ...]
    alone: tuple[Alone, ...]
    """Each finding that is computed, as if it were the only one."""
    hands_before: Setting | None
    hands_after: Setting | None

    @property
    def repair(self) -> Repair:
        return self.job.repair

    @cached_property
    def readings(self) -> tuple[Read, ...]:
        """Measured beside computed, in the file's order."""
        found = []
        for reading in self.repair.readings:
            here = self.state(reading.when, reading.winding)
            if here is not None:
                goes = here.stops is None
                found.append(Read(reading, here.amplitude_deg, here.rate_s_per_day, here.beat_error_ms, goes))
        return tuple(found)

    def state(self, side: Side, winding: str) -> State | None:
        """One solved state; None where no beat can be computed."""
        of = self.states_before if side == "before" else self.states_after
        return next((state for state in of if state.name == winding), None)

    @property
    def costliest(self) -> Alone | None:
        """The finding that alone costs most amplitude where force is least; None where none costs any."""
        most = max(self.alone, key=lambda one: (one.costs_deg, -one.index), default=None)
        return most if most is not None and most.costs_deg > 0.0 else None


def compared(going: Going, job: Job) -> Repaired:
    """Solve a repair of a movement that `going` has solved when sound.

    Raises FaultsFound with what a finding makes impossible, at its place in the repair file.
    """
    findings = job.repair.findings
    try:
        refuse(going, job.repair)
        works = works_of(going, SOUND)
        least = None if works is None else _weakest(works, works.following())
        alone = tuple(found for index, each in enumerate(findings) if (found := _alone(going, index, each, least)) is not None)
        before, works_before = _changed(going, [*findings])
        after, works_after = _changed(going, [each for each in findings if each.left])
    except Refused as refused:
        raise FaultsFound(job.file.located(refused.complaints)) from None
    hands = setting(before), setting(after)
    return Repaired(job, before, after, going, _states(before, works_before), _states(after, works_after), alone, *hands)


def condition(going: Going, findings: list[Found]) -> Condition:
    """All of the findings on the sound movement."""
    about = seen(going.movement)
    now = SOUND
    for finding in findings:
        now = finding.onto(now, about)
    return now


def works_of(going: Going, now: Condition, key: Key = ("findings",)) -> Workings | None:
    """What the beat is solved from in a condition. Raises Refused with keys below `key`."""
    if going.beat is None:
        return None
    try:
        plan = worn_plan(going.movement, going.train, going.plan, going.elevation, now)
        return workings(going.movement, going.train, plan, now, going.beat)
    except Refused as refused:
        raise Refused([Complaint((*key, *c.key), c.value, c.allowed, c.advice) for c in refused.complaints]) from None


def _passings(works: Workings) -> tuple[Passing, ...]:
    return passings(works.movement, works.train, works.plan, works.condition)


def _at_worst(works: Workings, flow: PowerFlow, passing: tuple[Passing, ...]) -> tuple[float, Stopped | None]:
    """Torque on the escape wheel where every mesh is at its worst, and why it does not get past such a place."""
    jam = next((each for each in passing if each.carries_power and each.passage.jams), None)
    torque = flow.escape_torque_nmm * felt(works.train, works.plan, flow, works.terms, passing)
    if jam is None:
        return torque, None
    pair = jam.mesh.pair
    text = f"A tooth of {jam.hurt.arbor} does not pass between {pair.driver} and {pair.driven}: there is no room for it."
    return torque, Stopped("the train jams", text, 0.0, 0.0)


def _weakest(works: Workings, steady_at: SteadyAt) -> Running | Stopped:
    """The beat where force is least."""
    last = states(works.drive.turns)[-1]
    torque, jam = _at_worst(works, works.flow(last.turns_left), _passings(works))
    return jam or steady_at(torque)


def _alone(going: Going, index: int, finding: Found, sound: Running | Stopped | None) -> Alone | None:
    """A finding as the only one; None for one that changes nothing of the beat, or where no beat is solved (`sound` is None)."""
    now = condition(going, [finding])
    if sound is None or replace(now, slip_nmm=None).sound or (works := works_of(going, now, ("findings", index))) is None:
        return None
    steady_at = works.following()
    wound, *_, last = states(works.drive.turns)
    windings = [(state.name, steady_at(works.flow(state.turns_left).escape_torque_nmm)) for state in (wound, last)]
    weakest = _weakest(works, steady_at)
    was, is_now = (each.amplitude_deg if isinstance(each, Running) else 0.0 for each in (sound, weakest))
    passing = _passings(works)
    return Alone(index, finding, tuple(windings), weakest, was - is_now, passing, slips(works.movement, works.train, passing))


def _changed(going: Going, findings: list[Found]) -> tuple[Going, Workings | None]:
    """The movement with these findings, all together, and what its beat is solved from."""
    now = condition(going, findings)
    works = works_of(going, now)
    work, movement = going.movement.motion_work, going.movement
    if work is not None and now.slip_nmm is not None:
        clutch = (work.clutch or usual(going)).model_copy(update={"torque_nmm": now.slip_nmm})  # type: ignore[attr-defined]
        movement = movement.model_copy(update={"motion_work": work.model_copy(update={"clutch": clutch})})
        going = replace(going, movement=movement)
    if replace(now, slip_nmm=None).sound or works is None:
        return going, works
    beating = solved(works)
    first = beating.windings[0]
    return replace(going, plan=works.plan, beat=beating, winding=first, motion=first.motion(going.train)), works


def _states(going: Going, works: Workings | None) -> tuple[State, ...]:
    if works is None:
        return ()
    passing = _passings(works)
    slipped = slips(works.movement, works.train, passing)
    going_on = [winding.beat for winding in going.windings if isinstance(winding.beat, Running)]
    critical = going_on[0].critical_nmm if going_on else None  # of the oscillator and its pallets, whatever drives them
    steady_at = cache(works.steady_at)  # a weight's torque is one and the same in every state
    listed = []
    for winding in going.windings:
        flow, beat = winding.power, winding.beat
        least, jam = _at_worst(works, flow, passing)
        near = beat.near if isinstance(beat, Running) else None
        state = State(
            name=winding.name,
            turns_left=winding.turns_left,
            hours_left=winding.hours_left / float(slipped.source),
            source_nmm=flow.source_torque_nmm,
            escape_nmm=flow.escape_torque_nmm,
            weakest_nmm=least,
            beat=beat,
            weakest=jam or steady_at(least, near),
            budget=budget(going.train, winding),
            critical_nmm=critical if isinstance(beat, Running) else None,
            slips=slipped,
        )
        listed.append(state)
    return tuple(listed)
