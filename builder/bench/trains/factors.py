"""All ways to make a ratio with so many meshes inside limits, and the nearest one where there is none."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import combinations_with_replacement
from math import ceil, floor, log, prod

import numpy as np
from numpy.typing import NDArray

MOST_MESHES = 3
"""Meshes of one stretch: more would list a million trains, and no maker put more between two arbors whose speed he chose."""
USUAL_LEAVES = frozenset({6, 7, 8, 10, 12, 14, 16})
"""Leaves that makers mostly used (common practice, no source)."""

Products = tuple[NDArray[np.int64], NDArray[np.int64]]


@dataclass(frozen=True, order=True)
class Split:
    """Wheels and pinions that make a ratio; both falling, so that the slowest arbor has the most teeth and leaves."""

    demerit: float
    """Lower is better, see `_demerit`; first, so that splits sort by it."""
    wheels: tuple[int, ...]
    pinions: tuple[int, ...]

    @property
    def ratio(self) -> Fraction:
        return Fraction(prod(self.wheels), prod(self.pinions))


@dataclass(frozen=True)
class Limits:
    """Counts that may be cut."""

    teeth: tuple[int, int]
    leaves: tuple[int, int]
    pinions: tuple[int, ...] | None = None
    """The pinions of these meshes, where they are not to be chosen."""

    def pinion_sets(self, meshes: int) -> list[tuple[int, ...]]:
        """Every choice of so many pinions, falling."""
        if self.pinions is not None:
            return [tuple(sorted(self.pinions, reverse=True))]
        return list(combinations_with_replacement(range(self.leaves[1], self.leaves[0] - 1, -1), meshes))


@cache
def _wheel_sets(least: int, most: int, meshes: int) -> Products:
    """(products rising (N,), the wheels falling (N, meshes)) of every choice of wheels."""
    sets = np.array(list(combinations_with_replacement(range(most, least - 1, -1), meshes)), dtype=np.int64)
    products = sets.prod(axis=1)
    order = np.argsort(products, kind="stable")
    return products[order], sets[order]


def splits(ratio: Fraction, meshes: int, limits: Limits, within: Fraction = Fraction(0)) -> list[Split]:
    """Every choice of wheels and pinions whose ratio is right but for a part `within` of it, best first.

    No mesh at all makes the ratio 1.
    """
    if meshes == 0:
        return [Split(0.0, (), ())] if abs(ratio - 1) <= within else []
    products, sets = _wheel_sets(*limits.teeth, meshes)
    found = []
    for pinions in limits.pinion_sets(meshes):
        wanted = ratio * prod(pinions)
        start = np.searchsorted(products, ceil(wanted * (1 - within)), side="left")
        end = np.searchsorted(products, floor(wanted * (1 + within)), side="right")
        found += [_split(tuple(map(int, wheels)), pinions) for wheels in sets[start:end]]
    return sorted(found)


def nearest(ratio: Fraction, meshes: int, limits: Limits) -> Split:
    """The choice inside the limits whose ratio is nearest; of equally near ones the best."""
    products, sets = _wheel_sets(*limits.teeth, meshes)
    found: list[tuple[Fraction, Split]] = []
    for pinions in limits.pinion_sets(meshes):
        wanted = ratio * prod(pinions)
        place = int(np.searchsorted(products, floor(wanted)))
        for at in {max(0, place - 1), min(place, len(products) - 1), min(place + 1, len(products) - 1)}:
            one = _split(tuple(map(int, sets[at])), pinions)
            found.append((abs(one.ratio / ratio - 1), one))
    return min(found)[1]


def _split(wheels: tuple[int, ...], pinions: tuple[int, ...]) -> Split:
    return Split(_demerit(wheels, pinions), wheels, pinions)


def _demerit(wheels: tuple[int, ...], pinions: tuple[int, ...]) -> float:
    """Uncommon leaves count 1, each leaf below eight a tenth; then uneven steps, then teeth (common practice, no source)."""
    steps = [wheel / leaves for wheel, leaves in zip(wheels, pinions, strict=True)]
    uncommon = sum((leaves not in USUAL_LEAVES) + max(0, 8 - leaves) / 10 for leaves in pinions)
    return uncommon + log(max(steps) / min(steps)) + sum(wheels) / 1000
