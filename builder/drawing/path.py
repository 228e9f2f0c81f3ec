"""Points to the `d` of an SVG path. The digits are decided here and nowhere else.

Movements are computed in mm with y upwards; drawings are in px with y downwards. `View` carries the scale, the side one
looks from, and the decimals.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
"""(N, 2)."""


def number(value: float, places: int = 2) -> str:
    """Shortest text of a rounded number: no trailing zeros, no '-0', no leading zero."""
    text = f"{value:.{places}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    if text in ("-0", ""):
        return "0"
    return text.replace("0.", ".", 1) if text.startswith(("0.", "-0.")) else text


def joined(numbers: Iterable[str]) -> str:
    """Numbers side by side; a minus sign separates by itself."""
    return " ".join(numbers).replace(" -", "-")


@lru_cache(maxsize=1 << 14)
def _grid_number(count: int, places: int) -> str:
    """So many steps of the grid as a number. The same short steps come again and again."""
    return number(count / 10**places, places)


def _grid_numbers(counts: NDArray[np.int_], places: int) -> str:
    return joined([_grid_number(count, places) for count in counts.ravel().tolist()])


@dataclass(frozen=True)
class View:
    """From mm to px: x right, y down. From the back the movement is seen mirrored."""

    scale: float
    """px per mm."""
    back: bool = False

    def px(self, points_mm: Points) -> Points:
        """(…, 2) mm, y up, to px, y down."""
        return np.asarray(points_mm, dtype=float) * (self.scale, self.scale) * (-1 if self.back else 1, -1)

    def turn_deg(self, ccw_deg: float) -> float:
        """A counter-clockwise angle seen from the front as SVG's clockwise degrees on this view."""
        return ccw_deg if self.back else -ccw_deg


def closed(points_px: Points, places: int = 2) -> str:
    """A closed polygon as one relative path; rounding errors do not add up (each step aims at the true point)."""
    unit = 10**places
    grid = np.rint(np.asarray(points_px) * unit).astype(int)
    steps = np.diff(grid, axis=0)
    steps = steps[(steps[:, 0] != 0) | (steps[:, 1] != 0)]
    return f"M{_grid_numbers(grid[0], places)}l{_grid_numbers(steps, places)}z"


def opened(points_px: Points, places: int = 2) -> str:
    """An open polyline."""
    return closed(points_px, places)[:-1]


def smooth(points_px: Points, every: int, places: int = 1) -> str:
    """A curve through every `every`-th of finely sampled points as cubic pieces with the curve's own tangents there.

    Handles are as long as on a circle arc of the same turn, 4/3 tan(turn/4) radii, so that coils come out round.
    """
    points = np.asarray(points_px, dtype=float)
    knots = np.append(np.arange(0, len(points) - 1, every), len(points) - 1)
    tangents = np.gradient(points, axis=0, edge_order=2)[knots]
    unit = 10**places
    text, at = "", np.rint(points[0] * unit).astype(int)
    start = _grid_numbers(at, places)
    for k in range(len(knots) - 1):
        (ax, ay), (bx, by) = tangents[k], tangents[k + 1]
        turn = abs(math.atan2(ax * by - ay * bx, ax * bx + ay * by))
        run = (knots[k + 1] - knots[k]) / 3 * (4 * math.tan(turn / 4) / turn if turn > 1e-6 else 1.0)
        corners = (points[knots[k]] + run * tangents[k], points[knots[k + 1]] - run * tangents[k + 1], points[knots[k + 1]])
        steps = np.rint(np.array(corners) * unit).astype(int) - at
        text += ("c" if not text else "" if steps[0][0] < 0 else " ") + _grid_numbers(steps, places)
        at = at + steps[-1]
    return f"M{start}{text}"


def circle(radius_px: float, at: tuple[float, float] = (0.0, 0.0), places: int = 2) -> str:
    """A full circle as two arcs."""
    r, x, y = (number(v, places) for v in (radius_px, at[0] - radius_px, at[1]))
    d = number(2 * radius_px, places)
    return f"M{x} {y}a{r} {r} 0 1 0 {d} 0a{r} {r} 0 1 0-{d} 0z"


def line(x1: float, y1: float, x2: float, y2: float, places: int = 2) -> str:
    return opened(np.array([[x1, y1], [x2, y2]]), places)
