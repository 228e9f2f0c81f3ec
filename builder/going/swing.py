"""One swing of the oscillator against the pallets: a chain of legs from turn to turn, the wheel on a pallet or in the air.

The wheel is let off with the speed that it has, falls through the drop, and is caught where it meets the next face; where
a pallet runs away faster than the train can speed the wheel up, the wheel is left behind and catches up.

Neglected: bounce of the wheel on landing (it is taken to stay), play in pivots, spring in arbors and crutch, and that the
train's inertia, counted at the escape wheel by the caller, is itself sprung through the meshes.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import inf, sqrt

import numpy as np

from builder.going.course import Stretch, Touch
from builder.going.phase_plane import EVEN, FROM_TURN, TO_TURN, Array, Flight, Leg, V, Work, Works
from builder.ground.roots import root
from builder.parts.escapement.action import Pallet

MOST_LEGS = 400
TOUCHING_RAD = 1e-12
"""A wheel that flies so close to the face that it left has not yet landed on it again: rounding decides nothing."""

Event = tuple[float, str, Pallet]


@dataclass
class Swing:
    """A swing from a turn to the next: legs, events (s since its start), and where it ended."""

    legs: list[Leg] = field(default_factory=list)
    events: list[Event] = field(default_factory=list)
    work: Work = field(default_factory=Work)
    drops: int = 0

    @property
    def x_to(self) -> float:
        """Where it turned."""
        return self.legs[-1].x_to

    @property
    def time_s(self) -> float:
        """How long it took."""
        return float(self.legs[-1].t_s[-1])


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


class _Run:
    """A swing under way: its state between legs."""

    def __init__(self, works: Works, stretches: tuple[Stretch, ...], sign: float) -> None:
        self.works, self.stretches, self.sign = works, stretches, sign
        self.done = Swing()
        self.x, self.energy, self.t_s = 0.0, 0.0, 0.0
        self.flight: Flight | None = None
        self.landed_at = inf

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
                self._land_at_rest(stretch)
                return self.done
            if self.x == stretch.end:
                if index + 1 == len(self.stretches):
                    raise Beyond
                index += 1
                self._pass(stretch, self.stretches[index])

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
        if way == inf:  # a free run outwards always turns: by energy, the loss not counted
            way = abs(sign * works.terms.amplitude_rad(self._outward_energy()) - (self.x - rest)) * (1.0 + 1e-9)
            leg, points, turned = self._to_turn(stretch, way)
            return self._keep(leg, turned)
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
            leg, points, turned = self._to_turn(stretch, near)
            return self._keep(leg, turned)
        if not from_rest:
            leg = self._not_too_long(stretch, leg, points)
        return self._keep(leg, False)

    def _outward_energy(self) -> float:
        terms = self.works.terms
        q = self.x - terms.out_of_beat_rad
        return terms.energy_j(q) + terms.inertia_kg_m2 * self.energy

    def _try(self, stretch: Stretch, way: float, shape: int) -> tuple[Leg, Array]:
        return self.works.leg(stretch, self.sign, self.x, self.energy, way, self.t_s, self.flight, shape)

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

    def _to_turn(self, stretch: Stretch, way: float) -> tuple[Leg, Array, bool]:
        """The leg that ends at rest, its length by Newton; where that is beyond the stretch, the leg to its end."""
        most = abs(stretch.end - self.x)
        for _ in range(60):
            way = max(min(way, most), 1e-18)
            leg, points = self._try(stretch, way, TO_TURN)
            slope = float(leg.energy_slope[-1])
            if way == most and points[-1] > 0.0:
                return *self._try(stretch, most, EVEN), False
            step = float(points[-1]) / -slope if slope < 0.0 else way
            if abs(step) <= 4e-16 * max(way, abs(self.x)):
                break
            way = min(max(way + step, 0.2 * way), 3.0 * way)
        return replace(leg, speed=np.append(leg.speed[:-1], 0.0)), points, True

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
                self._land(leg.stretch)
            else:
                self._leave(leg.stretch)
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
        self.done.work.add(self.works.work(leg))
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

        def gap(v: float) -> float:
            x, t = leg.at(np.array([v]))
            assert self.flight is not None
            return float((leg.stretch.touch(x).phi - self.flight.at(t))[0])

        low, high = float(V[i - 1]), float(V[i])
        if gap(low) <= 0.0:
            return low
        return root(gap, low, high) if gap(high) < 0.0 else high

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

    def _here(self, stretch: Stretch) -> Touch:
        return stretch.touch(np.array([self.x]))

    def _leave(self, stretch: Stretch) -> None:
        here = self._here(stretch)
        self._fly(float(here.phi[0]), float(here.wheel[0]) * self._velocity(), dropping=False)

    def _velocity(self) -> float:
        return self.sign * sqrt(2.0 * self.energy)

    def _fly(self, phi: float, speed: float, dropping: bool) -> None:
        works = self.works
        self.flight = Flight(self.t_s, phi, speed, works.torque_nm / works.wheel_kg_m2, dropping)

    def _land(self, stretch: Stretch) -> None:
        """The wheel meets a face: a knock without bounce, friction and all, between wheel and oscillator."""
        assert self.flight is not None
        flight, self.flight = self.flight, None
        self.landed_at, fallen = self.x, 0.0
        if flight.dropping:
            fallen = self.works.torque_nm * (float(self._here(stretch).phi[0]) - flight.phi)
            self._say("locks", stretch)
        self._knock(stretch, flight.speed_at(self.t_s), fallen)

    def _knock(self, stretch: Stretch, wheel_speed: float, fallen: float) -> None:
        works, here, speed = self.works, self._here(stretch), self._velocity()
        inertia = works.terms.inertia_kg_m2 + works.course.coupling.inertia_kg_m2 * float(here.lever[0]) ** 2
        share = float(here.gain[0]) * works.wheel_kg_m2 / inertia
        after = (speed + share * wheel_speed) / (1.0 + share * float(here.wheel[0]))
        wheel_after = float(here.wheel[0]) * after
        oscillator = 0.5 * inertia * (speed**2 - after**2)
        self.done.work.drop += fallen
        self.done.work.wheel += oscillator + 0.5 * works.wheel_kg_m2 * (wheel_speed**2 - wheel_after**2) - fallen
        if oscillator > 0.0:
            self.done.work.unlocking += oscillator
        else:
            self.done.work.impulse -= oscillator
        self.energy = 0.5 * max(self.sign * after, 0.0) ** 2

    def _land_at_rest(self, stretch: Stretch) -> None:
        """A wheel still in the air when the oscillator turns is put on its pallet there (neglects the rest of its fall)."""
        if self.flight is None:
            return
        flight, self.flight = self.flight, None
        t = self.t_s
        gap = float(self._here(stretch).phi[0]) - float(flight.at(np.array([t]))[0])
        fallen = self.works.torque_nm * (float(self._here(stretch).phi[0]) - flight.phi) if flight.dropping else 0.0
        self.done.work.drop += fallen
        lost = self.works.torque_nm * gap + 0.5 * self.works.wheel_kg_m2 * flight.speed_at(t) ** 2
        self.done.work.wheel += lost - fallen
        if flight.dropping:
            self._say("locks", stretch)

    def _say(self, name: str, stretch: Stretch) -> None:
        self.done.events.append((self.t_s, name, stretch.piece.pallet))

    def _pass(self, left: Stretch, entered: Stretch) -> None:
        """From one stretch to the next: the fork met or left, the wheel let off, a new face under the tooth."""
        works = self.works
        lever = works.course.coupling.inertia_kg_m2
        own = works.terms.inertia_kg_m2
        before, after = self._here(left), self._here(entered)
        wheel_speed = float(before.wheel[0]) * self._velocity()
        if left.free:
            self._say("fork meets pin", entered)
            joined = own + lever * float(after.lever[0]) ** 2
            lost = own * self.energy * (1.0 - own / joined)
            self.energy *= (own / joined) ** 2
            self.done.work.lever += lost
        elif entered.free:
            self._say("lever banks", left)
            self.done.work.lever += lever * float(before.lever[0]) ** 2 * self.energy
        if left.drop is not None:
            self.done.drops += 1
            self._say("lets off", left)
            if self.flight is not None:  # it never caught up with this face: no matter, it falls on
                now = np.array([self.t_s])
                self._fly(float(self.flight.at(now)[0]), self.flight.speed_at(self.t_s), dropping=True)
            elif works.wheel_kg_m2:
                self._fly(float(before.phi[0]), wheel_speed, dropping=True)
            else:
                self.done.work.drop += works.torque_nm * (float(after.phi[0]) - float(before.phi[0]))
                self._say("locks", entered)
            return
        if left.piece is not entered.piece and left.piece.surface != entered.piece.surface:
            held = "unlocks" if "locking" in left.piece.surface else "recoil ends" if "recoil" in left.piece.surface else ""
            self._say(held or f"passes to {entered.piece.surface}", entered)
        if self.flight is not None or not works.wheel_kg_m2:
            return
        wanted = float(after.wheel[0]) * self._velocity()
        scale = 1e-10 * max(abs(wanted), abs(wheel_speed))
        if wanted > wheel_speed + scale:
            self._fly(float(before.phi[0]), wheel_speed, dropping=False)
        elif wanted < wheel_speed - scale:
            self._knock(entered, wheel_speed, 0.0)
