"""What a train comes to: turns of every arbor, beats, hours of a turn and of a winding, all exact.

Each wheel multiplies the turns by its teeth and divides them by the leaves that it meets; beats are twice the teeth of the
escape wheel that pass. W. Derham, The Artificial Clock-Maker, London 1696, chapters II and III.
"""

from __future__ import annotations

from fractions import Fraction

from builder.bench.trains.anchored import Anchor, Anchored, arbor, say_anchor
from builder.bench.trains.notation import notation, ratio_of, whole
from builder.bench.working.lines import Put, Steps, Working
from builder.bench.working.once import cannot
from builder.ground import words
from builder.ground.faults import Complaint, Refused


class CountUp(Anchored):
    """Turns, beats and hours from the counts."""

    def working(self) -> Working:
        """Ratio of every mesh and, where anything tells the speed, every arbor's turns. Raises Refused."""
        meshes = whole(self.train)
        if len(meshes) < len(self.train):
            advice = "The sum 'missing' finds a count that is not there."
            raise cannot("train", notation(self.train), "a train of which every count is known", advice)
        steps = Steps("count_up", self, self.also())
        for number, (driver, driven) in enumerate(meshes, start=1):
            of = ("mesh", str(number))
            steps.line("ratio", Fraction(driver, driven), of=of, driver_count=driver, driven_count=driven)
        drivers, drivens = tuple(a for a, _ in meshes), tuple(b for _, b in meshes)
        ratio = ratio_of(meshes)
        if len(meshes) > 1:
            steps.line("whole_ratio", ratio, drivers=drivers, drivens=drivens)
        if self.escape_teeth is not None:
            steps.line("beats_per_turn", ratio * self.escape_teeth * self.beats_per_tooth, drivers=drivers, drivens=drivens)
        self._speeds(steps, meshes)
        return steps.done()

    def _speeds(self, steps: Steps, meshes: list[tuple[int, int]]) -> None:
        """Every arbor's turns an hour, and what follows from them; nothing where nothing tells the speed."""
        if self.beats_per_hour is not None and self.escape_teeth is None:
            told, advice = words.whole_and_part(self.beats_per_hour), "Give escape_teeth, or leave the beat out."
            raise cannot("beats_per_hour", told, "a train with an escape wheel", advice)
        anchors = self.anchors(self.beats_per_hour)
        if not anchors:
            return
        relative = [Fraction(1)]
        for driver, driven in meshes:
            relative.append(relative[-1] * Fraction(driver, driven))
        first = anchors[0]
        speed = first.turns_per_hour / relative[first.arbor - 1]
        self._refuse_others(anchors, [speed * each for each in relative])
        say_anchor(steps, self, first)
        if first.arbor > 1:
            before = meshes[: first.arbor - 1]
            put: Put = {"drivers": tuple(a for a, _ in before), "drivens": tuple(b for _, b in before)}
            steps.line("turns_per_hour", speed, by="turns_back", of=arbor(1), known=first.turns_per_hour, put=put)
        for number, (driver, driven) in enumerate(meshes, start=2):
            if number != first.arbor:
                before_it = speed * relative[number - 2]
                on: Put = {"before": before_it, "driver_count": driver, "driven_count": driven}
                steps.line("turns_per_hour", speed * relative[number - 1], by="turns_on", of=arbor(number), put=on)
        if first.field != "first_hours":
            steps.line("first_hours", 1 / speed, first_turns=speed)
        steps.line("report_ratio", self.dial_hours * speed, first_turns=speed)
        if self.escape_teeth is not None:
            beats = speed * relative[-1] * self.escape_teeth * self.beats_per_tooth
            steps.line("beats_per_hour", beats, last=speed * relative[-1])
            steps.line("beat_s", 3600 / beats)
        if self.turns is not None and self.going_hours is None:
            steps.line("going_hours", self.turns / speed, first_turns=speed)
        elif self.going_hours is not None and self.turns is None:
            steps.line("turns", self.going_hours * speed, first_turns=speed)

    def _refuse_others(self, anchors: list[Anchor], turns: list[Fraction]) -> None:
        """Every other speed told that the counts contradict."""
        found = []
        for other in anchors[1:]:
            counted, told = turns[other.arbor - 1], other.turns_per_hour
            if counted != told:
                says, comes = (f"{words.whole_and_part(each)} turns an hour of arbor {other.arbor}" for each in (told, counted))
                advice = f"That is what the counts make with {anchors[0].field}. Count again, or leave one of the two out."
                found.append(Complaint((other.field,), says, comes, advice))
        if found:
            raise Refused(found)
