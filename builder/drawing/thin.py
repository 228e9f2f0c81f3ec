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


@lru_cache(maxsize=128)
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
    """Indices of the points that stay: ends, and whatever lies furthest from the chord between two that stay, if too far.

    By Ramer (1972) and Douglas and Peucker (1973), but all chords at once: each is broken at most once a round.
    """
    x, y = points.T
    stays, done = np.zeros(len(points), dtype=bool), np.zeros(len(points), dtype=bool)  # done: the chord that begins there
    stays[[0, -1]] = True
    while True:
        kept = np.flatnonzero(stays)
        left = np.flatnonzero(~done[kept[:-1]] & (np.diff(kept) > 1))
        if not len(left):
            return kept
        start, end = kept[left], kept[left + 1]
        inside = end - start - 1
        first = np.cumsum(inside) - inside  # where the points inside each chord begin
        chord = np.repeat(np.arange(len(left)), inside)
        own = np.arange(len(chord)) + (start + 1 - first)[chord]
        off = _off(x, y, start[chord], end[chord], own)
        most = np.maximum.reduceat(off, first)
        furthest = np.empty(len(left), dtype=int)
        tops = np.flatnonzero(off == most[chord])[::-1]
        furthest[chord[tops]] = own[tops]  # the first of several
        far = most > within_px * within_px
        stays[furthest[far]] = True
        done[start[~far]] = True


def _off(x: np.ndarray, y: np.ndarray, start: np.ndarray, end: np.ndarray, own: np.ndarray) -> np.ndarray:
    """Square of the distance of each point from its chord."""
    cx, cy, u, v = x[end] - x[start], y[end] - y[start], x[own] - x[start], y[own] - y[start]
    square = cx * cx + cy * cy
    along = np.clip((u * cx + v * cy) / np.where(square > 0.0, square, 1.0), 0.0, 1.0)
    u, v = u - along * cx, v - along * cy
    return u * u + v * v
