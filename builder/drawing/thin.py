"""Outlines with fewer points, for a file that must be small: what is left out is less than a screen shows."""

from __future__ import annotations

import re
from functools import lru_cache

import numpy as np

from builder.drawing.path import Points, closed, opened

WITHIN_PX = 0.08
"""No point of the outline lies further from the thinned one: a tenth of the finest line."""
FEW = 8
"""An outline of so few points is left as it is."""

DRAWN = re.compile(r'(?<= d=")[^"]*')
OUTLINE = re.compile(r"M([-\d. ]+)l([-\d. ]+)(z?)")
"""A polygon or polyline as `path.closed` and `path.opened` write it."""
NUMBER = re.compile(r"-?(?:\d+\.?\d*|\.\d+)")


def thinned(svg: str, within_px: float = WITHIN_PX) -> str:
    """The text with every such outline thinned that is drawn in it; one digit after the point.

    Curves and arcs stay as they are, and so do outlines that an animation goes through: they must keep the same points.
    """

    def thin(drawn: re.Match[str]) -> str:
        return OUTLINE.sub(lambda found: _thinned(found[0], found[1], found[2], found[3], within_px), drawn[0])

    return DRAWN.sub(thin, svg)


@lru_cache(maxsize=4096)
def _thinned(whole: str, start: str, steps: str, end: str, within_px: float) -> str:
    ways = _numbers(steps)
    if len(ways) < 2 * FEW or len(ways) % 2:
        return whole
    first = _numbers(start)
    points = np.vstack([first, first + np.cumsum(ways.reshape(-1, 2), axis=0)])
    if not end:
        return opened(points[_kept(points, within_px)], 1)
    ring = np.vstack([points, points[:1]])
    far = int(np.hypot(*(points - first).T).argmax())  # a ring has no ends; it is cut at two points far from each other
    kept = np.concatenate([_kept(ring[: far + 1], within_px), far + _kept(ring[far:], within_px)[1:-1]])
    return closed(ring[kept], 1)


def _numbers(text: str) -> Points:
    return np.array(NUMBER.findall(text), dtype=float)


def _kept(points: Points, within_px: float) -> np.ndarray:
    """Indices of the points that stay: ends, and whatever lies furthest from the chord between two that stay, if too far."""
    x, y = points[:, 0].copy(), points[:, 1].copy()
    keep, spans = [0, len(points) - 1], [(0, len(points) - 1)]
    while spans:
        a, b = spans.pop()
        if b - a < 2:
            continue
        cx, cy = x[b] - x[a], y[b] - y[a]
        u, v = x[a + 1 : b] - x[a], y[a + 1 : b] - y[a]
        if square := cx * cx + cy * cy:
            along = np.minimum(np.maximum((u * cx + v * cy) / square, 0.0), 1.0)
            u, v = u - along * cx, v - along * cy
        off = u * u + v * v
        furthest = int(off.argmax())
        if off[furthest] > within_px * within_px:
            middle = a + 1 + furthest
            keep.append(middle)
            spans += [(a, middle), (middle, b)]
    return np.array(sorted(keep))
