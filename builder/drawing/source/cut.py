"""What section views are made of: rectangles, hatching of what the saw has gone through, shapes that change with time."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from builder.drawing.path import line, number
from builder.drawing.sheet import Figure, Move, Shape

HATCH_PX = 7.0

Box = tuple[float, float, float, float]
"""Left, top, right, bottom, px."""


def box_d(box: Box) -> str:
    """A rectangle."""
    left, top, right, bottom = box
    n = number
    return f"M{n(left, 1)} {n(top, 1)}H{n(right, 1)}V{n(bottom, 1)}H{n(left, 1)}z"


def cut(boxes: list[Box], material: str) -> tuple[Shape, Shape]:
    """Rectangles of one part that the section goes through, hatched."""
    hatching = "".join(_hatched(box) for box in boxes)
    return Shape("".join(box_d(box) for box in boxes), material), Shape(hatching, "detail hatching")


def _hatched(box: Box) -> str:
    """Lines at 45° through a rectangle, a fixed distance apart all over the sheet."""
    left, top, right, bottom = box
    d = ""
    first, last = np.ceil((left + top) / HATCH_PX), np.floor((right + bottom) / HATCH_PX)
    for k in np.arange(first, last + 1):
        total = float(k) * HATCH_PX  # x + y along the line
        x0, x1 = max(left, total - bottom), min(right, total - top)
        if x1 - x0 > 0.5:
            d += line(x0, total - x0, x1, total - x1, 1)
    return d


def changing(
    part: str | None, label: str | None, classes: str, move: Move, at: tuple[float, float] = (0.0, 0.0), turned_deg: float = 0.0
) -> Figure:
    """A shape that changes with time."""
    return Figure(part, label, at, turned_deg, (move,), (Shape(move.values[0], classes),))


def still_twin(figure: Figure) -> Figure:
    """The figure as it stands at 12 o'clock, for readers who want no motion: what comes and goes gives way to it."""
    return replace(figure, label=None, moves=(), classes="still", inner=tuple(still_twin(each) for each in figure.inner))
