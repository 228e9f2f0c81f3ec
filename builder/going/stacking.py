"""Blocks of parts that keep their heights to one another, each raised until it clears what is already there.

A stand-in for measured heights: it shows one way in which the movement can be built, the lowest, not how it was built.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from builder.going.solids import TOUCH, Region, over
from builder.ground.faults import Key


@dataclass(frozen=True, eq=False)
class Item:
    """One part of a block: what it covers in plan, from where to where (mm; in a block, from the block's own height)."""

    part: str
    """As drawings mark it."""
    arbor: str
    region: Region
    low_mm: float
    high_mm: float
    key: Key = ()
    """Where the file gives its height; () where nothing does."""
    name: str = ""
    """In words, for complaints."""

    @property
    def measured(self) -> bool:
        return bool(self.key)

    @property
    def middle_mm(self) -> float:
        return (self.low_mm + self.high_mm) / 2

    def raised(self, by_mm: float) -> Item:
        return replace(self, low_mm=self.low_mm + by_mm, high_mm=self.high_mm + by_mm)


@dataclass(frozen=True, eq=False)
class Block:
    """Items that move together; `at_mm` is the height of the block where the file gives it."""

    items: tuple[Item, ...]
    at_mm: float | None = None

    def raised(self) -> tuple[Item, ...]:
        assert self.at_mm is not None
        return tuple(item.raised(self.at_mm) for item in self.items)


def stacked(blocks: Iterable[Block], clear_mm: float, room_mm: float | None) -> list[Item] | None:
    """Every item at its height: given blocks first, then each other one at the lowest free height in order.

    None where a block finds no free height under `room_mm`.
    """
    waiting = list(blocks)
    placed = [item for block in waiting if block.at_mm is not None for item in block.raised()]
    for block in waiting:
        if block.at_mm is None:
            at = _lowest(block, placed, clear_mm, room_mm)
            if at is None:
                return None
            placed += replace(block, at_mm=at).raised()
    return placed


def _lowest(block: Block, placed: list[Item], clear_mm: float, room_mm: float | None) -> float | None:
    pairs = [(one, other) for one in block.items for other in placed if over(one.region, other.region)]
    floor = clear_mm - min(item.low_mm for item in block.items)
    candidates = sorted([floor, *(other.high_mm + _gap(one, other, clear_mm) - one.low_mm for one, other in pairs)])
    for at in candidates:
        if at < floor - TOUCH:
            continue
        if room_mm is not None and at + max(item.high_mm for item in block.items) > room_mm - clear_mm + TOUCH:
            return None
        if all(_apart(one.raised(at), other, clear_mm) for one, other in pairs):
            return at
    return None


def _gap(one: Item, other: Item, clear_mm: float) -> float:
    """A wheel may lie against its own pinion."""
    return 0.0 if one.arbor == other.arbor else clear_mm


def _apart(one: Item, other: Item, clear_mm: float) -> bool:
    gap = _gap(one, other, clear_mm) - TOUCH
    return one.low_mm >= other.high_mm + gap or other.low_mm >= one.high_mm + gap
