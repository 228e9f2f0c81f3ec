"""A smooth leg of a swing, by energy: speed as a function of place, and time from speed.

With E = w²/2 the equation of motion is of the first order in E along the way, and is solved at sixteen Gauss nodes. A leg
that begins or ends where the oscillator turns takes its nodes in the square root of the way, where speed is smooth.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from builder.going.course import Course, Stretch, Touch
from builder.ground.roots import gauss
from builder.parts.oscillator.terms import Terms

Array = NDArray[np.float64]

RULE = gauss(16)
V = np.concatenate([[0.0], RULE.nodes, [1.0]])
CUMULATIVE = np.vstack([np.zeros(16), RULE.cumulative, RULE.weights])
"""(18, 16): integrals from 0 to each point, of values at the nodes."""
IN = slice(1, -1)
NOUGHT = np.zeros(16)
SQRT_2 = sqrt(2.0)
EVEN, FROM_TURN, TO_TURN = 0, -1, 1
ROUNDING = 1.6e-31
"""Square of the part of E that may still change when a leg is solved."""


class Flight(NamedTuple):
    """The wheel running free from an instant on, under the constant torque of the train."""

    t_s: float
    phi: float
    speed: float
    pull: float
    """Angular acceleration, rad/s²."""
    dropping: bool
    """Let off a pallet, and not merely left behind by one."""

    def at(self, t_s: Array) -> Array:
        """Wheel angle at some instants."""
        since = t_s - self.t_s
        return self.phi + since * (self.speed + 0.5 * self.pull * since)

    def speed_at(self, t_s: float) -> float:
        """Wheel speed at an instant."""
        return self.speed + self.pull * (t_s - self.t_s)


class Leg(NamedTuple):
    """A smooth part of a swing at the points 0, sixteen nodes, 1 of its own measure v; arrays (18,)."""

    stretch: Stretch
    sign: float
    """+1 when x rises."""
    shape: int
    """How the way goes with v: evenly, or by the square from or to a turn."""
    x_from: float
    way: float
    """Length of the leg, rad."""
    x: Array
    speed: Array
    """|dx/dt|."""
    t_s: Array
    """Time since the swing began."""
    energy_slope: Array
    """dE along the way."""
    touch: Touch
    flight: Flight | None

    @property
    def x_to(self) -> float:
        """Where the leg ends."""
        return float(self.x[-1])

    @property
    def energy(self) -> float:
        """w²/2 at its end."""
        return 0.5 * float(self.speed[-1]) ** 2

    def at(self, v: Array) -> tuple[Array, Array]:
        """(x, t) at some v (m,) in [0, 1]."""
        y = self.way * _share(self.shape, v)[0]
        return self.x_from + self.sign * y, float(self.t_s[0]) + RULE.at(v) @ (self.t_s[IN] - self.t_s[0])


class Way(NamedTuple):
    """What acts along a leg, however fast it is gone; arrays (18,).

    With w²/2 = E along the way: dE = drive - drag w - curl E.
    """

    x: Array
    touch: Touch
    drive: Array
    drag: float | Array
    """A number where it is the same everywhere."""
    curl: Array | None
    """None where it is nought."""
    inner: tuple[Array, float | Array, Array | None]
    """At the nodes, for the whole length: drive, drag by the root of E, curl."""


@dataclass
class Work:
    """Where energy went, J."""

    oscillator: float = 0.0
    """The oscillator's own loss."""
    sliding: float = 0.0
    """Friction of tooth on pallet."""
    drop: float = 0.0
    """Torque of the train times the angle fallen free in the drops."""
    wheel: float = 0.0
    """Motion of the wheel that is knocked out of it on landing, beyond what the drop itself gave, or lost in catching up."""
    lever: float = 0.0
    """Knocks of the lever: fork against pin, lever against banking."""
    impulse: float = 0.0
    """Work of the wheel on the oscillator where it drives it."""
    unlocking: float = 0.0
    """Work that the oscillator had to give to the wheel (positive): draw, recoil, friction while locked, knocks of locking."""

    def __add__(self, other: Work) -> Work:
        return Work(*(mine + theirs for mine, theirs in zip(vars(self).values(), vars(other).values(), strict=True)))


@dataclass(frozen=True)
class Works:
    """All that acts: oscillator, course of the pallets, torque and inertia at the escape wheel; SI."""

    terms: Terms
    course: Course
    torque_nm: float
    wheel_kg_m2: float = 0.0
    _whole: dict[tuple[Stretch, bool], Way] = field(default_factory=dict, init=False, repr=False, compare=False)
    """The ways over whole stretches, which every swing goes again."""

    def leg(
        self,
        stretch: Stretch,
        sign: float,
        x: float,
        energy: float,
        way: float,
        t_s: float,
        flight: Flight | None,
        shape: int,
        like: Array | None = None,
    ) -> tuple[Leg, Array]:
        """The leg over `way` from `x`, and its E (18,), which is negative where it cannot come so far.

        `like` is the E of a leg that hardly differs: to begin with."""
        acts = self._way(stretch, sign, x, way, flight is None, shape)
        pushes, drags, curls = acts.inner
        integrals = INTEGRALS[shape]
        points = energy + integrals.dot(pushes) if like is None else like
        inner = points[IN]
        least = ROUNDING * float(inner.dot(inner))
        changed = 0.0
        for _ in range(80):
            slope = pushes - drags * np.sqrt(np.maximum(inner, NOUGHT))
            if curls is not None:
                slope -= curls * inner
            points = energy + integrals.dot(slope)
            left = points[-1]
            if shape == TO_TURN:  # while the way is not yet exact: let E end at nought
                points -= left * SHARES[shape][0]
            change, inner = points[IN] - inner, points[IN]
            before, changed = changed, float(change.dot(change))
            if changed * changed <= least * before:  # the next change is as many times less again
                break
        points[-1] = left
        speed = np.sqrt(2.0 * np.maximum(points, 0.0))
        slopes = acts.drive - acts.drag * speed
        if acts.curl is not None:
            slopes -= acts.curl * points
        times = t_s + integrals.dot(way / np.maximum(speed[IN], 1e-300))
        return Leg(stretch, sign, shape, x, way, acts.x, speed, times, slopes, acts.touch, flight), points

    def _way(self, stretch: Stretch, sign: float, x: float, way: float, contact: bool, shape: int) -> Way:
        """What acts on the way, kept where it is a whole stretch."""
        if shape != EVEN or x != stretch.start or abs(x + sign * way - stretch.end) > 1e-15:
            return self._acts(stretch, sign, x, way, contact, shape)
        if (stretch, contact) not in self._whole:
            self._whole[stretch, contact] = self._acts(stretch, sign, x, way, contact, shape)
        return self._whole[stretch, contact]

    def _acts(self, stretch: Stretch, sign: float, x: float, way: float, contact: bool, shape: int) -> Way:
        terms, lever_kg_m2 = self.terms, self.course.coupling.inertia_kg_m2
        points = x + sign * way * SHARES[shape][0]
        touch = stretch.touch(points)
        pull = -terms.righting_nm(points - terms.out_of_beat_rad)
        inertia: float | Array = terms.inertia_kg_m2
        curl: Array | None = None
        if lever_kg_m2 and not stretch.free:
            inertia = inertia + lever_kg_m2 * touch.lever**2
            curl = 2.0 * lever_kg_m2 * touch.lever * touch.lever_bend
        if contact and not stretch.free:
            pull = pull + self.torque_nm * touch.gain
            if self.wheel_kg_m2:
                inertia = inertia + self.wheel_kg_m2 * touch.gain * touch.wheel
                wheel = 2.0 * self.wheel_kg_m2 * touch.gain * touch.wheel_bend
                curl = wheel if curl is None else curl + wheel
        drive, drag = sign * pull / inertia, terms.loss_nms / inertia
        curl = None if curl is None else sign * curl / inertia
        drags = way * SQRT_2 * (drag if isinstance(drag, float) else drag[IN])
        inner = (way * drive[IN], drags, None if curl is None else way * curl[IN])
        return Way(points, touch, drive, drag, curl, inner)

    def force(self, leg: Leg) -> Array:
        """Torque that the wheel gives to the pallets along a leg in contact (18,): the train's less what speeds it up."""
        if not self.wheel_kg_m2:
            return np.full_like(leg.x, self.torque_nm)
        gathers = leg.touch.wheel_bend * leg.speed**2 + leg.touch.wheel * leg.sign * leg.energy_slope
        return self.torque_nm - self.wheel_kg_m2 * gathers

    def lost_j(self, leg: Leg) -> float:
        """The oscillator's own loss along a leg, J."""
        return self.terms.loss_nms * leg.way * float(WEIGHTS[leg.shape].dot(leg.speed[IN]))

    def work(self, leg: Leg) -> Work:
        """Where energy goes along a leg."""
        done = Work(oscillator=self.lost_j(leg))
        if leg.flight is None and not leg.stretch.free:
            weights = leg.way * WEIGHTS[leg.shape]
            force = leg.sign * self.force(leg)[IN]
            gain = leg.touch.gain[IN]
            given = float(weights @ (force * gain))
            done.sliding = float(weights @ (force * (leg.touch.wheel[IN] - gain)))
            done.impulse, done.unlocking = max(given, 0.0), max(-given, 0.0)
        return done


def _share(shape: int, v: Array) -> tuple[Array, Array]:
    """(part of the length gone, its derivative) at v: even, from rest (v²), or to rest (1 - (1 - v)²)."""
    if shape == FROM_TURN:
        return v * v, 2.0 * v
    if shape == TO_TURN:
        return v * (2.0 - v), 2.0 * (1.0 - v)
    return v, np.ones_like(v)


SHARES = {shape: _share(shape, V) for shape in (EVEN, FROM_TURN, TO_TURN)}
INTEGRALS = {shape: CUMULATIVE * rate[IN] for shape, (_, rate) in SHARES.items()}
WEIGHTS = {shape: RULE.weights * rate[IN] for shape, (_, rate) in SHARES.items()}
