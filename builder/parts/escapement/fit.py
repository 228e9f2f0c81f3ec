"""Chebyshev fits of smooth laws, of the degree that their smoothness asks for."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.polynomial import Chebyshev
from numpy.typing import NDArray

Floats = NDArray[np.float64]
NODES = (25, 49)
"""Numbers of points tried, until a fit settles; then it is halved."""
SETTLED = 1e-13
RATES_SETTLED = 1e-10
ROUNDING = 4e-15
"""Coefficients below this part of a fit's size are rounding, and are left out."""


@lru_cache(maxsize=8)
def _fitting(nodes: int) -> tuple[Floats, Floats]:
    """Chebyshev points of the first kind on -1 … 1 and the matrix from values there to coefficients."""
    angle = (np.arange(nodes) + 0.5) * math.pi / nodes
    matrix = 2 / nodes * np.cos(np.arange(nodes)[:, None] * angle[None, :])
    matrix[0] /= 2
    return np.cos(angle), matrix


@dataclass(frozen=True)
class Fit:
    """Columns of a law between two angles."""

    start_rad: float
    end_rad: float
    columns: list[Chebyshev]


def fitted(law: Callable[[Floats], Floats], start_rad: float, end_rad: float, halvings: int = 12) -> list[Fit]:
    """Fits of all columns of law(theta) (K, C) from start up to end, in as many parts as their smoothness asks for.

    The first column is taken to settle when its last coefficients are below SETTLED of its size, the others, which may be
    rates of it, at RATES_SETTLED.
    """
    for nodes in NODES:
        points, matrix = _fitting(nodes)
        values = law(0.5 * (start_rad + end_rad) + 0.5 * (end_rad - start_rad) * points)
        weights = matrix @ values
        size = np.max(np.abs(values), axis=0) + np.finfo(float).tiny
        enough = np.full(len(size), RATES_SETTLED)
        enough[0] = SETTLED
        if halvings == 0 or np.all(np.abs(weights[-3:]) <= enough * size + ROUNDING):
            domain = (start_rad, end_rad)
            columns = [_trimmed(weights[:, i], domain, float(size[i])) for i in range(values.shape[1])]
            return [Fit(start_rad, end_rad, columns)]
    middle = (start_rad + end_rad) / 2
    return fitted(law, start_rad, middle, halvings - 1) + fitted(law, middle, end_rad, halvings - 1)


def _trimmed(weights: Floats, domain: tuple[float, float], size: float) -> Chebyshev:
    """Without the coefficients that are only rounding: those below what the highest ones are."""
    noise = max(ROUNDING * size, 4 * float(np.max(np.abs(weights[-4:]))))
    keep = np.flatnonzero(np.abs(weights) > noise)
    return Chebyshev(weights[: int(keep[-1]) + 1] if len(keep) else weights[:1], domain=domain)
