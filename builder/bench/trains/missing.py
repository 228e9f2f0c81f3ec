"""A wheel or a pinion is missing, or two of them: every pair of counts that would serve, ranked, with what to cut.

The train is cut where a speed is known (hands, beat, hours of a winding). What a stretch must make, over what the wheels that
remain in it make, is what the missing ones must make: the rule of W. Derham, The Artificial Clock-Maker, London 1696, p. 64.
A maker seldom used many cutters, so pinions like those that remain are put first (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from itertools import product
from typing import Annotated, Literal

from pydantic import Field

from builder.bench.pendulums.gravity import HeightM, LatitudeDeg, gravity_of
from builder.bench.trains.anchored import Anchor, Anchored, arbor, say_anchor
from builder.bench.trains.candidate import Candidate
from builder.bench.trains.cutting import Measured, cut
from builder.bench.trains.notation import ByMesh, notation
from builder.bench.trains.stretches import Hole, Limits, Mesh, Stretch, stretches
from builder.bench.working.lines import Put, Steps, Working
from builder.bench.working.once import cannot
from builder.bench.working.units import Value
from builder.going.sizes import AGREE
from builder.ground import words
from builder.ground.faults import Complaint, Refused
from builder.parts.oscillator.rating import beat_s

PENDULUM_WITHIN = Fraction(2, 100)
"""Where only a pendulum tells the beat: what its length, measured by eye to the middle of the bob, leaves open."""
FEW_LEAVES = 6
"""Fewer are found in old work only."""
ESCAPE_LIMITS = (6, 80)

CountLimit = Annotated[int, Field(ge=4, le=400)]
Filling = tuple[dict[Hole, int], Fraction]
"""Counts by hole, and the ratio that they make over the one wanted."""


class Missing(Anchored):
    """One or two missing counts, from what remains. Write x where a count is missing."""

    pendulum_mm: Annotated[float, Field(gt=1, le=30_000)] | None = None
    """Length of the pendulum to the middle of the bob, where the beat is not known."""
    latitude_deg: LatitudeDeg | None = None
    """Latitude, for the pendulum. Left out: standard gravity."""
    height_m: HeightM = 0.0
    """Height above the sea, for the pendulum."""
    escape_is: Literal["known", "missing"] = "known"
    """'missing' where the escape wheel itself is missing: leave escape_teeth out then."""
    within_percent: Annotated[float, Field(ge=0, le=20)] | None = None
    """How far the beat (or the winding's hours) may be off. Left out: not at all; 2 where only a pendulum tells the beat."""
    teeth_least: CountLimit = 16
    """Fewest teeth of a missing wheel."""
    teeth_most: CountLimit = 200
    """Most teeth of a missing wheel."""
    leaves_least: CountLimit | None = None
    """Fewest leaves of a missing pinion. Left out: 6, or as few as the fewest that remain."""
    leaves_most: CountLimit = 20
    """Most leaves of a missing pinion."""
    form: Literal["cycloidal", "involute"] = "cycloidal"
    """Tooth form, for the sizes."""
    distance_mm: ByMesh | None = None
    """Centre distance of a mesh, such as 3=12.4: mesh 3 lies between arbors 3 and 4."""
    driver_mm: ByMesh | None = None
    """Diameter over the tips of a driver that remains, by mesh."""
    driven_mm: ByMesh | None = None
    """Diameter over the tips of a driven pinion that remains, by mesh."""

    def working(self) -> Working:
        """The equations, the counts that solve them, and their sizes. Raises Refused where nothing does."""
        steps = Steps("missing", self, self.also() | self._measures())
        meshes: list[Mesh] = [*self.train, *([(None, 1)] if self.escape_is == "missing" else [])]
        self._refuse_counts(meshes)
        anchors = self.anchors(self._beats(steps))
        told = self._told(anchors)
        cut_up, outside = stretches(meshes, {number: anchor.turns_per_hour for number, anchor in told.items()})
        self._refuse_outside(outside)
        self._refuse_sound(cut_up)
        for anchor in anchors:
            say_anchor(steps, self, anchor)
        limits = self._limits(meshes)
        broken = [stretch for stretch in cut_up if stretch.holes]
        fillings = [self._solved(steps, stretch, limits) for stretch in broken]
        found = [self._candidate(meshes, told, broken, chosen) for chosen in product(*fillings)]
        found.sort(key=lambda each: each.rank)
        steps.table("candidates", [{"place": place, **each.row()} for place, each in enumerate(found, start=1)])
        steps.note("ranked")
        teeth, leaves = f"{self.teeth_least}–{self.teeth_most}", f"{self._leaves_least}–{self.leaves_most}"
        steps.note("limits", teeth=teeth, leaves=leaves)
        if any(size.misfit is not None for size in found[0].sizes.values()):
            steps.note("fits", part=f"{100 * AGREE:g}")
        return steps.done()

    # ---- what is known

    def _measures(self) -> dict[str, Value]:
        given = {"distances_mm": self.distance_mm, "drivers_mm": self.driver_mm, "drivens_mm": self.driven_mm}
        return {name: ", ".join(f"{mesh}: {mm:g}" for mesh, mm in of.items()) for name, of in given.items() if of}

    def _beats(self, steps: Steps) -> Fraction | None:
        """As told, or to the whole beat from the pendulum."""
        if self.beats_per_hour is not None or self.pendulum_mm is None:
            return self.beats_per_hour
        gravity = gravity_of(steps, self.latitude_deg, self.height_m)
        beats = Fraction(round(3600 / beat_s(1e-3 * self.pendulum_mm, gravity)))
        return steps.line("beats_per_hour", beats, by="beats_by_pendulum")

    @property
    def _leaves_least(self) -> int:
        if self.leaves_least is not None:
            return self.leaves_least
        return min([FEW_LEAVES, *(driven for _, driven in self.train if driven is not None)])

    @property
    def within(self) -> Fraction:
        """How far the ratio may be off, as a part of it."""
        if self.within_percent is not None:
            return Fraction(str(self.within_percent)) / 100
        return PENDULUM_WITHIN if self.pendulum_mm is not None and self.beats_per_hour is None else Fraction(0)

    def _told(self, anchors: list[Anchor]) -> dict[int, Anchor]:
        """What tells the speed, by arbor from 0; Refused where two contradict each other."""
        told: dict[int, Anchor] = {}
        found = []
        for anchor in anchors:
            before = told.setdefault(anchor.arbor - 1, anchor)
            if before.turns_per_hour != anchor.turns_per_hour:
                says, stands = (f"{words.whole_and_part(each.turns_per_hour)} turns an hour" for each in (anchor, before))
                found.append(Complaint((anchor.field,), says, f"{stands}, as {before.field} tells", "Leave one of the two out."))
        if found:
            raise Refused(found)
        return told

    def _limits(self, meshes: list[Mesh]) -> dict[Hole, Limits]:
        teeth, leaves = (self.teeth_least, self.teeth_most), (self._leaves_least, self.leaves_most)
        if self.escape_teeth is None and self.escape_is == "known":  # motion work: pinions drive wheels too
            teeth = leaves = (min(self._leaves_least, self.teeth_least), max(self.leaves_most, self.teeth_most))
        limits = {(k, side): (teeth, leaves)[side] for k, mesh in enumerate(meshes) for side in (0, 1) if mesh[side] is None}
        if self.escape_is == "missing":
            limits[len(self.train), 0] = ESCAPE_LIMITS
        return limits

    # ---- what cannot be

    def _refuse_counts(self, meshes: list[Mesh]) -> None:
        holes = sum(count is None for mesh in meshes for count in mesh)
        shown = notation(self.train)
        if self.escape_is == "missing" and self.escape_teeth is not None:
            raise cannot("escape_teeth", str(self.escape_teeth), "nothing, since it is missing", "Leave it out.")
        if holes == 0:
            advice = "With every count known, 'count-up' tells what the train comes to."
            raise cannot("train", shown, "a train with an x for what is missing", advice)
        if holes > 2:
            advice = "Count what can still be counted: any arc of a broken wheel gives its teeth."
            raise cannot("train", f"{holes} counts missing", "one or two missing at once", advice)

    def _refuse_outside(self, outside: list[Mesh]) -> None:
        if not any(None in mesh for mesh in outside):
            return
        allowed = "a train whose speed is told on both sides of what is missing"
        advice = (
            "Before it: minute_arbor or another hand, first_hours, or turns and going_hours. After it: a hand, or the beat "
            "(beats_per_hour or pendulum_mm) with escape_teeth."
        )
        raise cannot("train", notation(self.train), allowed, advice)

    def _refuse_sound(self, cut_up: list[Stretch]) -> None:
        found = []
        for stretch in cut_up:
            if not stretch.holes and abs(stretch.remaining / stretch.wanted - 1) > self.within:
                made, wanted = words.whole_and_part(stretch.remaining), words.whole_and_part(stretch.wanted)
                advice = "Nothing is missing between them: count again, or leave one of the speeds out."
                says = f"arbors {stretch.first + 1} to {stretch.last + 1} make {made}"
                found.append(Complaint(("train",), says, f"the {wanted} that their speeds ask for", advice))
        if found:
            raise Refused(found)

    # ---- the equation of one stretch

    def _solved(self, steps: Steps, stretch: Stretch, limits: Mapping[Hole, Limits]) -> list[Filling]:
        of = ("stretch", f"{stretch.first + 1}–{min(stretch.last + 1, self.arbors)}")
        first, last = stretch.speeds
        if stretch.last == self.arbors:
            steps.line("teeth_per_turn", stretch.wanted, of=arbor(stretch.first + 1), first=first, last=last)
        else:
            steps.line("wanted_ratio", stretch.wanted, of=of, first=first, last=last)
        if stretch.sound:
            drivers, drivens = tuple(a for a, _ in stretch.sound), tuple(b for _, b in stretch.sound)
            steps.line("remaining_ratio", stretch.remaining, of=of, drivers=drivers, drivens=drivens)
            ratios = {"wanted": stretch.wanted, "remaining": stretch.remaining}
            steps.line("missing_ratio", stretch.missing, of=of, put=ratios)
        mates = tuple(n for mesh in stretch.broken for n in mesh if n is not None and n != 1)
        if len(stretch.holes) == 1:
            ((k, side),) = stretch.holes
            put: Put = {"missing": stretch.missing, "mate": mates[0] if mates else 1}
            if k == len(self.train):
                steps.line("escape_teeth", stretch.of_holes, by="escape_by_ratio", missing=stretch.missing)
            else:
                name, value = (("driver", stretch.of_holes), ("driven", 1 / stretch.of_holes))[side]
                steps.line(name, value, by=f"{name}_by_ratio", of=arbor(k + 1 + side), put=put)
        found = list(stretch.fillings(limits, self.within))
        if not found:
            raise Refused([self._none(stretch, limits)])
        return found

    def _none(self, stretch: Stretch, limits: Mapping[Hole, Limits]) -> Complaint:
        asked = words.whole_and_part(stretch.missing)
        within = f"{float(100 * self.within):g}{words.THIN}%"
        allowed = f"whole counts that make it within {within}" if self.within else "whole counts that make it exactly"
        if len(stretch.holes) == 1:
            ((_, side),) = stretch.holes
            exact = stretch.of_holes if side == 0 else 1 / stretch.of_holes
            asked += f", so it must be {words.whole_and_part(exact)}"
        filled, off = stretch.nearest(limits)
        named = " and ".join(self._hole_text(hole, count) for hole, count in filled.items())
        advice = (
            f"There are none within the limits; nearest is {named}, {words.signed(float(100 * (off - 1)), 2)}{words.THIN}% off. "
            "Widen the limits or within_percent, or count again."
        )
        return Complaint(("train",), f"what is missing must make {asked}", allowed, advice)

    def _hole_text(self, hole: Hole, count: int) -> str:
        k, side = hole
        if k == len(self.train):
            return f"an escape wheel of {count}"
        return f"{count} on arbor {k + 1 + side}"

    # ---- what was found

    def _candidate(
        self, meshes: list[Mesh], told: Mapping[int, Anchor], broken: list[Stretch], chosen: tuple[Filling, ...]
    ) -> Candidate:
        filled = {hole: count for counts, _ in chosen for hole, count in counts.items()}
        sizes = {}
        for k in sorted({k for k, _ in filled if k < len(self.train)}):
            driver, driven = (filled.get((k, side), meshes[k][side]) for side in (0, 1))
            assert driver is not None and driven is not None, "it was filled, or never missing"
            of = (self.distance_mm, self.driver_mm, self.driven_mm)
            size = cut(self.form, driver, driven, Measured(*((measure or {}).get(k + 1) for measure in of)))
            if size is not None:
                sizes[k + 1] = size
        comes_to: dict[str, Fraction] = {}
        for stretch, (_, off) in zip(broken, chosen, strict=True):
            if self.within and told[stretch.last].field == "beats_per_hour":
                comes_to["beats_per_hour"] = off * self._beats_of(told[stretch.last])
            elif self.within and stretch.first == 0:
                comes_to["first_hours"] = off / told[0].turns_per_hour
        off_by = max((off - 1 for _, off in chosen), key=abs)
        remain = frozenset(driven for _, driven in self.train if driven is not None)
        return Candidate(filled, len(self.train), sizes, off_by if self.within else None, comes_to, remain)

    def _beats_of(self, anchor: Anchor) -> Fraction:
        return anchor.turns_per_hour * self.beats_per_tooth * (self.escape_teeth or 1)
