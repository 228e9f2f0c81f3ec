"""A repair solved, together with the beats that were taken down at the bench before it and after it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import degrees
from pathlib import Path

from builder.bench.timing.measured import Measured, read_beats
from builder.bench.timing.noises import Noises, noises
from builder.bench.timing.trace import Reading, reading
from builder.going.going import Going
from builder.going.repair import Repaired, Side, compared
from builder.going.steady import Running
from builder.ground.faults import Gathered
from builder.movement.repair import Job, repairs
from builder.parts.escapement import DetachedLever

COMPUTED_BEATS = 120
"""As many beats as a computed trace is long."""


@dataclass(frozen=True)
class Mended:
    """One repair with its traces."""

    repaired: Repaired
    beats: Mapping[int, Measured] = field(default_factory=dict)
    """By the reading's place in the file."""

    @property
    def beat_s(self) -> float:
        """The movement's own beat."""
        return float(self.repaired.sound.train.beat_s)

    @property
    def lift_deg(self) -> float | None:
        """Lift angle of the balance, set on the instrument; None without a lever."""
        escapement = self.repaired.sound.movement.escapement
        return 2 * degrees(escapement.fork().balance_half_rad) if isinstance(escapement, DetachedLever) else None

    def computed(self, side: Side, winding: str) -> Noises | None:
        """The beats as solved; None where it stands, or no beat is solved."""
        state = self.repaired.state(side, winding)
        return noises(state.beat, COMPUTED_BEATS) if state is not None and isinstance(state.beat, Running) else None

    def read(self, heard: Noises) -> Reading:
        """What an instrument makes of beats."""
        return reading(heard, self.beat_s, self.lift_deg)


def mended(going: Going, job: Job, folder: Path, root: Path) -> Mended:
    """Solve a repair whose file lies in `folder`, and read its beats. Messages name files from `root` on.

    Raises FaultsFound with every fault of the findings and of the files of beats.
    """
    beats: dict[int, Measured] = {}
    with Gathered() as faults:
        for index, each in enumerate(job.repair.readings):
            file = each.beats
            if file is None:
                continue
            taken = faults.of(lambda file=file: read_beats(folder / file, root, float(going.train.beat_s)))  # type: ignore[misc]
            if taken is not None:
                beats[index] = taken
        solved = faults.of(lambda: compared(going, job))
    assert solved is not None
    return Mended(solved, beats)


def repaired(models: Path, going: Going) -> tuple[Mended, ...]:
    """The movement's repairs, solved, the oldest first. Raises FaultsFound with every fault of every file of theirs."""
    folder = models / going.slug / "repairs"
    with Gathered() as faults:
        jobs = repairs(models, going.slug, going.movement)
        found = [faults.of(lambda job=job: mended(going, job, folder, models)) for job in jobs]  # type: ignore[misc]
    return tuple(each for each in found if each is not None)
