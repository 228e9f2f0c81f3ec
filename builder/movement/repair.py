"""The repair file: what was found on one object, what was done, what it read before and after; checked against its movement.

It says nothing of whose the object is: there are no keys for that, and unknown keys are refused.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from math import degrees
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal, Union

from pydantic import Field

from builder.ground.faults import Complaint, Fault, FaultsFound, Key
from builder.ground.part import Listed, Name, Part
from builder.movement.model import Movement
from builder.movement.pictures import Unfit, stripped
from builder.movement.reading import Opened, opened
from builder.movement.textfile import shown
from builder.parts.finding import FINDINGS, Found, Seen
from builder.parts.finding.found import Text

if TYPE_CHECKING:
    Finding = Found
else:
    Finding = Annotated[Union[tuple(FINDINGS.values())], Field(discriminator="kind")]  # noqa: UP007

Day = Annotated[str, Field(pattern=r"^\d{4}-\d{2}-\d{2}$", title="a day in quotes, year-month-day, as 2026-03-14")]
Anchor = Annotated[str, Field(pattern=r"^[a-z][a-z0-9-]{0,60}$", title="the anchor of a part")]
Position = Literal["dial up", "dial down", "crown up", "crown down", "crown left", "crown right", "upright"]


class Thing(Part):
    """What was repaired, and not whose it is."""

    name: Name
    """What it is called on the pages."""
    kind: Name
    """What it is: shelf timepiece, longcase clock, pocket watch."""


class Work(Part):
    """One thing that was done."""

    did: Text
    """What was done, in a sentence."""
    on: Anchor = "movement"
    """The part that it was done to, by the anchor that the page of parts gives it."""


class Replaced(Part):
    """One part that was replaced."""

    part: Name
    """The part."""
    by: Text
    """What it was replaced by, and why."""
    on: Anchor = "movement"
    """The same part by the anchor that the page of parts gives it."""


class Reading(Part):
    """What was measured at one time, in one state and position."""

    when: Literal["before", "after"]
    """Before the repair or after it."""
    winding: Literal["wound", "half wound", "nearly down"] = "wound"
    """State of winding at which it was taken."""
    position: Position | None = None
    """Position of a watch or timepiece; left out where it has only one."""
    goes: bool = True
    """false where it stood still: then nothing else is measured."""
    amplitude_deg: Annotated[float, Field(gt=0, lt=360)] | None = None
    """Amplitude: from rest to one end of the swing, degrees."""
    rate_s_per_day: Annotated[float, Field(ge=-43200, le=43200)] | None = None
    """Rate, seconds a day; + gains."""
    beat_error_ms: Annotated[float, Field(ge=0, le=1000)] | None = None
    """Beat error: half the difference of two beats in a row, milliseconds."""
    beats: Annotated[str, Field(pattern=r"^[\w-]+(/[\w-]+)*\.csv$", title="a file of beats, as beats/before.csv")] | None = None
    """Beats taken down with an instrument: a CSV in the folder repairs or below, the time of each beat in seconds."""


class Repair(Part):
    """One repair, as its file models/<movement>/repairs/<day>.toml describes it."""

    title: Name
    """What the customer reads over it."""
    summary: Text | None = None
    """One sentence for the customer."""
    advice: Annotated[Listed[Text], Field(max_length=20)] = ()
    """Advice on care, a sentence each."""
    next_service: Day | None = None
    """When it should be looked at again."""
    object: Thing
    """What was repaired."""
    findings: Annotated[Listed[Finding], Field(min_length=1, max_length=40)]
    """What was found."""
    work: Annotated[Listed[Work], Field(max_length=60)] = ()
    """What was done."""
    replaced: Annotated[Listed[Replaced], Field(max_length=60)] = ()
    """What was replaced."""
    readings: Annotated[Listed[Reading], Field(max_length=60)] = ()
    """What was measured, before and after."""


@dataclass(frozen=True)
class Job:
    """A repair read and found right, with what its file's name and folder add."""

    day: str
    """As 2026-03-14."""
    file: Opened[Repair]
    pictures: dict[str, bytes]
    """By the path that the findings give: the bytes to publish, without location data."""

    @property
    def repair(self) -> Repair:
        return self.file.model


def seen(movement: Movement) -> Seen:
    """The movement as findings see it."""
    toothed = {
        arbor.id: (*(["wheel"] if arbor.wheel else []), *(["pinion"] if arbor.pinion else []), *arbor.more)
        for arbor in movement.arbors
    }
    meshes = tuple((mesh.driver, mesh.driver_part, mesh.driven, mesh.driven_part) for mesh in movement.meshes)
    driver_of = {mesh.driven: mesh.driver for mesh in movement.meshes}
    path = [movement.escapement.arbor]
    while path[-1] in driver_of and len(path) <= len(movement.arbors):
        path.append(driver_of[path[-1]])
    oscillator, escapement, work = movement.oscillator, movement.escapement, movement.motion_work
    return Seen(toothed, meshes, tuple(reversed(path)), movement.source, escapement, oscillator, work)


def repairs(models: Path, slug: str, movement: Movement) -> tuple[Job, ...]:
    """All repairs of a movement, the oldest first. Raises FaultsFound with every fault of every file."""
    jobs: list[Job] = []
    faults: list[Fault] = []
    folder = models / slug / "repairs"
    for path in sorted(folder.glob("*.toml")) if folder.is_dir() else []:
        try:
            jobs.append(job(path, models, movement))
        except FaultsFound as found:
            faults += found.faults
    if faults:
        raise FaultsFound(faults)
    return tuple(jobs)


def job(path: Path, models: Path, movement: Movement) -> Job:
    """One repair, checked against its movement. Raises FaultsFound."""
    pictures: dict[str, bytes] = {}
    faults: list[Fault] = []
    if not _is_day(path.stem):
        allowed, advice = "a day, year-month-day: 2026-03-14.toml", "Name the file after the day of the repair."
        faults.append(Fault(shown(path, models), 1, 1, "", path.name, allowed, advice))

    def rules(repair: Repair) -> list[Complaint]:
        return [*complaints(repair, movement, path.stem), *_pictures(repair, path.parent, pictures)]

    try:
        file = opened(path, Repair, models, rules)
    except FaultsFound as found:
        raise FaultsFound([*faults, *found.faults]) from None
    if faults:
        raise FaultsFound(faults)
    return Job(path.stem, file, pictures)


def complaints(repair: Repair, movement: Movement, day: str) -> list[Complaint]:
    """All that contradicts itself or the movement, as far as the file alone and the movement's parts can tell."""
    about = seen(movement)
    found: list[Complaint] = []
    said: dict[Key, int] = {}
    for index, finding in enumerate(repair.findings):
        here: Key = ("findings", index)
        mine = finding.complaints(about)
        found += [Complaint((*here, *c.key), c.value, c.allowed, c.advice) for c in mine]
        for quantity in [] if mine else finding.quantities(about):
            if quantity in said:
                allowed = f"said once, and finding {said[quantity] + 1} of this file says it already"
                advice = "Two findings on one quantity contradict each other: make one of them."
                found.append(Complaint((*here, "kind"), f"{finding.kind} on {' '.join(map(str, quantity))}", allowed, advice))
                break
            said[quantity] = index
    return found + list(_readings(repair, movement)) + list(_days(repair, day))


def _readings(repair: Repair, movement: Movement) -> Iterator[Complaint]:
    escapement = movement.escapement
    pendulum = movement.oscillator.kind == "pendulum"
    reach_rad = getattr(escapement, "reach_rad", None)  # an anchor's own; a lever's pallets do not go with the balance
    widest = degrees(reach_rad) if pendulum and reach_rad is not None else None
    taken: dict[tuple[str, str, str | None], int] = {}
    for index, reading in enumerate(repair.readings):
        here: Key = ("readings", index)
        measured = (reading.amplitude_deg, reading.rate_s_per_day, reading.beat_error_ms, reading.beats)
        if reading.goes and all(each is None for each in measured):
            allowed = "one or more of amplitude_deg, rate_s_per_day, beat_error_ms, beats, or goes = false"
            yield Complaint((*here, "when"), reading.when, allowed, "Say what was measured.")
        if not reading.goes and any(each is not None for each in measured):
            yield Complaint((*here, "goes"), "false", "left out where something was measured", "What stands has no beat.")
        if widest is not None and reading.amplitude_deg is not None and reading.amplitude_deg > widest:
            allowed = f"at most {widest:.3g} degrees, which is as far as these pallets reach"
            advice = "Amplitude is from rest to one side: half of the whole swing. Read it again."
            yield Complaint((*here, "amplitude_deg"), f"{reading.amplitude_deg:g}", allowed, advice)
        if pendulum and reading.position not in (None, "upright"):
            allowed = "upright, or left out, for a movement with a pendulum"
            yield Complaint((*here, "position"), str(reading.position), allowed, "A pendulum hangs.")
        place = (reading.when, reading.winding, reading.position)
        if place in taken:
            allowed = f"read once, and reading {taken[place] + 1} of this file is of the same state and position"
            yield Complaint((*here, "when"), ", ".join(filter(None, place)), allowed, "Make one of the two.")
        taken.setdefault(place, index)


def _days(repair: Repair, day: str) -> Iterator[Complaint]:
    if repair.next_service is None:
        return
    if not _is_day(repair.next_service):
        yield Complaint(("next_service",), repair.next_service, "a day that the calendar has", "Correct it.")
    elif repair.next_service <= day:
        yield Complaint(("next_service",), repair.next_service, f"later than the repair itself, {day}", "Correct it.")


def _is_day(text: str) -> bool:
    if not re.fullmatch(r"\d{4}-\d{2}-\d{2}", text):
        return False
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


def _pictures(repair: Repair, folder: Path, found: dict[str, bytes]) -> Iterator[Complaint]:
    for index, finding in enumerate(repair.findings):
        if finding.picture is None:
            if finding.picture_shows is not None:
                allowed = "left out where there is no picture"
                yield Complaint(("findings", index, "picture_shows"), finding.picture_shows, allowed, "Name the picture too.")
            continue
        if finding.picture_shows is None:
            advice = "Say in picture_shows what is to be seen."
            yield Complaint(("findings", index, "picture"), finding.picture, "with words for those who cannot see it", advice)
        fit = stripped(folder, finding.picture)
        if isinstance(fit, Unfit):
            yield Complaint(("findings", index, "picture"), finding.picture, fit.allowed, fit.advice)
        else:
            found[finding.picture] = fit
