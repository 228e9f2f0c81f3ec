"""Chebyshev fits of smooth laws, of the degree that their smoothness asks for."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache

import numpy as np
from numpy.polynomial import Chebyshev
from numpy.typing import NDArray

Floats = NDArray[np.float64]
NODES = (25, 49, 97)
"""Numbers of points tried, until a fit settles."""
SETTLED = 1e-13
"""A fit is taken when its last coefficients are below this part of its size."""
ROUNDING = 4e-15
"""Coefficients below this part of a fit's size are rounding, and are left out."""


@lru_cache(maxsize=8)
def _fitting(nodes: int) -> tuple[Floats, Floats]:
    """Chebyshev points of the first kind on -1 … 1 and the matrix from values there to coefficients."""
    angle = (np.arange(nodes) + 0.5) * math.pi / nodes
    matrix = 2 / nodes * np.cos(np.arange(nodes)[:, None] * angle[None, :])
    matrix[0] /= 2
    return np.cos(angle), matrix


def fitted(law: Callable[[Floats], Floats], start_rad: float, end_rad: float) -> list[Chebyshev]:
    """Fits of all columns of law(theta) (K, C) over start … end, of the degree that their smoothness asks for."""
    domain = (min(start_rad, end_rad), max(start_rad, end_rad))
    for nodes in NODES:
        points, matrix = _fitting(nodes)
        values = law(0.5 * (domain[0] + domain[1]) + 0.5 * (domain[1] - domain[0]) * points)
        weights = matrix @ values
        size = np.max(np.abs(values), axis=0) + 1e-300
        if np.all(np.abs(weights[-3:]) <= SETTLED * size + 1e-15):
            break
    return [_trimmed(weights[:, i], domain, float(size[i])) for i in range(values.shape[1])]


def _trimmed(weights: Floats, domain: tuple[float, float], size: float) -> Chebyshev:
    """Without the coefficients that are only rounding: those below what the highest ones are."""
    noise = max(ROUNDING * size, 4 * float(np.max(np.abs(weights[-4:]))))
    keep = np.flatnonzero(np.abs(weights) > noise)
    return Chebyshev(weights[: int(keep[-1]) + 1] if len(keep) else weights[:1], domain=domain)
