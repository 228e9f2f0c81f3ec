"""What fixes the speed of a train: hands, beat, hours of a turn or of a winding. Shared by the sums that need it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, Literal

from pydantic import Field

from builder.bench.trains.notation import Train, notation, ratio_of, whole
from builder.bench.working.asked import Exact
from builder.bench.working.lines import Of, Steps
from builder.bench.working.units import Value
from builder.ground.faults import Complaint, Refused
from builder.ground.part import Part

Hours = Annotated[Exact, Field(gt=0, le=20_000)]
Turns = Annotated[Exact, Field(gt=0, le=1000)]
ArborNumber = Annotated[int, Field(ge=1, le=12)]
BeatsPerTooth = Annotated[int, Field(ge=1, le=4)]
BeatsPerHour = Annotated[Exact, Field(gt=100, le=100_000)]


@dataclass(frozen=True)
class Anchor:
    """An arbor of known speed. Arbor 1 carries the first driver; one past the last stands for the escape wheel's teeth as
    they pass, where their count is what is missing.
    """

    field: str
    """The question's field that tells it."""
    arbor: int
    turns_per_hour: Fraction


class Anchored(Part):
    """A train, and what is known of its speed."""

    train: Annotated[Train, Field(min_length=1, max_length=10)]
    """Driver/driven of every mesh from the first arbor on, such as 72/12, 64/8, 60/8; x where a count is missing."""
    escape_teeth: Annotated[int, Field(ge=2, le=200)] | None = None
    """Teeth of the escape wheel on the last arbor. Left out: the train ends without one (motion work, a calendar)."""
    beats_per_tooth: BeatsPerTooth = 2
    """Beats for one tooth of the escape wheel: 2 for most kinds, 1 where a whole tooth passes at each beat."""
    minute_arbor: ArborNumber | None = None
    """Number of the arbor that turns once an hour, the first being 1."""
    seconds_arbor: ArborNumber | None = None
    """Number of the arbor that turns once a minute."""
    hour_arbor: ArborNumber | None = None
    """Number of the arbor that turns once round the dial."""
    dial_hours: Literal[12, 24] = 12
    """Hours once round the dial."""
    report: Train | None = None
    """Driver/driven from the first arbor to the hour hand, where no arbor of the train turns once an hour: 4/32."""
    first_hours: Hours | None = None
    """Hours of one turn of the first arbor."""
    turns: Turns | None = None
    """Turns of the first arbor in one winding."""
    going_hours: Hours | None = None
    """Hours that one winding lasts."""
    beats_per_hour: BeatsPerHour | None = None
    """Beats an hour."""

    @property
    def arbors(self) -> int:
        return len(self.train) + 1

    def anchors(self, beats_per_hour: Fraction | None) -> list[Anchor]:
        """Every arbor whose speed is told. Raises Refused for an arbor that the train has not."""
        found = [
            Complaint((f,), str(n), f"at most {self.arbors}", "Count the arbors again.")
            for f, n, _ in self._hands()
            if n > self.arbors
        ]
        if self.report is not None and len(whole(self.report)) < len(self.report):
            found.append(
                Complaint(("report",), notation(self.report), "a report with nothing missing", "Give it as a train of its own.")
            )
        if found:
            raise Refused(found)
        told = []
        if self.first_hours is not None:
            told.append(Anchor("first_hours", 1, 1 / self.first_hours))
        if self.report is not None:
            told.append(Anchor("report", 1, 1 / (self.dial_hours * ratio_of(whole(self.report)))))
        told += [Anchor(field, number, rate) for field, number, rate in self._hands()]
        if self.turns is not None and self.going_hours is not None:
            told.append(Anchor("turns", 1, self.turns / self.going_hours))
        if beats_per_hour is not None and self.escape_teeth is not None:
            told.append(Anchor("beats_per_hour", self.arbors, beats_per_hour / (self.escape_teeth * self.beats_per_tooth)))
        elif beats_per_hour is not None:
            told.append(Anchor("beats_per_hour", self.arbors + 1, beats_per_hour / self.beats_per_tooth))
        return told

    def _hands(self) -> Iterator[tuple[str, int, Fraction]]:
        if self.minute_arbor is not None:
            yield "minute_arbor", self.minute_arbor, Fraction(1)
        if self.seconds_arbor is not None:
            yield "seconds_arbor", self.seconds_arbor, Fraction(60)
        if self.hour_arbor is not None:
            yield "hour_arbor", self.hour_arbor, Fraction(1, self.dial_hours)

    def also(self) -> dict[str, Value]:
        """What was given beside single numbers, as it is to be shown."""
        shown: dict[str, Value] = {"train": notation(self.train)}
        if self.report is not None:
            shown["report"] = notation(self.report)
        return shown


def say_anchor(steps: Steps, asked: Anchored, anchor: Anchor) -> None:
    """Write down how an arbor's turns an hour follow from what was told."""
    put: dict[str, Value] = {}
    if anchor.field == "report":
        assert asked.report is not None
        meshes = whole(asked.report)
        put = {"drivers": tuple(a for a, _ in meshes), "drivens": tuple(b for _, b in meshes)}
    if anchor.arbor > asked.arbors:
        steps.line("teeth_per_hour", anchor.turns_per_hour)
    else:
        steps.line("turns_per_hour", anchor.turns_per_hour, by=f"turns_by_{anchor.field}", of=arbor(anchor.arbor), put=put)


def arbor(number: int) -> Of:
    """Which arbor a line is of, the first being 1."""
    return "arbor", str(number)
