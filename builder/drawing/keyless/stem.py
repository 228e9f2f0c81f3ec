"""Stem, crown, winding pinion and sliding clutch, seen from the side, and the crown once more from its end."""

from __future__ import annotations

import math

import numpy as np

from builder.drawing.keyless import side
from builder.drawing.keyless.layout import CLUTCH_PX, PINION_PX, PULL_PX, SLIDE_PX, TOOTH_PX, TURN_MS, Layout
from builder.drawing.path import circle, closed, number
from builder.drawing.shapes import rounded_box
from builder.drawing.sheet import Figure, Move, Shape

STEM_PX = 11.0
CROWN_PX = (176.0, 238.0)
"""The crown along the stem, pushed in."""
CROWN_RADIUS_PX = 62.0
FLUTES = 24
END_PX = 350.0
"""Where the crown is seen from its end."""
PIVOT_PX = (-136.0, -118.0)
"""The stem's pivot in the plate, crown in."""


def stem(laid: Layout, out: bool, label: str) -> Figure:
    """From its pivot in the plate to the crown: square under the clutch, round under the winding pinion, then a groove."""
    groove, square = laid.levers.groove_px, PINION_PX[0] + 2
    ends = [PIVOT_PX[1], square, PINION_PX[1], groove - 7, groove + 7, CROWN_PX[0]]
    radii = [3.5, 8.0, STEM_PX - 2, STEM_PX, 5.0, STEM_PX]
    upper = [(start, r) for start, r in zip([PIVOT_PX[0], *ends[:-1]], radii, strict=True)]
    edge = [point for (start, r), end in zip(upper, ends, strict=True) for point in ((start, r), (end, r))]
    outline = np.array([*edge, *((x, -y) for x, y in reversed(edge))]) + np.array([_pull(out), 0.0])
    flat = f"M{number(PIVOT_PX[1] + _pull(out))} 0H{number(square + _pull(out))}"
    return Figure("stem", label, shapes=(Shape(closed(outline, 1), "steel"), Shape(flat, "detail")))


def winding_pinion(laid: Layout, out: bool, label: str) -> Figure:
    """Coupling teeth towards the clutch, and leaves that meet the crown wheel; it turns only with the crown in."""
    count, radius = laid.keyless.winding_pinion, laid.pinion_radius
    left, right = PINION_PX
    parts = (
        _rolled(count, radius, side.body(side.coupling(left, TOOTH_PX), right), "steel", not out),
        _rolled(count, radius, side.lines(left + TOOTH_PX, right), "detail", not out),
    )
    return Figure("winding-pinion", label, inner=parts)


def clutch(laid: Layout, out: bool, label: str) -> Figure:
    """Coupling teeth on the right, a groove for the yoke, on the left the teeth that meet the setting wheel. It always turns."""
    (left, right), radius = CLUTCH_PX, laid.clutch_radius
    start, end, neck = left + 17, right - 17, 0.62 * radius
    coupled, setting = laid.keyless.winding_pinion, laid.keyless.clutch
    n = number
    groove = f"M{n(start)} {n(-neck)}H{n(end)}V{n(neck)}H{n(start)}z"
    parts = (
        Figure(None, None, shapes=(Shape(groove, "steel"),)),
        _rolled(coupled, radius, side.body(side.coupling(right, TOOTH_PX), end), "steel", True),
        _rolled(setting, radius, side.body(side.crowned(left, -TOOTH_PX), start), "steel", True),
        _rolled(setting, radius, side.lines(left, left + 7), "detail", True),
    )
    return Figure("sliding-clutch", label, (-SLIDE_PX if out else 0.0, 0.0), inner=parts)


def crown(out: bool, label: str) -> Figure:
    """From the side, its flutes coming over the top as it turns."""
    wide = CROWN_PX[1] - CROWN_PX[0]
    box = Figure(None, None, shapes=(Shape(rounded_box(wide, 2 * CROWN_RADIUS_PX, 9), "brass"),))
    flutes = _rolled(FLUTES, CROWN_RADIUS_PX - 1.5, side.lines(7 - wide / 2, wide / 2 - 7), "detail", True)
    return Figure("crown", label, (sum(CROWN_PX) / 2 + _pull(out), 0.0), inner=(box, flutes))


def crown_end() -> Figure:
    """As one looks at its end: it turns clockwise, as for winding."""
    r, n = CROWN_RADIUS_PX, number
    angles = np.arange(0, 2 * np.pi, np.pi / 2 / FLUTES)
    quarter = np.arange(len(angles)) % 4
    radii = r * (1 - 0.045 * (quarter == 0) - 0.02 * (quarter % 2))
    rim = closed(np.stack((radii * np.cos(angles), radii * np.sin(angles)), axis=-1), 1)
    mark = f"M0 {n(-0.5 * r)}V{n(-0.8 * r)}"
    shapes = (Shape(rim, "brass"), Shape(circle(0.45 * r), "brass detail"), Shape(mark, "turning outline"))
    disc = Figure(None, None, moves=(Move("rotate", ("0", "360"), (0.0, 1.0), TURN_MS),), shapes=shapes)
    x, y, tip = 1.2 * r * math.sin(math.radians(50)), -1.2 * r * math.cos(math.radians(50)), 1.2 * r
    arrow = f"M{n(-x)} {n(y)}A{n(tip)} {n(tip)} 0 0 1 {n(x)} {n(y)}m-12-3l12 3l2-12"
    return Figure("crown", None, (END_PX, 0.0), inner=(disc, Figure(None, None, shapes=(Shape(arrow, "outline"),))))


def _pull(out: bool) -> float:
    return PULL_PX if out else 0.0


def _rolled(count: int, radius: float, draw: side.Teeth, classes: str, moves: bool) -> Figure:
    still, move = side.rolling(count, radius, draw)
    return Figure(None, None, moves=(move,) if moves else (), shapes=(Shape(still, classes),))
