"""A train cut at every arbor of known speed; in each stretch the counts that are missing answer one equation."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import ceil, floor, prod

Mesh = tuple[int | None, int | None]
Hole = tuple[int, int]
"""(mesh, side) of a missing count: meshes from 0, side 0 the driver, 1 the driven."""
Limits = tuple[int, int]


@dataclass(frozen=True)
class Stretch:
    """Meshes between two arbors of known speed. Arbors from 0; mesh k lies between arbors k and k + 1."""

    first: int
    last: int
    speeds: tuple[Fraction, Fraction]
    """Turns an hour of its first arbor and of its last."""
    meshes: tuple[Mesh, ...]

    @property
    def wanted(self) -> Fraction:
        """Turns of its last arbor for one of its first."""
        return self.speeds[1] / self.speeds[0]

    @property
    def holes(self) -> list[Hole]:
        """What is missing in it."""
        return [(self.first + k, side) for k, mesh in enumerate(self.meshes) for side in (0, 1) if mesh[side] is None]

    @property
    def broken(self) -> list[Mesh]:
        """The meshes from which something is missing."""
        return [mesh for mesh in self.meshes if None in mesh]

    @property
    def sound(self) -> list[tuple[int, int]]:
        """The meshes that are whole."""
        return [(a, b) for a, b in self.meshes if a is not None and b is not None]

    @property
    def remaining(self) -> Fraction:
        """What the whole meshes make."""
        return Fraction(prod(a for a, _ in self.sound), prod(b for _, b in self.sound))

    @property
    def missing(self) -> Fraction:
        """What the broken meshes must make."""
        return self.wanted / self.remaining

    @property
    def of_holes(self) -> Fraction:
        """What the missing counts must make, drivers over driven: the broken meshes' ratio less the mates that remain."""
        mates = Fraction(1)
        for a, b in self.broken:
            mates *= Fraction(a or 1, b or 1)
        return self.missing / mates

    def fillings(self, limits: Mapping[Hole, Limits], within: Fraction) -> Iterator[tuple[dict[Hole, int], Fraction]]:
        """Every filling of its one or two holes inside the limits whose ratio is right but for a part `within`, with its
        ratio over the wanted one.
        """
        holes = self.holes
        target = self.of_holes
        low, high = target * (1 - within), target * (1 + within)
        *before, last = holes
        for count in range(limits[before[0]][0], limits[before[0]][1] + 1) if before else (1,):
            power = Fraction(count) if not before or before[0][1] == 0 else Fraction(1, count)
            for other in _between(low / power, high / power, last[1] == 1, limits[last]):
                made = power * (Fraction(other) if last[1] == 0 else Fraction(1, other))
                yield {**({before[0]: count} if before else {}), last: other}, made / target

    def nearest(self, limits: Mapping[Hole, Limits]) -> tuple[dict[Hole, int], Fraction]:
        """The filling inside the limits whose ratio is nearest, with its ratio over the wanted one."""
        holes = self.holes
        target = self.of_holes
        *before, last = holes
        best: tuple[Fraction, dict[Hole, int], Fraction] | None = None
        for count in range(limits[before[0]][0], limits[before[0]][1] + 1) if before else (1,):
            power = Fraction(count) if not before or before[0][1] == 0 else Fraction(1, count)
            exact = target / power if last[1] == 0 else power / target
            for other in {_held(floor(exact), limits[last]), _held(ceil(exact), limits[last])}:
                off = power * (Fraction(other) if last[1] == 0 else Fraction(1, other)) / target
                if best is None or abs(off - 1) < best[0]:
                    best = abs(off - 1), {**({before[0]: count} if before else {}), last: other}, off
        assert best is not None, "limits hold at least one count"
        return best[1], best[2]


def _between(low: Fraction, high: Fraction, inverse: bool, limits: Limits) -> range:
    """Whole counts inside the limits whose value, or its inverse, lies from low to high."""
    if inverse:
        low, high = 1 / high, 1 / low
    return range(max(limits[0], ceil(low)), min(limits[1], floor(high)) + 1)


def _held(count: int, limits: Limits) -> int:
    return min(max(count, limits[0]), limits[1])


def stretches(meshes: list[Mesh], speeds: Mapping[int, Fraction]) -> tuple[list[Stretch], list[Mesh]]:
    """The train cut at the arbors (from 0) of known speed, and the meshes that lie beyond the first or last of them."""
    known = sorted(speeds)
    cut = [Stretch(a, b, (speeds[a], speeds[b]), tuple(meshes[a:b])) for a, b in pairwise(known)]
    outside = [*meshes[: known[0]], *meshes[known[-1] :]] if known else list(meshes)
    return cut, outside
