"""A train from wishes: hours, beat, seconds hand and limits in; every train that grants them out, best first.

Reasoned as the handbooks do: turns of the escape wheel from the beat, hours of the great wheel from the winding, the ratio of
each stretch between hands, then pinions chosen and the product of the wheels split. W. Derham, The Artificial Clock-Maker, London
1696, p. 22-25; E. Beckett, A Rudimentary Treatise on Clocks, Watches, and Bells, 8th ed., London 1903, p. 138.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import product
from math import prod
from typing import Annotated, Literal

from pydantic import Field

from builder.bench.pendulums.gravity import HeightM, LatitudeDeg, gravity_of
from builder.bench.trains.anchored import BeatsPerHour, BeatsPerTooth, Hours, Turns
from builder.bench.trains.factors import MOST_MESHES, Limits, nearest, splits
from builder.bench.trains.notation import Counts, notation
from builder.bench.trains.wished import Found, Start, Wished, shared_out
from builder.bench.working.lines import Steps, Working
from builder.bench.working.once import cannot, not_once, refuse
from builder.bench.working.units import Value
from builder.bench.working.units import product as written_out
from builder.ground import words
from builder.ground.constants import SECONDS_PER_DAY
from builder.ground.faults import Complaint, Refused
from builder.ground.part import Part
from builder.parts.oscillator.rating import beat_s

PENDULUM_WITHIN = Fraction(1, 100)
"""Where a pendulum's length is wished for, the beat may be off by so much: the rod is then made to suit the train."""


TRIED = 60
"""Of every stretch so many of the best splits are put together: a cutter that two stretches share may lift one from below."""


class Wishes(Part):
    """Trains that go so long, beat so fast and stay within limits."""

    beats_per_hour: BeatsPerHour | None = None
    """Beats an hour."""
    pendulum_mm: Annotated[float, Field(gt=1, le=30_000)] | None = None
    """Length of the pendulum wished for, instead of the beat."""
    latitude_deg: LatitudeDeg | None = None
    """Latitude, for the pendulum. Left out: standard gravity."""
    height_m: HeightM = 0.0
    """Height above the sea, for the pendulum."""
    escape_teeth: Annotated[int, Field(ge=2, le=200)] = 30
    """Teeth of the escape wheel."""
    beats_per_tooth: BeatsPerTooth = 2
    """Beats for one tooth of the escape wheel."""
    wheels: Annotated[int, Field(ge=2, le=8)] = 4
    """Wheels of the train, great wheel and escape wheel counted."""
    minute_hand: Literal["yes", "no"] = "yes"
    """Whether an arbor shall turn once an hour; 'no' for a movement with an hour hand alone."""
    seconds_hand: Literal["yes", "no"] = "no"
    """Whether an arbor shall turn once a minute."""
    going_hours: Hours | None = None
    """Hours that one winding shall last. Left out: the train starts at the arbor of the minute hand."""
    turns: Turns = Fraction(16)
    """Turns of the great wheel in one winding."""
    great_hours: Hours | None = None
    """Hours of one turn of the great wheel, instead of going_hours and turns."""
    teeth_least: Annotated[int, Field(ge=16, le=400)] = 48
    """Fewest teeth of a wheel."""
    teeth_most: Annotated[int, Field(ge=16, le=400)] = 100
    """Most teeth of a wheel."""
    leaves_least: Annotated[int, Field(ge=4, le=40)] = 6
    """Fewest leaves of a pinion."""
    leaves_most: Annotated[int, Field(ge=4, le=40)] = 12
    """Most leaves of a pinion."""
    pinions: Counts | None = None
    """The pinions to be used, from the great wheel on, such as 8, 8, 8, where they are at hand."""
    within_percent: Annotated[float, Field(ge=0, le=5)] | None = None
    """How far beat and hours may be off. Left out: not at all, and 1 where a pendulum is wished for."""
    most: Annotated[int, Field(ge=1, le=100_000)] = 12
    """How many trains to list."""

    def working(self) -> Working:
        """The ratios, how the best train was found, and the list. Raises Refused, with the nearest train, where there is none."""
        self._refuse_wishes()
        steps = Steps("train", self, {"pinions": ", ".join(map(str, self.pinions))} if self.pinions else {})
        beats = self.beats_per_hour
        if beats is None:
            assert self.pendulum_mm is not None, "one of the two was asked for"
            gravity = gravity_of(steps, self.latitude_deg, self.height_m)
            beats = Fraction(round(3600 / beat_s(1e-3 * self.pendulum_mm, gravity)))
            steps.line("beats_per_hour", beats, by="beats_by_pendulum")
        escape = steps.line("escape_turns", beats / (self.escape_teeth * self.beats_per_tooth), beats=beats)
        great = self._great
        if great is not None and self.great_hours is None:
            steps.line("great_hours", great)
        plans = self._plans(great, escape)
        for stretch in plans[0]:
            by = f"ratio_from_{stretch.start}"
            if stretch.start == "minute" and self.seconds_hand == "yes":
                by = "ratio_to_seconds"
            elif self.minute_hand == "no":
                by = "ratio_to_escape"
            steps.line("wished_ratio", stretch.ratio, by=by, great=great or 1, escape=escape)
        trains, count = self._trains(plans)
        if not trains:
            raise Refused([self._none(plans, escape)])
        self._say_best(steps, trains[0])
        steps.table("trains", [self._row(each, place) for place, each in enumerate(trains[: self.most], start=1)])
        teeth, leaves = f"{self.teeth_least}–{self.teeth_most}", f"{self.leaves_least}–{self.leaves_most}"
        steps.note("limits", teeth=teeth, leaves=leaves)
        steps.note("listed", shown=words.grouped(str(min(self.most, count))), found=words.grouped(str(count)))
        return steps.done()

    @property
    def _great(self) -> Fraction | None:
        """Hours of a turn of the great wheel, told or from the winding."""
        return self.going_hours / self.turns if self.great_hours is None and self.going_hours is not None else self.great_hours

    @property
    def within(self) -> Fraction:
        """How far a ratio may be off, as a part of it."""
        if self.within_percent is not None:
            return Fraction(str(self.within_percent)) / 100
        return PENDULUM_WITHIN if self.beats_per_hour is None else Fraction(0)

    def _refuse_wishes(self) -> None:
        found = not_once(self, "beats_per_hour", "pendulum_mm")
        for what in ("teeth", "leaves"):
            least, most = getattr(self, f"{what}_least"), getattr(self, f"{what}_most")
            if least > most:
                found.append(Complaint((f"{what}_least",), str(least), f"at most {what}_most = {most}", "Exchange the two."))
        if self.pinions is not None and len(self.pinions) != self.wheels - 1:
            allowed = f"{self.wheels - 1} pinions, one less than the wheels"
            found.append(Complaint(("pinions",), ", ".join(map(str, self.pinions)), allowed, "Add or leave out some."))
        if self.minute_hand == "no" and (self._great is None or self.seconds_hand == "yes"):
            advice = "Without a minute hand the great wheel's hours fix the speed: give great_hours, or going_hours and turns."
            found.append(Complaint(("minute_hand",), "no", "a train with an hour hand alone, and known hours", advice))
        refuse(found)

    def _plans(self, great: Fraction | None, escape: Fraction) -> list[tuple[Wished, ...]]:
        """Every way to share the meshes out among the stretches. Raises Refused where there is none."""
        wished: list[tuple[Start, Fraction, Fraction]] = []
        if great is not None and self.minute_hand == "no":
            wished = [("great", great * escape, self.within)]
        else:
            if great is not None and great != 1:
                wished.append(("great", great, self.within))
            if self.seconds_hand == "no":
                wished.append(("minute", escape, self.within))
            else:
                wished += [("minute", Fraction(60), Fraction(0)), ("seconds", escape / 60, self.within)]
            if wished[-1][1] == 1:
                wished.pop()
        slow = [start for start, ratio, _ in wished if ratio < 1]
        if slow:
            says = f"a step from the {slow[0]} arbor to a slower one"
            advice = "Change the escape wheel's teeth, the hours of the winding, or do without the seconds hand."
            raise cannot("escape_teeth" if slow[0] != "great" else "going_hours", says, "steps to faster arbors", advice)
        plans = shared_out(wished, self.wheels - 1)
        if not plans:
            least, most = len(wished) + 1, MOST_MESHES * len(wished) + 1
            allowed = f"{least} to {most} wheels for {len(wished)} stretch{'es' if len(wished) > 1 else ''} between known arbors"
            raise cannot("wheels", str(self.wheels), allowed, "Change the number of wheels, or wish for another hand.")
        return plans

    def _limits(self, plan: tuple[Wished, ...], index: int) -> Limits:
        before = sum(stretch.meshes for stretch in plan[:index])
        own = self.pinions and self.pinions[before : before + plan[index].meshes]
        return Limits((self.teeth_least, self.teeth_most), (self.leaves_least, self.leaves_most), own)

    def _trains(self, plans: list[tuple[Wished, ...]]) -> tuple[list[Found], int]:
        """The best of the trains that there are, best first, and how many there are."""
        found: list[Found] = []
        count = 0
        for plan in plans:
            lists = [splits(s.ratio, s.meshes, self._limits(plan, k), s.within) for k, s in enumerate(plan)]
            count += prod(len(each) for each in lists)
            found += [Found(plan, chosen) for chosen in product(*(each[: max(self.most, TRIED)] for each in lists))]
        return sorted(found, key=lambda each: (each.demerit, each.pairs)), count

    def _none(self, plans: list[tuple[Wished, ...]], escape: Fraction) -> Complaint:
        near = []
        for plan in plans:
            best = []
            for k, stretch in enumerate(plan):
                limits = self._limits(plan, k)
                exact = splits(stretch.ratio, stretch.meshes, limits)
                best.append(exact[0] if exact else nearest(stretch.ratio, stretch.meshes, limits))
            near.append(Found(plan, tuple(best)))
        one = min(near, key=lambda each: (abs(each.off), each.demerit))
        beats = self._beats(one)
        wanted = escape * self.escape_teeth * self.beats_per_tooth
        rate = words.signed(float(SECONDS_PER_DAY * (beats / wanted - 1)), 0)
        advice = f"Nearest is {notation(one.pairs)}: {words.whole_and_part(beats)} beats an hour, {rate} s a day off"
        if one.plan[0].start == "great":
            advice += f", great wheel {words.period(one.made(True))} a turn"
        within = f" and {float(100 * self.within):g} %" if self.within else ""
        allowed = f"no train of {self.wheels} wheels within these limits{within}"
        return Complaint(
            ("wheels",), str(self.wheels), allowed, advice + ". Widen the limits of teeth or leaves, or add a wheel."
        )

    def _beats(self, found: Found) -> Fraction:
        """Beats an hour with the hands right."""
        turns = found.made(False)
        if self.minute_hand == "no":
            assert self._great is not None, "asked for"
            turns = found.made(True) / self._great
        return turns * self.escape_teeth * self.beats_per_tooth

    def _say_best(self, steps: Steps, best: Found) -> None:
        for stretch, split in zip(best.plan, best.splits, strict=True):
            of = ("from", stretch.start)
            leaves = steps.line("pinions_product", prod(split.pinions), of=of, chosen=split.pinions)
            steps.line("wheels_product", prod(split.wheels), of=of, wished=split.ratio, leaves=leaves)
            steps.line("wheels_split", written_out(split.wheels), of=of)
        rest = [
            pair
            for stretch, split in zip(best.plan, best.splits, strict=True)
            if stretch.start != "great" or self.minute_hand == "no"
            for pair in zip(split.wheels, split.pinions, strict=True)
        ]
        drivers, drivens = tuple(a for a, _ in rest), tuple(b for _, b in rest)
        by = "beats_made" if self.minute_hand == "yes" else "beats_by_great"
        steps.line("beats_made", self._beats(best), by=by, drivers=drivers, drivens=drivens)

    def _row(self, found: Found, place: int) -> dict[str, Value | None]:
        row: dict[str, Value | None] = {"place": place, "train": notation(found.pairs), "beats_per_hour": self._beats(found)}
        if found.plan[0].start == "great":
            row["great_hours"] = found.made(True)
            if self.great_hours is None:
                row["going_hours"] = found.made(True) * self.turns
        if found.off:
            row["off_percent"] = float(100 * found.off)
        return row
