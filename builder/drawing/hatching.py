"""What sections are drawn with: rectangles, broken ends, and hatching of what has been cut."""

from __future__ import annotations

import math

from builder.drawing.path import line, number
from builder.drawing.sheet import Shape

Box = tuple[float, float, float, float]
"""Left, top, right, bottom, px."""

HATCH_PX = 6.0
BREAK_PX = 5.0
"""Depth of the zigzag where a part is broken off."""

LEFT_LEANING = ("dial", "back-cock", "balance-cock", "cover")
"""Parts whose hatching leans the other way, so that neighbours differ."""


def box_d(box: Box) -> str:
    """A rectangle."""
    left, top, right, bottom = (number(v, 1) for v in box)
    return f"M{left} {top}H{right}V{bottom}H{left}z"


def broken_below(box: Box) -> str:
    """A rectangle broken off at its lower end."""
    left, top, right, bottom = box
    middle, n = (left + right) / 2, number
    return (
        f"M{n(left, 1)} {n(top, 1)}H{n(right, 1)}V{n(bottom, 1)}L{n(middle, 1)} {n(bottom - BREAK_PX, 1)}"
        f"L{n(middle, 1)} {n(bottom + BREAK_PX, 1)}L{n(left, 1)} {n(bottom, 1)}z"
    )


def hatched(boxes: list[Box], kind: str, part: str) -> tuple[Shape, Shape]:
    """Rectangles that the section goes through, with their hatching."""
    lean = -1 if part in LEFT_LEANING else 1
    lines = "".join(_hatching(box, lean) for box in boxes)
    return Shape("".join(box_d(box) for box in boxes), f"{kind} section"), Shape(lines, "detail hatching")


def _hatching(box: Box, lean: int) -> str:
    """Lines at 45° through a rectangle, a fixed distance apart all over the sheet."""
    left, top, right, bottom = box
    if lean < 0:
        top, bottom = -bottom, -top
    d = ""
    for k in range(math.ceil((left + top) / HATCH_PX), math.floor((right + bottom) / HATCH_PX) + 1):
        total = k * HATCH_PX  # x + y along the line
        x0, x1 = max(left, total - bottom), min(right, total - top)
        if x1 - x0 > 0.4:
            d += line(x0, lean * (total - x0), x1, lean * (total - x1), 1)
    return d
