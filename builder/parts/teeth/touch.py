"""Where two teeth touch: from their true curves, at the distance of centres at which they stand.

Frame: the driver about the origin, turning counter-clockwise, the driven about (a, 0). Driver tooth centrelines stand at
angles φ + j·p₁; the driven's angle α is reckoned from the direction towards the driver, clockwise, so that both rise
together: upper flanks of the driver press lower flanks of the driven. A driver that turns the other way is the mirror
image, teeth being symmetrical.

A point P(s) of the driver's flank lies, seen from the driven's centre, at radius r(s) and angle a(s). Nothing overlaps when
the driven tooth's centreline stands at least a(s) + ψ(r(s)) for every s, ψ being half that tooth's angle at r. The driven,
held back by its load, rests at the largest of these: that is the contact, whether face on flank or a corner on either.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from builder.parts.teeth.curve import Complex, Real
from builder.parts.teeth.gear import Gear

STATIONS = 16
"""Points a piece of the driver's flank at which the contact is first looked for."""
HALVINGS = 18
"""At most: a bracket round a corner is then below a millionth of a piece, and one straight step finishes."""


@dataclass(frozen=True)
class Touch:
    """One pair of teeth at given driver tooth angles; every field (N,), complex ones in the frame above (mm)."""

    alpha_rad: Real
    """Where the driven tooth's centreline rests; -inf where that pair cannot touch."""
    point: Complex
    normal: Complex
    """Unit vector from driver into driven."""
    state: NDArray[np.int64]
    """Which pieces touch: changes where a contact passes from one curve to another, or to a corner; 0 for none."""


def touch(driver: Gear, driven: Gear, distance_mm: float, tooth_rad: Real) -> Touch:
    """Where the driven tooth rests against the upper flank of the driver tooth whose centreline stands at `tooth_rad`."""
    alpha, state = np.full(tooth_rad.shape, -np.inf), np.zeros(tooth_rad.shape, np.int64)
    point, normal = np.zeros(tooth_rad.shape, complex), np.ones(tooth_rad.shape, complex)
    pieces = len(driver.flank.pieces)
    s = np.linspace(0.0, pieces, pieces * STATIONS + 1)
    seen = np.conj(distance_mm - np.exp(1j * tooth_rad)[:, None] * driver.flank.at(s)[0])
    radius = np.abs(seen)
    near = radius <= driven.tip_mm
    can = near.any(axis=1)
    if not can.any():
        return Touch(alpha, point, normal, state)
    need = np.full(seen.shape, -np.inf)
    need[near] = np.angle(seen[near]) + driven.flank.half_angle(radius[near])[0]
    best = np.argmax(need[can], axis=1)
    turn = np.exp(1j * tooth_rad[can])

    def from_driven_centre(at: Real) -> tuple[Complex, Complex]:
        """r e^(ia) of the flank's points, and its change along the flank."""
        z, along = driver.flank.at(at)
        return np.conj(distance_mm - turn * z), -np.conj(turn * along)

    def rise(at: Real) -> Real:
        """d(a + ψ) along the flank, which is > 0 before the contact and < 0 after it."""
        w, dw = from_driven_centre(at)
        r = np.abs(w)
        return (dw / w).imag + driven.flank.half_angle(r)[1] * (dw * np.conj(w)).real / r

    at, low, high = _falls(rise, s[np.maximum(best - 1, 0)], s[np.minimum(best + 1, len(s) - 1)])
    at = _on_corner(at, low, high, lambda u: np.abs(from_driven_centre(u)[0]), driven.flank.radii_mm)
    w, dw = from_driven_centre(at)
    r = np.abs(w)
    half, slope = driven.flank.half_angle(r)
    alpha[can] = np.angle(w) + half
    point[can] = distance_mm - np.conj(w)
    # even: within a piece, odd: on the joint or tip that ends one
    on_driver = np.floor(at - 1e-9) + np.floor(at + 1e-9)
    hair = 1e-9 * driven.module_mm
    on_driven = np.searchsorted(driven.flank.radii_mm, r - hair) + np.searchsorted(driven.flank.radii_mm, r + hair)
    state[can] = 1 + 16 * on_driver.astype(np.int64) + on_driven
    # a corner of the driver has no normal of its own: the face that it touches gives it
    of_driven = 1j * np.conj(w * (1 - 1j * r * slope))
    corner = (on_driver % 2 != 0) & (on_driven % 2 == 0)
    normal[can] = np.where(corner, of_driven / np.abs(of_driven), -1j * np.conj(dw))
    return Touch(alpha, point, normal, state)


def _on_corner(at: Real, low: Real, high: Real, radius: Callable[[Real], Real], corners_mm: Real) -> Real:
    """`at`, moved onto a corner of the driven (one of its radii) where its bracket still holds one."""
    from_mm, to_mm = radius(low), radius(high)
    which = np.searchsorted(corners_mm, np.minimum(from_mm, to_mm))
    corner = corners_mm[np.minimum(which, len(corners_mm) - 1)]
    held = (which < len(corners_mm)) & (corner <= np.maximum(from_mm, to_mm)) & (from_mm != to_mm)
    step = (corner - from_mm) / np.where(held, to_mm - from_mm, 1.0)
    return np.where(held, low + step * (high - low), at)


def _falls(f: Callable[[Real], Real], low: Real, high: Real) -> tuple[Real, Real, Real]:
    """Where f falls through zero between `low` and `high`, element by element, and the last brackets.

    The end that f does not change its sign before stands for its own bracket. As `builder.ground.roots.root`
    (Chandrupatla 1997), but for arrays, and stopping early where f jumps.
    """
    a, b = high.copy(), low.copy()
    fa, fb = f(a), f(b)
    whole = (fb > 0) & (fa < 0)
    end = np.where(fb <= 0, low, high)
    a, b = np.where(whole, a, end), np.where(whole, b, end)
    share = np.full(a.shape, 0.5)
    for _ in range(HALVINGS):
        t = a + share * (b - a)
        ft = f(t)
        same = (ft < 0) == (fa < 0)
        c, fc = np.where(same, a, b), np.where(same, fa, fb)
        b, fb = np.where(same, b, a), np.where(same, fb, fa)
        a, fa = t, ft
        with np.errstate(divide="ignore", invalid="ignore"):
            narrow = np.minimum(2e-15 * (1 + np.abs(a)) / np.abs(b - a), 0.5)
            if np.all((narrow == 0.5) | (ft == 0)):
                break
            xi, phi = (a - b) / (c - b), (fa - fb) / (fc - fb)
            inverse = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
            smooth = (phi**2 < xi) & ((1 - phi) ** 2 < 1 - xi) & np.isfinite(inverse)
        share = np.minimum(np.maximum(np.where(smooth, inverse, 0.5), narrow), 1 - narrow)
    return np.where(np.abs(fa) < np.abs(fb), a, b), np.minimum(a, b), np.maximum(a, b)
