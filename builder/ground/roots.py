"""Roots, least values and quadrature, on numpy alone."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from math import sqrt

import numpy as np
from numpy.polynomial import legendre
from numpy.typing import NDArray

Array = NDArray[np.float64]


def root(
    f: Callable[[float], float],
    low: float,
    high: float,
    *,
    tolerance: float = 1e-14,
    f_low: float | None = None,
    f_high: float | None = None,
) -> float:
    """Where the continuous `f` is zero between `low` and `high`, at whose values its signs must differ.

    `tolerance` is the width of the last bracket relative to the larger end (never below rounding). `f_low` and `f_high`
    spare two evaluations where the values are known. Raises ValueError where the signs do not differ.

    Bisection mended by inverse quadratic steps: T. R. Chandrupatla, Advances in Engineering Software 28 (1997) 145-149.
    """
    a, b = high, low
    fa = f(a) if f_high is None else f_high
    fb = f(b) if f_low is None else f_low
    if fa == 0.0:
        return a
    if fb == 0.0:
        return b
    if not (fa < 0.0) != (fb < 0.0):
        raise ValueError(f"no change of sign between {low} and {high}: {fb} and {fa}")
    share = 0.5
    while True:
        t = a + share * (b - a)
        ft = f(t)
        if (ft < 0.0) == (fa < 0.0):
            c, fc = a, fa
        else:
            c, fc, b, fb = b, fb, a, fa
        a, fa = t, ft
        best = a if abs(fa) < abs(fb) else b
        narrow = 0.5 * (tolerance + 4e-16) * max(abs(a), abs(b), 1e-290) / max(abs(b - a), 1e-300)
        if ft == 0.0 or narrow > 0.5:
            return best
        xi, phi = (a - b) / (c - b), (fa - fb) / (fc - fb)
        share = 0.5
        if phi * phi < xi and (1.0 - phi) ** 2 < 1.0 - xi:
            share = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
        share = min(max(share, narrow), 1.0 - narrow)


def least(f: Callable[[float], float], low: float, high: float, *, tolerance: float = 1e-6) -> tuple[float, float]:
    """(x, f(x)) at the least value of a single-dipped `f` between `low` and `high`, to `tolerance` times their distance.

    Golden section; the ends themselves count, so that a rising or falling `f` gives its end.
    """
    golden = (sqrt(5.0) - 1.0) / 2.0
    a, b = low, high
    x, y = b - golden * (b - a), a + golden * (b - a)
    fx, fy = f(x), f(y)
    found = [(fx, x), (fy, y)]
    while b - a > tolerance * (high - low):
        if fx <= fy:
            b, y, fy = y, x, fx
            x = b - golden * (b - a)
            fx = f(x)
            found.append((fx, x))
        else:
            a, x, fx = x, y, fy
            y = a + golden * (b - a)
            fy = f(y)
            found.append((fy, y))
    found += [(f(end), end) for end in (low, high) if abs(end - min(found)[1]) < 2 * tolerance * (high - low)]
    value, where = min(found)
    return where, value


@dataclass(frozen=True)
class Rule:
    """Gauss-Legendre nodes on [0, 1] with all that a solver does at them; exact for polynomials below degree `n`."""

    nodes: Array
    """(n,) in (0, 1), rising."""
    weights: Array
    """(n,): `weights @ f(nodes)` is the integral of f over [0, 1], exact to degree 2n - 1."""
    cumulative: Array
    """(n, n): `cumulative @ f(nodes)` are the integrals from 0 to each node."""

    barycentric: Array
    """(n,): weights of the barycentric formula at the nodes."""

    def at(self, x: Array) -> Array:
        """(m, n): `at(x) @ f(nodes)` are the values at `x` (m,), anywhere in [0, 1].

        Barycentric formula: J.-P. Berrut, L. N. Trefethen, SIAM Review 46 (2004) 501-517.
        """
        apart = np.asarray(x, dtype=float)[:, None] - self.nodes
        apart[apart == 0.0] = 1e-290  # on a node its own weight swamps the rest
        share = self.barycentric / apart
        return np.asarray(share / share.sum(axis=1, keepdims=True), dtype=np.float64)


def _legendre(t: Array, n: int) -> Array:
    """(len(t), n): Legendre polynomials of degree 0 … n-1 at t in [-1, 1]."""
    return np.asarray(legendre.legvander(t, n - 1), dtype=np.float64)


def _to_coefficients(nodes: Array, weights: Array) -> Array:
    """(n, n): values at the nodes to Legendre coefficients, by the rule's own orthogonality (no matrix is inverted)."""
    n = len(nodes)
    return (2.0 * np.arange(n)[:, None] + 1.0) * _legendre(2.0 * nodes - 1.0, n).T * weights


@lru_cache(maxsize=32)
def gauss(n: int) -> Rule:
    """The Gauss-Legendre rule of `n` nodes on [0, 1]. Raises ValueError for n < 2."""
    if n < 2:
        raise ValueError(f"a rule needs two nodes or more, not {n}")
    t, w = legendre.leggauss(n)
    nodes, weights = 0.5 * (t + 1.0), 0.5 * w
    to_coefficients = _to_coefficients(nodes, weights)
    longer = legendre.legvander(t, n)
    degrees = np.arange(1, n)
    # integral of P_k from -1 is (P_(k+1) - P_(k-1)) / (2k + 1), of P_0 it is t + 1; halved for [0, 1]
    integrals = np.empty((n, n))
    integrals[:, 0] = 0.5 * (t + 1.0)
    integrals[:, 1:] = 0.5 * (longer[:, 2:] - longer[:, : n - 1]) / (2.0 * degrees + 1.0)
    # closed form for Gauss-Legendre nodes: H. Wang, S. Xiang, Mathematics of Computation 81 (2012) 861-877
    barycentric = np.asarray((-1.0) ** np.arange(n) * np.sqrt((1.0 - t * t) * w), dtype=np.float64)
    rule = Rule(nodes, weights, integrals @ to_coefficients, barycentric)
    for held in (nodes, weights, rule.cumulative, barycentric):
        held.flags.writeable = False
    return rule
