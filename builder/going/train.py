"""Exact kinematics: turns per hour of every arbor as a Fraction, from the counts alone.

The hands decide: an arbor that carries a hand must turn at that hand's rate, and the beat follows from the counts between
it and the escape wheel. A movement without hands takes its rate from the stated beat.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from builder.ground import words
from builder.ground.faults import Complaint, Finding, Refused
from builder.movement.model import Movement
from builder.movement.rules import complaints
from builder.parts.motion_work import CANNON, HOUR, MINUTE, MOTION_TITLES, HourOnly, MinuteAndHour
from builder.parts.source import Source

Role = Literal["train", "branch", "motion work"]

HAND_NAMES = {"seconds": "seconds", "minutes": "minute", "hours": "hour"}
HAND_TURNS_PER_HOUR = {"seconds": Fraction(60), "minutes": Fraction(1)}
RATE_TOLERANCE = Fraction(1, 200)
"""A stated beat further than this (1/2 per cent, 7 min a day) from what the counts ask is a fault: rating cannot mend it."""

BEATS_PER_HOUR = (100, 100_000)
"""What counts may come to: the range of a stated beat. Turret clocks beat 1800 times an hour, fast watches 36 000."""


@dataclass(frozen=True)
class TurningArbor:
    """One arbor in motion. `turns_per_hour` is positive counter-clockwise as seen from the front (the dial's side)."""

    id: str
    title: str
    role: Role
    turns_per_hour: Fraction
    driven_by: int | None
    """Index of the mesh that drives it, None for the source's arbor and for a cannon pinion (it rides on its arbor)."""

    @property
    def hours_per_turn(self) -> Fraction:
        return 1 / abs(self.turns_per_hour)

    @property
    def clockwise(self) -> bool:
        return self.turns_per_hour < 0

    @property
    def sense(self) -> int:
        """+1 where it turns counter-clockwise, seen from the front; else −1."""
        return -1 if self.clockwise else 1


@dataclass(frozen=True)
class Pair:
    """One mesh: a driver's count and a driven count, and which table of the file they come from."""

    driver: str
    driven: str
    driver_part: str
    driven_part: str
    driver_count: int
    driven_count: int
    key: tuple[str | int, ...]

    @property
    def ratio(self) -> Fraction:
        """Turns of the driven arbor for one of the driver."""
        return Fraction(self.driver_count, self.driven_count)


@dataclass(frozen=True)
class Train:
    """All arbors of a movement with their exact rates, from the source up to the escape arbor and down to the hands."""

    arbors: tuple[TurningArbor, ...]
    pairs: tuple[Pair, ...]
    path: tuple[str, ...]
    """Ids from the source's arbor to the escape arbor."""
    escape_teeth: int
    beats_per_tooth: int
    beats_per_hour: Fraction
    source_turns: Fraction | None
    """Turns of the source's arbor in one winding; None where the file does not say and no dimensions give it."""
    hands: tuple[tuple[str, str], ...]
    """(what it shows, id of the arbor that carries it)."""
    findings: tuple[Finding, ...]

    def __getitem__(self, name: str) -> TurningArbor:
        return next(arbor for arbor in self.arbors if arbor.id == name)

    @property
    def beat_s(self) -> Fraction:
        return 3600 / self.beats_per_hour

    @property
    def path_pairs(self) -> tuple[Pair, ...]:
        """The meshes that carry the power, from the source up."""
        steps = set(zip(self.path, self.path[1:], strict=False))
        return tuple(pair for pair in self.pairs if (pair.driver, pair.driven) in steps)

    @property
    def whole_ratio(self) -> Fraction:
        """Turns of the escape wheel for one of the source's arbor."""
        ratio = Fraction(1)
        for pair in self.path_pairs:
            ratio *= pair.ratio
        return ratio

    @property
    def teeth_per_minute(self) -> Fraction:
        """Teeth of the escape wheel that pass in a minute."""
        return self.beats_per_hour / self.beats_per_tooth / 60

    @property
    def going_hours(self) -> Fraction | None:
        """How long one winding lasts: turns of the source's arbor times its hours a turn."""
        if self.source_turns is None:
            return None
        return self.source_turns * self[self.path[0]].hours_per_turn


def exact(value: float | int) -> Fraction:
    """The decimal as it was typed, not the binary float nearest to it."""
    return Fraction(str(value))


def train(movement: Movement) -> Train:
    """Solve the counts of a movement. Raises Refused with every broken rule."""
    broken = complaints(movement)
    if broken:
        raise Refused(broken)
    pairs = _pairs(movement)
    relative = _relative(movement, pairs)
    roles = _roles(movement, pairs)
    hands = _hands(movement)
    escape = movement.escapement
    speed, beats, findings = _rate(movement, relative, hands)
    index_of = {pair.driven: index for index, pair in enumerate(pairs)}
    arbors = tuple(
        TurningArbor(name, _title(movement, name), roles[name], relative[name] * speed, index_of.get(name)) for name in roles
    )
    return Train(
        arbors=arbors,
        pairs=pairs,
        path=_path(movement, pairs),
        escape_teeth=escape.teeth,
        beats_per_tooth=escape.beats_per_tooth,
        beats_per_hour=beats,
        source_turns=_source_turns(movement.source),
        hands=hands,
        findings=tuple(findings),
    )


def _source_turns(source: Source) -> Fraction | None:
    """As counted, exactly; to a hundredth of a turn where they follow from sizes."""
    if source.usable_turns is None:
        return None
    return exact(source.usable_turns if source.usable_turns == source.turns else round(source.usable_turns, 2))


def _pairs(movement: Movement) -> tuple[Pair, ...]:
    pairs = []
    for index, mesh in enumerate(movement.meshes):
        driver = movement.toothed(mesh.driver, mesh.driver_part)
        driven = movement.toothed(mesh.driven, mesh.driven_part)
        assert driver is not None and driven is not None, "the rules have made sure"
        pairs.append(
            Pair(mesh.driver, mesh.driven, mesh.driver_part, mesh.driven_part, driver.count, driven.count, ("meshes", index))
        )
    work = movement.motion_work
    key = ("motion_work",)
    if isinstance(work, MinuteAndHour):
        pairs.append(Pair(CANNON, MINUTE, "cannon", "wheel", work.cannon_leaves, work.minute_wheel_teeth, key))
        pairs.append(Pair(MINUTE, HOUR, "pinion", "wheel", work.minute_pinion_leaves, work.hour_wheel_teeth, key))
    elif isinstance(work, HourOnly):
        pairs.append(Pair(work.on, HOUR, "report", "wheel", work.pinion_leaves, work.hour_wheel_teeth, key))
    # Power flows from the source outwards: order the pairs so that each driver stands before what it drives.
    ordered: list[Pair] = []
    reached = {movement.source.arbor} | ({CANNON} if isinstance(work, MinuteAndHour) else set())
    waiting = pairs
    while waiting:
        moving = [pair for pair in waiting if pair.driver in reached]
        ordered += moving
        reached |= {pair.driven for pair in moving}
        waiting = [pair for pair in waiting if pair not in moving]
    work_last = [pair for pair in ordered if pair.key != key] + [pair for pair in ordered if pair.key == key]
    return tuple(work_last)


def _relative(movement: Movement, pairs: tuple[Pair, ...]) -> dict[str, Fraction]:
    """Turns of each arbor for one turn of the source's, signed: each mesh turns the sense round."""
    turns = {movement.source.arbor: Fraction(1)}
    for pair in pairs:
        if pair.driver == CANNON and movement.motion_work:  # the cannon pinion rides on its arbor
            turns[CANNON] = turns[movement.motion_work.on]
        turns[pair.driven] = -turns[pair.driver] * pair.ratio
    return turns


def _roles(movement: Movement, pairs: tuple[Pair, ...]) -> dict[str, Role]:
    path = _path(movement, pairs)
    roles: dict[str, Role] = dict.fromkeys(path, "train")
    for pair in pairs:
        if pair.key[0] == "meshes":
            roles.setdefault(pair.driven, "branch")
    work = movement.motion_work
    if isinstance(work, MinuteAndHour):
        roles |= {CANNON: "motion work", MINUTE: "motion work", HOUR: "motion work"}
    elif isinstance(work, HourOnly):
        roles[HOUR] = "motion work"
    return roles


def _path(movement: Movement, pairs: tuple[Pair, ...]) -> tuple[str, ...]:
    driver_of = {pair.driven: pair.driver for pair in pairs if pair.key[0] == "meshes"}
    path = [movement.escapement.arbor]
    while path[-1] != movement.source.arbor:
        path.append(driver_of[path[-1]])
    return tuple(reversed(path))


def _title(movement: Movement, name: str) -> str:
    return MOTION_TITLES[name] if name in MOTION_TITLES else movement.arbor(name).title


def _hands(movement: Movement) -> tuple[tuple[str, str], ...]:
    hands = [(arbor.hand, arbor.id) for arbor in movement.arbors if arbor.hand]
    work = movement.motion_work
    if isinstance(work, MinuteAndHour):
        hands += [("minutes", CANNON), ("hours", HOUR)]
    elif isinstance(work, HourOnly):
        hands.append(("hours", HOUR))
    return tuple(hands)


def _rate(
    movement: Movement, relative: dict[str, Fraction], hands: tuple[tuple[str, str], ...]
) -> tuple[Fraction, Fraction, list[Finding]]:
    """Turns per hour of the source's arbor (signed), beats per hour, and findings.

    Raises Refused where two hands contradict each other, a hand turns backwards, the counts come to no beat that a
    clock can have, or the stated beat is too far off.
    """
    work = movement.motion_work
    dial_hours = work.dial_hours if work else 12
    wanted = HAND_TURNS_PER_HOUR | {"hours": Fraction(1, dial_hours)}
    escape = movement.escapement
    beats_per_escape_turn = escape.teeth * escape.beats_per_tooth
    stated = movement.oscillator.beats_per_hour
    order = sorted(hands, key=lambda hand: ("minutes", "hours", "seconds").index(hand[0]))
    if not order:
        if stated is None:
            advice = "No hand fixes the rate, so the beat must be given: count the beats in a minute and multiply by 60."
            raise Refused([Complaint(("oscillator", "beats_per_hour"), "missing", "a number of beats an hour", advice)])
        beats = exact(stated)
        size = beats / beats_per_escape_turn / abs(relative[escape.arbor])
        return -size, beats, []
    shows, carrier = order[0]
    speed = -wanted[shows] / relative[carrier]  # clockwise is negative
    found = []
    for shows, carrier in order[1:]:
        turns = relative[carrier] * speed
        if -turns != wanted[shows]:
            found.append(_hand_complaint(movement, shows, carrier, turns, wanted[shows], order[0]))
    beats = abs(relative[escape.arbor] * speed) * beats_per_escape_turn
    least, most = BEATS_PER_HOUR
    if not least < beats <= most:
        advice = f"The counts ask for {words.whole_and_part(beats)} beats an hour. Count teeth and leaves again, or the hands."
        allowed = f"a train for {least} to {words.grouped(str(most))} beats an hour"
        found.append(Complaint(("escapement", "teeth"), str(escape.teeth), allowed, advice))
    findings = []
    if stated is not None and exact(stated) != beats:
        off = exact(stated) / beats - 1
        seconds = words.figure(abs(float(off)) * 86400, 3)
        way = "gain" if off > 0 else "lose"
        asked, given = words.whole_and_part(beats), words.whole_and_part(exact(stated))
        said = f"the counts ask for {asked} beats an hour; at {given} the hands {way} {seconds} s a day"
        if abs(off) > RATE_TOLERANCE:
            advice = f"{words.capital(said)}. Count teeth and leaves again, or the beat."
            found.append(Complaint(("oscillator", "beats_per_hour"), str(stated), f"{asked} beats an hour", advice))
        else:
            findings.append(Finding(("oscillator", "beats_per_hour"), said))
    if found:
        elsewhere = _hands_elsewhere(movement, relative, stated)
        raise Refused([elsewhere] if elsewhere else found)
    return speed, beats, findings


def _hands_elsewhere(movement: Movement, relative: dict[str, Fraction], stated: float | None) -> Complaint | None:
    """That the hands' gearing is said to be on one arbor where, by the beat or the seconds hand, another turns once an hour."""
    work, escape = movement.motion_work, movement.escapement
    seconds = next((arbor.id for arbor in movement.arbors if arbor.hand == "seconds"), None)
    if not isinstance(work, MinuteAndHour) or (stated is None and seconds is None):
        return None
    if stated is not None:
        by, turns = (
            f"{words.whole_and_part(exact(stated))} beats an hour",
            exact(stated) / (escape.teeth * escape.beats_per_tooth),
        )
        turns /= abs(relative[escape.arbor])
    else:
        by, turns = "the seconds hand", HAND_TURNS_PER_HOUR["seconds"] / abs(relative[str(seconds)])
    once = [arbor.id for arbor in movement.arbors if abs(abs(relative[arbor.id]) * turns - 1) <= RATE_TOLERANCE]
    if len(once) != 1 or once[0] == work.on:
        return None
    own = words.period(1 / (abs(relative[work.on]) * turns))
    advice = (
        f"By {by} the {once[0]} arbor does, and {work.on} turns once in {own}. Name {once[0]}, or count teeth and leaves again."
    )
    return Complaint(("motion_work", "on"), work.on, "the arbor that turns once an hour", advice)


def _hand_complaint(
    movement: Movement, shows: str, carrier: str, turns: Fraction, wanted: Fraction, first: tuple[str, str]
) -> Complaint:
    index = next((i for i, arbor in enumerate(movement.arbors) if arbor.id == carrier), None)
    key = ("motion_work",) if index is None else ("arbors", index, "hand")
    stands = f"{HAND_NAMES[shows]} hand" if index is None else shows
    measure = f"one turn clockwise in {words.period(1 / wanted)}"
    way = "clockwise" if turns < 0 else "counter-clockwise"
    advice = (
        f"While the {HAND_NAMES[first[0]]} hand keeps time, this arbor makes one turn {way} in {words.period(1 / abs(turns))}. "
        "Count the wheels between the two again, or leave this hand out."
    )
    return Complaint(key, stands, measure, advice)
