"""Stretches of a wished-for train, and trains that grant them."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from typing import Literal

from builder.bench.trains.factors import MOST_MESHES, Split

Start = Literal["great", "minute", "seconds"]


@dataclass(frozen=True)
class Wished:
    """One stretch between two arbors whose speed is wished for."""

    start: Start
    """The arbor that it starts from."""
    ratio: Fraction
    meshes: int
    within: Fraction


@dataclass(frozen=True)
class Found:
    """One train: a split for every stretch."""

    plan: tuple[Wished, ...]
    splits: tuple[Split, ...]

    @property
    def off(self) -> Fraction:
        """The largest part by which a stretch misses its ratio."""
        return max((split.ratio / stretch.ratio - 1 for stretch, split in zip(self.plan, self.splits, strict=True)), key=abs)

    @property
    def demerit(self) -> float:
        """Lower is better: that of its splits, and one for each further cutter of pinions and each per cent that it is off."""
        cutters = len({leaves for split in self.splits for leaves in split.pinions}) - 1
        return sum(split.demerit for split in self.splits) + cutters + 100 * abs(float(self.off))

    @property
    def pairs(self) -> tuple[tuple[int, int], ...]:
        """Driver and driven of every mesh, great wheel first."""
        return tuple(pair for split in self.splits for pair in zip(split.wheels, split.pinions, strict=True))

    def made(self, great: bool) -> Fraction:
        """Ratio of the stretch from the great wheel, or of all the rest."""
        ratio = Fraction(1)
        for stretch, split in zip(self.plan, self.splits, strict=True):
            if (stretch.start == "great") == great:
                ratio *= split.ratio
        return ratio


def shared_out(wished: list[tuple[Start, Fraction, Fraction]], meshes: int) -> list[tuple[Wished, ...]]:
    """Every way to share so many meshes out among stretches of (start, ratio, part that it may be off)."""
    return [
        tuple(Wished(start, ratio, share, within) for (start, ratio, within), share in zip(wished, shares, strict=True))
        for shares in product(range(1, MOST_MESHES + 1), repeat=len(wished))
        if sum(shares) == meshes
    ]
