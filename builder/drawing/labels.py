"""Labels over a chart's hairlines: each in a row of its own where it must, so that no label crosses another or a hairline."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Literal

Anchor = Literal["start", "end"]

PAST_PX = 4.0
"""From a hairline to its label, and between a label and what stands beside it."""


@dataclass(frozen=True)
class Placed:
    """A label beside its hairline: row 0 is the highest, and the hairline runs from it down."""

    x: float
    row: int
    anchor: Anchor
    width: float

    @cached_property
    def box(self) -> tuple[float, float]:
        """Left and right end of the label."""
        near = self.x + PAST_PX if self.anchor == "start" else self.x - PAST_PX - self.width
        return near, near + self.width

    def clear_of(self, other: Placed) -> bool:
        """Whether neither label lies on the other nor on its hairline."""
        mine, theirs = self.box, other.box
        if self.row == other.row and mine[0] < theirs[1] + PAST_PX and theirs[0] < mine[1] + PAST_PX:
            return False
        return not (_over(mine, other.x) and other.row <= self.row) and not (_over(theirs, self.x) and self.row <= other.row)


def _over(box: tuple[float, float], x: float) -> bool:
    return box[0] - PAST_PX / 2 < x < box[1] + PAST_PX / 2


@lru_cache(maxsize=64)
def rows(xs: tuple[float, ...], widths: tuple[float, ...], left_px: float, right_px: float) -> tuple[Placed, ...]:
    """Every label in the fewest rows that keep all clear, within the field; `xs` rise. Where none do, each has its own row."""
    for count in range(1, len(xs) + 1):
        found = _place(xs, widths, left_px, right_px, count, ())
        if found is not None:
            return found
    return tuple(Placed(x, n, "start", width) for n, (x, width) in enumerate(zip(xs, widths, strict=True)))


def _place(
    xs: tuple[float, ...], widths: tuple[float, ...], left: float, right: float, count: int, placed: tuple[Placed, ...]
) -> tuple[Placed, ...] | None:  # fmt: skip
    if len(placed) == len(xs):
        return placed
    x, width = xs[len(placed)], widths[len(placed)]
    for row in reversed(range(count)):
        for anchor in ("start", "end"):
            one = Placed(x, row, anchor, width)
            if one.box[0] < left or one.box[1] > right or not all(one.clear_of(other) for other in placed):
                continue
            if (found := _place(xs, widths, left, right, count, (*placed, one))) is not None:
                return found
    return None
