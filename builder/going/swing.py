"""One swing of the oscillator against the pallets: a chain of legs from turn to turn, the wheel on a pallet or in the air.

The wheel is let off with the speed that it has, falls through the drop, and is caught where it meets the next face; where
a pallet runs away faster than the train can speed the wheel up, the wheel is left behind and catches up.

Neglected: play in pivots, friction of the pallet arbor's, spring in arbors and crutch, and that the train's inertia, counted at
the escape wheel by the caller, is itself sprung through the meshes; and what at_once.py neglects.
"""

from __future__ import annotations

from math import inf

import numpy as np

from builder.going.at_once import AtOnce, Swing
from builder.going.course import Stretch
from builder.going.phase_plane import EVEN, FROM_TURN, IN, RULE, TO_TURN, Array, Leg, V, Works
from builder.ground.roots import root

MOST_LEGS = 400
TOUCHING_RAD = 1e-12
"""A wheel that flies so close to the face that it left has not yet landed on it again: rounding decides nothing."""

NEAR = 1e-9
"""So near a leg's points tell where the wheel lands; `_cut` does the rest."""


class Stuck(Exception):  # noqa: N818
    """The oscillator does not leave the place `x`: the pallets hold it."""

    def __init__(self, x: float) -> None:
        super().__init__(f"held at {x} rad")
        self.x = x


class Beyond(Exception):  # noqa: N818
    """The oscillator swings past all that the pallets allow."""


def swing(works: Works, x: float, rising: bool) -> Swing:
    """The swing that starts at rest at `x`, wheel on its pallet.

    Raises Stuck where the pallets hold the oscillator at `x`, Beyond where it leaves the angles that they cover.
    """
    stretches = works.course.up if rising else works.course.down
    return _Run(works, stretches, 1.0 if rising else -1.0).go(x)


class _Run(AtOnce):
    """A swing under way, leg by leg."""

    def __init__(self, works: Works, stretches: tuple[Stretch, ...], sign: float) -> None:
        super().__init__(works, sign)
        self.stretches = stretches
        self.turns_at: float | None = None
        """Where a free run outwards ends: at first by energy, the loss not counted; then as it was found."""

    def go(self, x: float) -> Swing:
        """Run from rest at `x` to the next rest."""
        self.x = x
        index = self._index(x)
        while True:
            if len(self.done.legs) > MOST_LEGS:
                raise RuntimeError(f"a swing from {x} rad does not come to an end")
            stretch = self.stretches[index]
            turned = self._advance(stretch)
            if turned:
                self.land_at_rest(stretch)
                return self.done
            if self.x == stretch.end:
                if index + 1 == len(self.stretches):
                    raise Beyond
                index += 1
                self.pass_on(stretch, self.stretches[index])

    def _index(self, x: float) -> int:
        for index, stretch in enumerate(self.stretches):
            if self.sign * (stretch.end - x) > 0.0:
                if self.sign * (x - stretch.start) < -1e-9:
                    raise Beyond
                return index
        raise Beyond

    def _advance(self, stretch: Stretch) -> bool:
        """One leg: to the end of the stretch, or to where the wheel lands or leaves, or to the turn (then True)."""
        works, sign = self.works, self.sign
        stop = stretch.end
        from_rest = self.energy == 0.0
        rest = works.terms.out_of_beat_rad
        if from_rest and sign * (rest - self.x) > 0.0:
            stop = min(stop, rest) if sign > 0 else max(stop, rest)
        way = abs(stop - self.x)
        if way == inf:  # a free run outwards always turns, a landing of the wheel meanwhile or not
            if self.turns_at is None:
                self.turns_at = rest + sign * works.terms.amplitude_rad(self._outward_energy())
            way = abs(self.turns_at - self.x)
            return self._keep(*self._to_turn(stretch, way))
        leg, points = self._try(stretch, way, FROM_TURN if from_rest else EVEN)
        if leg.energy_slope[0] <= 0.0 and from_rest:
            raise Stuck(self.x)
        fails = np.flatnonzero(points[1:] <= 0.0)
        if len(fails):
            # between the last point that is reached and the first that is not
            i = int(fails[0]) + 1
            share = points[i - 1] / (points[i - 1] - points[i])
            near = abs(leg.x[i - 1] - self.x) + share * abs(leg.x[i] - leg.x[i - 1])
            if from_rest:
                leg, _ = self._try(stretch, 0.5 * near, FROM_TURN)
                return self._keep(leg, False)
            return self._keep(*self._to_turn(stretch, near))
        if not from_rest:
            leg = self._not_too_long(stretch, leg, points)
        return self._keep(leg, False)

    def _outward_energy(self) -> float:
        terms = self.works.terms
        q = self.x - terms.out_of_beat_rad
        return terms.energy_j(q) + terms.inertia_kg_m2 * self.energy

    def _try(self, stretch: Stretch, way: float, shape: int, like: Array | None = None) -> tuple[Leg, Array]:
        return self.works.leg(stretch, self.sign, self.x, self.energy, way, self.t_s, self.flight, shape, like)

    def _not_too_long(self, stretch: Stretch, leg: Leg, points: Array) -> Leg:
        """The leg, shortened where speed would vanish close before its start or behind its end (nodes need room)."""
        way = leg.way
        first, last = float(leg.energy_slope[0]), float(leg.energy_slope[-1])
        if first > 0.0:
            way = min(way, self.energy / first)
        if last < 0.0:
            room = float(points[-1]) / -last
            if way > room:
                way = min(way, 0.5 * (leg.way + room))
        return leg if way == leg.way else self._try(stretch, way, EVEN)[0]

    def _to_turn(self, stretch: Stretch, way: float) -> tuple[Leg, bool]:
        """The leg that ends at rest, its length by secants, and True; where that is beyond the stretch, the leg to its end."""
        most = abs(stretch.end - self.x)
        before: tuple[float, float] | None = None
        points: Array | None = None
        for _ in range(60):
            way = max(min(way, most), 1e-18)
            leg, points = self._try(stretch, way, TO_TURN, points)
            left = float(points[-1])
            if way == most and left > 0.0:
                return self._try(stretch, most, EVEN)[0], False
            slope = float(leg.energy_slope[-1])
            if before is not None and way != before[0] and left != before[1]:
                slope = (left - before[1]) / (way - before[0])
            step = left / -slope if slope < 0.0 else way
            if abs(step) <= 4e-16 * max(way, abs(self.x)):
                break
            before = (way, left)
            way = min(max(way + step, 0.2 * way), 3.0 * way)
        leg.speed[-1] = 0.0
        if stretch.free:
            self.turns_at = leg.x_to
        return leg, True

    def _keep(self, leg: Leg, turned: bool) -> bool:
        """Take the leg, cut where the wheel lands or leaves the pallet; the state moves to its end."""
        cut = self._landing(leg) if self.flight is not None else self._leaving(leg)
        if cut == 0.0 and self.flight is None and self.landed_at == self.x:
            cut = None  # it cannot leave where it has just landed
        if cut is not None:
            x_cut = float(leg.at(np.array([cut]))[0][0])
            way = abs(x_cut - self.x)
            if way > 1e-13:
                self._take(self._cut(leg.stretch, way))
            if self.flight is not None:
                self.land(leg.stretch)
            else:
                self.leave(leg.stretch)
            return False
        self._take(leg)
        return turned

    def _cut(self, stretch: Stretch, way: float) -> Leg:
        """The leg over `way`, mended by Newton so that a flying wheel just touches at its end (a leg's own times between
        its ends are less exact than those at its ends)."""
        shape = FROM_TURN if self.energy == 0.0 else EVEN
        leg, _ = self._try(stretch, way, shape)
        for _ in range(4):
            if self.flight is None or leg.speed[-1] == 0.0:
                break
            gap = float(leg.touch.phi[-1] - self.flight.at(leg.t_s[-1:])[0])
            if abs(gap) < 1e-15:
                break
            closes = float(self.sign * leg.touch.wheel[-1]) - self.flight.speed_at(float(leg.t_s[-1])) / float(leg.speed[-1])
            way = max(way - gap / closes, 0.5 * way)
            leg, _ = self._try(stretch, way, shape)
        return leg

    def _take(self, leg: Leg) -> None:
        self.done.legs.append(leg)
        self.x, self.energy, self.t_s = leg.x_to, leg.energy, float(leg.t_s[-1])
        if abs(self.x - leg.stretch.end) < 1e-14:
            self.x = leg.stretch.end

    def _landing(self, leg: Leg) -> float | None:
        """v at which a flying wheel meets the face, or None."""
        assert self.flight is not None
        gaps = leg.touch.phi - self.flight.at(leg.t_s)
        met = np.flatnonzero(gaps[1:] < -TOUCHING_RAD)
        if not len(met):
            return None
        i = int(met[0]) + 1
        if i == 1 and gaps[0] <= TOUCHING_RAD:
            return 0.0
        low, high = float(V[i - 1]), float(V[i])
        if gaps[i - 1] <= 0.0:
            return low

        def gap(v: float) -> float:
            return float((RULE.at(np.array([v])) @ gaps[IN])[0])

        return root(gap, low, high, tolerance=NEAR, f_low=float(gaps[i - 1]), f_high=float(gaps[i]))

    def _leaving(self, leg: Leg) -> float | None:
        """v at which the pallet runs away from the wheel (their pressure would turn negative), or None."""
        if not self.works.wheel_kg_m2 or leg.stretch.free:
            return None
        press = self.works.force(leg)
        gone = np.flatnonzero(press < -1e-9 * self.works.torque_nm)
        if not len(gone):
            return None
        i = int(gone[0])
        if i == 0 or press[i - 1] <= 0.0:
            return float(V[max(i - 1, 0)])
        share = press[i - 1] / (press[i - 1] - press[i])
        return float(V[i - 1] + share * (V[i] - V[i - 1]))
