"""Points and directions in the plane: arrays (..., 2), x to the right, y up, angles counter-clockwise from +x in rad."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

Points = NDArray[np.float64]
"""(..., 2); an outline is (N, 2), closed without repeating its first point, counter-clockwise round its material."""


def polar(radius: ArrayLike, angle_rad: ArrayLike) -> Points:
    """Points at a radius and angle about the origin: the two arguments broadcast, result (..., 2)."""
    r, a = np.broadcast_arrays(np.asarray(radius, dtype=float), np.asarray(angle_rad, dtype=float))
    return np.stack((r * np.cos(a), r * np.sin(a)), axis=-1)


def turned(points: ArrayLike, angle_rad: ArrayLike, about: ArrayLike = (0.0, 0.0)) -> Points:
    """The points turned counter-clockwise about a point; angle broadcasts against the points without their last axis."""
    centre = np.asarray(about, dtype=float)
    arm = np.asarray(points, dtype=float) - centre
    cos, sin = np.cos(angle_rad), np.sin(angle_rad)
    x, y = arm[..., 0], arm[..., 1]
    return np.stack((x * cos - y * sin, x * sin + y * cos), axis=-1) + centre


def cross(a: ArrayLike, b: ArrayLike) -> NDArray[np.float64]:
    """a × b, the z of the cross product of vectors (..., 2): > 0 when b lies counter-clockwise of a."""
    a, b = np.asarray(a, dtype=float), np.asarray(b, dtype=float)
    return a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]


def arc(centre: ArrayLike, radius: float, start_rad: float, end_rad: float, chord_error: float) -> Points:
    """An arc as points (N, 2), both ends on it, N least such that no chord is further than `chord_error` from the arc."""
    flat = min(1.0, chord_error / radius)
    steps = max(1, math.ceil(abs(end_rad - start_rad) / (2 * math.acos(1 - flat)) - 1e-9))
    return np.asarray(centre, dtype=float) + polar(radius, np.linspace(start_rad, end_rad, steps + 1))


def line_circle(point: ArrayLike, direction: ArrayLike, centre: ArrayLike, radius: ArrayLike) -> NDArray[np.float64]:
    """The two t, smaller first, at which point + t·direction lies on the circle: (..., 2), nan where the line misses it."""
    p = np.asarray(point, dtype=float) - np.asarray(centre, dtype=float)
    d = np.asarray(direction, dtype=float)
    dd, pd = np.sum(d * d, axis=-1), np.sum(p * d, axis=-1)
    under_root = pd * pd - dd * (np.sum(p * p, axis=-1) - np.asarray(radius, dtype=float) ** 2)
    root = np.sqrt(np.where(under_root >= 0, under_root, np.nan))
    return np.stack(((-pd - root) / dd, (-pd + root) / dd), axis=-1)
