"""A small chart: axes with round ticks, curves, hairlines. Values in, px out, and back again."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from builder.drawing.path import number, opened
from builder.drawing.sheet import Figure, Shape, Words
from builder.ground import words
from builder.parts.source.drive import Curve

Array = NDArray[np.float64]

STEPS = (1.0, 2.0, 5.0, 10.0)
"""What a step between ticks may be, times a power of ten."""
BETWEEN = 12
"""Points of a smooth line from one computed point to the next."""


@dataclass(frozen=True)
class Scale:
    """One axis: values from `low` to `high` lie from `start_px` to `end_px`, evenly or by powers of ten."""

    low: float
    high: float
    start_px: float
    end_px: float
    decades: bool = False

    def px(self, value: ArrayLike) -> Array:
        """Where a value lies, same shape; nan stays nan."""
        low, high, at = (self._even(v) for v in (self.low, self.high, value))
        return self.start_px + (at - low) / (high - low) * (self.end_px - self.start_px)

    def value(self, px: ArrayLike) -> Array:
        """What lies at a place: the inverse of `px`."""
        low, high = self._even(self.low), self._even(self.high)
        at = low + (np.asarray(px, dtype=float) - self.start_px) / (self.end_px - self.start_px) * (high - low)
        return np.asarray(10.0**at if self.decades else at)

    def ticks(self, most: int = 5) -> tuple[float, ...]:
        """Round values within the axis, at most so many: multiples of 1, 2 or 5, or whole powers of ten."""
        if self.decades:
            first, last = math.ceil(math.log10(self.low) - 1e-9), math.floor(math.log10(self.high) + 1e-9)
            each = max(1, math.ceil((last - first + 1) / most))
            return tuple(10.0**power for power in range(first, last + 1, each))
        step = self._step(most)
        return tuple(step * n for n in range(math.ceil(self.low / step - 1e-9), math.floor(self.high / step + 1e-9) + 1))

    def enough(self, most: int) -> int:
        """How many ticks to allow so that there are two at least: a scale cannot be read from one."""
        return next((each for each in (most, most + 1) if len(self.ticks(each)) > 1), most + 2)

    def text(self, tick: float, most: int = 5) -> str:
        """A tick as it is written, all of an axis with the same decimals."""
        if self.decades:
            return words.grouped(f"{tick:.{max(0, -round(math.log10(tick)))}f}")
        places = max(0, -math.floor(math.log10(self._step(most)) + 1e-9))
        return words.grouped(f"{tick:.{places}f}") if round(tick, places) else "0"

    def _step(self, most: int) -> float:
        """The least round step that gives no more than `most` ticks."""
        power = 10.0 ** float(math.floor(math.log10((self.high - self.low) / most)))
        for step in (power * part for part in (*STEPS, 20.0)):
            if math.floor(self.high / step + 1e-9) - math.ceil(self.low / step - 1e-9) < most:
                return step
        raise AssertionError("twenty of the largest power are always few enough")

    def _even(self, value: ArrayLike) -> Array:
        given = np.asarray(value, dtype=float)
        return np.log10(given) if self.decades else given


def around(values: ArrayLike, from_zero: bool = False, room: float = 0.08) -> tuple[float, float]:
    """Ends of an axis that holds all finite values with some room; where they are all alike, a band about them."""
    finite = np.asarray(values, dtype=float)
    finite = finite[np.isfinite(finite)]
    low, high = (float(finite.min()), float(finite.max())) if len(finite) else (0.0, 1.0)
    if from_zero:
        low, high = min(low, 0.0), max(high, 0.0)
    if high - low < 1e-9 * max(abs(low), abs(high), 1e-300):
        low, high = low - (abs(low) or 1.0) * 0.5, high + (abs(high) or 1.0) * 0.5
    more = room * (high - low)
    return (low if from_zero and low == 0.0 else low - more), (high if from_zero and high == 0.0 else high + more)


@dataclass(frozen=True)
class Panel:
    """A field of a chart between two axes; `up.start_px` is its lower edge."""

    across: Scale
    up: Scale

    def points(self, xs: ArrayLike, ys: ArrayLike) -> Array:
        """(N, 2) px."""
        return np.column_stack([self.across.px(xs), self.up.px(ys)])

    def curve(self, xs: ArrayLike, ys: ArrayLike) -> str:
        """A line through the values, broken where they are not finite; '' where no two in a row lie apart."""
        return "".join(_line(self.points(*part)) for part in _runs(xs, ys))

    def smooth(self, xs: ArrayLike, ys: ArrayLike) -> str:
        """The same with cubics between the values that never overshoot them."""
        return "".join(_line(self.points(*smoothed(*part))) for part in _runs(xs, ys) if len(part[0]) > 1)

    def upright(self, x: float, above_px: float = 0.0) -> str:
        """A line at a value of the axis across, from `above_px` over the field to its foot."""
        return f"M{number(float(self.across.px(x)))} {number(self.up.end_px - above_px)}V{number(self.up.start_px)}"

    def level(self, y: float) -> str:
        """A line at a value of the upright axis."""
        at = number(float(self.up.px(y)))
        return f"M{number(self.across.start_px)} {at}H{number(self.across.end_px)}"

    def frame(self, title: str, most: int = 3, ticks_across: Sequence[tuple[float, str]] = (), labelled: bool = True) -> Figure:
        """Axes with their ticks, the title over the field at the left; `ticks_across` are (value, text) for the foot. A second
        field beside a first is not `labelled` again."""
        left, right = self.across.start_px, self.across.end_px
        top, foot = self.up.end_px, self.up.start_px
        most = self.up.enough(most)
        ticks = self.up.ticks(most)
        marks = "".join(f"M{number(left - 5)} {number(float(self.up.px(tick)))}H{number(left)}" for tick in ticks)
        marks += "".join(f"M{number(float(self.across.px(x)))} {number(foot)}v5" for x, _ in ticks_across)
        shapes = [
            Shape("".join(self.level(tick) for tick in ticks), "grid"),
            Shape(f"M{number(left)} {number(top)}V{number(foot)}H{number(right)}{marks}", "outline ruled"),
        ]
        said = []
        if labelled:
            said += [Words(left - 10, float(self.up.px(tick)), self.up.text(tick, most), "label tick", "end") for tick in ticks]
        said += [Words(float(self.across.px(x)), foot + 8, text, "label tick below") for x, text in ticks_across]
        if title:
            said.append(Words(left, top - 6, title, "label heading", "start"))
        return Figure(None, None, shapes=tuple(shapes), words=tuple(said), classes="panel")


def ticks_of(scale: Scale, most: int = 5) -> tuple[tuple[float, str], ...]:
    """(value, text) of an axis' ticks, for a panel's foot."""
    return tuple((tick, scale.text(tick, most)) for tick in scale.ticks(most))


def smoothed(xs: ArrayLike, ys: ArrayLike, between: int = BETWEEN) -> tuple[Array, Array]:
    """Values at the points and `between` - 1 more in every gap, on cubics that keep to the shape of what was computed."""
    known, values = np.asarray(xs, dtype=float), np.asarray(ys, dtype=float)
    share = np.arange(between) / between
    fine = np.append((known[:-1, None] + np.diff(known)[:, None] * share).ravel(), known[-1])
    # the law that reads torques between bench readings is a curve through any points
    return fine, Curve(tuple(known), tuple(values)).torque_nmm(fine)


def _line(points_px: Array) -> str:
    """An open line, or nothing where all its points fall on one."""
    drawn = opened(points_px, 1)
    return "" if drawn.endswith("l") else drawn


def _runs(xs: ArrayLike, ys: ArrayLike) -> Iterable[tuple[Array, Array]]:
    """The stretches in which every value is finite."""
    x, y = np.asarray(xs, dtype=float), np.asarray(ys, dtype=float)
    good = np.isfinite(x) & np.isfinite(y)
    cuts = np.flatnonzero(np.diff(good.astype(int))) + 1
    for part in np.split(np.arange(len(x)), cuts):
        if len(part) and good[part[0]]:
            yield x[part], y[part]
