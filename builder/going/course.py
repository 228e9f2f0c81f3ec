"""Where the oscillator meets the pallets: the course of one swing, cut into stretches on which everything is smooth."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import ceil, cos, inf, pi
from typing import NamedTuple

import numpy as np
from numpy.polynomial import Chebyshev
from numpy.typing import NDArray

from builder.ground.roots import root
from builder.parts.escapement.action import Action, Drop, Piece, Swing

Array = NDArray[np.float64]
Curve = Callable[[Array], Array]

POINTS = 24
FULL_DEGREE = 10
"""A piece whose polynomials have a higher degree is cut into several stretches, so that sixteen nodes serve each."""


@dataclass(frozen=True)
class Coupling:
    """How the pallets go with the oscillator: theta(x), where x is the oscillator's angle from the pallets' middle.

    Outside `from_rad` … `to_rad` the oscillator is free and the pallets rest on their bankings.
    """

    theta: Curve
    slope: Curve
    """d theta / dx."""
    bend: Curve
    """d² theta / dx²."""
    from_rad: float = -inf
    to_rad: float = inf
    inertia_kg_m2: float = 0.0
    """Of what is moved with the pallets and not with the oscillator: the lever with its pallets, about its own arbor."""

    def x_at(self, theta_rad: float) -> float:
        """The oscillator's angle at which the joined pallets stand at `theta_rad`. Raises ValueError beyond the joint."""
        if self.from_rad == -inf:
            return float(theta_rad)  # a crutch

        def off(x: float) -> float:
            return float(self.theta(np.array([x]))[0]) - theta_rad

        low, high = off(self.from_rad), off(self.to_rad)
        if abs(low) < 1e-12:
            return self.from_rad
        if abs(high) < 1e-12:
            return self.to_rad
        return root(off, self.from_rad, self.to_rad, f_low=low, f_high=high)


def crutch() -> Coupling:
    """Pallets that always go with the oscillator, angle for angle. Neglected: shake and spring of the crutch."""
    return Coupling(lambda x: x, lambda x: np.ones_like(x), lambda x: np.zeros_like(x))


def fork(theta: Curve, slope: Curve, banking_rad: float, inertia_kg_m2: float = 0.0, widest_rad: float = 1.5) -> Coupling:
    """A lever whose fork holds the impulse pin from the banking to the other banking, where theta(x) is ± `banking_rad`.

    `theta` and `slope` are the law of fork and pin while joined, odd and rising about 0. Neglected: the pin's shake in
    the slot (the lever is taken to turn exactly with the pin, draw and coasting to the banking included). Raises ValueError
    where the fork does not reach the banking inside ± `widest_rad` of the balance.
    """
    x = np.linspace(0.0, widest_rad, 200)
    reached = np.flatnonzero((theta(x) >= banking_rad) & (x > 0))
    if not len(reached) or np.any(slope(x[: reached[0] + 1]) <= 0.0):
        raise ValueError(f"the fork does not reach its banking at {banking_rad} rad")
    edge = root(lambda a: float(theta(np.array([a]))[0]) - banking_rad, float(x[reached[0] - 1]), float(x[reached[0]]))
    bend = Chebyshev.interpolate(slope, 40, domain=[-edge, edge]).deriv()
    return Coupling(theta, slope, lambda a: np.asarray(bend(a)), -edge, edge, inertia_kg_m2)


class Touch(NamedTuple):
    """What the oscillator feels at some angles, arrays of one shape (m,)."""

    theta: Array
    lever: Array
    """d theta / dx: 0 where it is free."""
    lever_bend: Array
    phi: Array
    """Wheel angle in contact."""
    wheel: Array
    """d phi / dx in contact."""
    wheel_bend: Array
    gain: Array
    """Torque on the oscillator per torque on the wheel, friction counted."""


@dataclass(eq=False)
class Stretch:
    """A part of a swing on which one contact (or none, when free) is smooth; `start` to `end` in order of travel."""

    start: float
    end: float
    piece: Piece
    """What touches; where the oscillator is free, what holds the wheel meanwhile."""
    free: bool = False
    """Whether the oscillator is free of the pallets, which rest at `theta_at` and the wheel at `phi_at`."""
    theta_at: float = 0.0
    phi_at: float = 0.0
    drop: Drop | None = None
    """The drop at the end of the stretch."""
    table: Array | None = None
    """(POINTS, 7) Chebyshev coefficients in x over the stretch of all that `Touch` holds."""

    @cached_property
    def at_start(self) -> Touch:
        """What is felt where it begins, arrays (1,)."""
        return self.touch(np.array([self.start]))

    @cached_property
    def at_end(self) -> Touch:
        """What is felt where it ends, arrays (1,)."""
        return self.touch(np.array([self.end]))

    def touch(self, x: Array) -> Touch:
        """What is felt at the angles `x` (m,), which lie in the stretch."""
        if self.table is None:
            zero = np.zeros(len(x))
            return Touch(np.full(len(x), self.theta_at), zero, zero, np.full(len(x), self.phi_at), zero, zero, zero)
        inside = (x - (self.start + self.end) / 2.0) / ((self.end - self.start) / 2.0)
        angles = np.arccos(np.minimum(np.maximum(inside, -1.0), 1.0))
        return Touch(*np.cos(angles[:, None] * _DEGREES).dot(self.table).T)


_DEGREES = np.arange(float(POINTS))
_NODES = np.cos(pi * (_DEGREES + 0.5) / POINTS)
_FIT = np.cos(np.outer(_DEGREES, np.arccos(_NODES))) * np.where(_DEGREES == 0, 1.0, 2.0)[:, None] / POINTS


def _joined(start: float, end: float, piece: Piece, coupling: Coupling) -> Stretch:
    """A stretch in contact, its laws interpolated in x at POINTS Chebyshev nodes: one table instead of a chain of calls."""
    x = (start + end) / 2.0 + (end - start) / 2.0 * _NODES
    theta, s, bend = coupling.theta(x), coupling.slope(x), coupling.bend(x)
    slope, curl = piece.slope(theta), piece.slope.deriv()(theta)
    felt = (theta, s, bend, piece.wheel_rad(theta), slope * s, curl * s * s + slope * bend, piece.gain(theta) * s)
    return Stretch(start, end, piece, table=_FIT @ np.column_stack(felt))


@dataclass(frozen=True, eq=False)
class Course:
    """The two swings of a period: `up` with x rising, then `down`; the wheel's angle goes on from one to the other."""

    up: tuple[Stretch, ...]
    down: tuple[Stretch, ...]
    action: Action
    coupling: Coupling
    unlocks_up: float
    """Past this x, rising, the last drop of the up-swing is over."""
    unlocks_down: float
    """Past this x, falling, the last drop of the down-swing is over."""
    widest: float
    """Furthest x that the pallets allow; infinite where they are free of the oscillator outside the lift."""

    @property
    def detached(self) -> bool:
        """Whether the oscillator is free outside the lift."""
        return self.coupling.to_rad < inf


def course(action: Action, coupling: Coupling) -> Course:
    """The course of an action under a coupling. Raises ValueError where a swing of the action has no drop."""
    if not action.up.drops or not action.down.drops:
        raise ValueError("an escapement drops in both swings")
    up = _stretches(action.up, coupling)
    down = _stretches(action.down, coupling)
    drops_up, drops_down = ([coupling.x_at(d.at_rad) for d in swing.drops] for swing in (action.up, action.down))
    widest = inf if coupling.to_rad < inf else action.reach_rad
    return Course(up, down, action, coupling, max(drops_up), min(drops_down), widest)


def _stretches(swing: Swing, coupling: Coupling) -> tuple[Stretch, ...]:
    """The pieces of one swing as stretches in x, with the free runs before and after them."""
    rising = swing.pieces[0].end_rad > swing.pieces[0].start_rad
    sign = 1.0 if rising else -1.0
    edges = sorted((coupling.from_rad, coupling.to_rad), reverse=not rising)
    banks = [
        float(coupling.theta(np.array([e]))[0]) if abs(e) < inf else sign * i * inf for e, i in zip(edges, (-1, 1), strict=True)
    ]
    found: list[Stretch] = []
    for piece in swing.pieces:
        from_theta, to_theta = max(sign * piece.start_rad, sign * banks[0]), min(sign * piece.end_rad, sign * banks[1])
        if to_theta - from_theta < 1e-14:
            continue
        start, end = coupling.x_at(sign * from_theta), coupling.x_at(sign * to_theta)
        parts = max(1, ceil(max(len(piece.wheel_rad.coef), len(piece.gain.coef)) / FULL_DEGREE - 0.1))
        cuts = [(start + end) / 2.0 - (end - start) / 2.0 * cos(pi * i / parts) for i in range(parts + 1)]
        cuts[0], cuts[-1] = start, end
        found += [_joined(a, b, piece, coupling) for a, b in pairwise(cuts)]
    for drop in swing.drops:
        at = coupling.x_at(drop.at_rad)
        before = min(found[:-1], key=lambda stretch: abs(stretch.end - at))
        before.drop = drop
    if coupling.to_rad < inf:
        first, last = found[0], found[-1]
        ends = ((first, first.start), (last, last.end))
        (theta_0, phi_0), (theta_1, phi_1) = (
            (float(t.theta[0]), float(t.phi[0])) for t in (s.touch(np.array([x])) for s, x in ends)
        )
        found.insert(0, Stretch(-sign * inf, first.start, first.piece, True, theta_0, phi_0))
        found.append(Stretch(last.end, sign * inf, last.piece, True, theta_1, phi_1))
    return tuple(found)
