"""A smooth leg of a swing, by energy: speed as a function of place, and time from speed.

With E = w²/2 the equation of motion is of the first order in E along the way, and is solved at sixteen Gauss nodes. A leg
that begins or ends where the oscillator turns takes its nodes in the square root of the way, where speed is smooth.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from builder.going.course import Course, Stretch, Touch
from builder.ground.roots import gauss
from builder.parts.oscillator.terms import Terms

Array = NDArray[np.float64]

RULE = gauss(16)
V = np.concatenate([[0.0], RULE.nodes, [1.0]])
IN = slice(1, -1)
SQRT_2 = sqrt(2.0)
EVEN, FROM_TURN, TO_TURN = 0, -1, 1


@dataclass(frozen=True)
class Flight:
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


@dataclass(frozen=True)
class Leg:
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

    def add(self, other: Work) -> None:
        """Add another's to these."""
        for name in vars(other):
            setattr(self, name, getattr(self, name) + getattr(other, name))


@dataclass(frozen=True)
class Works:
    """All that acts: oscillator, course of the pallets, torque and inertia at the escape wheel; SI."""

    terms: Terms
    course: Course
    torque_nm: float
    wheel_kg_m2: float = 0.0

    def leg(
        self, stretch: Stretch, sign: float, x: float, energy: float, way: float, t_s: float, flight: Flight | None, shape: int
    ) -> tuple[Leg, Array]:
        """The leg over `way` from `x`, and its E (18,), which is negative where it cannot come so far."""
        terms, lever_kg_m2 = self.terms, self.course.coupling.inertia_kg_m2
        y, measure = _way(shape, way)
        x_points = x + sign * y
        touch = _touch(stretch, x_points, shape)
        pull = -terms.righting_nm(x_points - terms.out_of_beat_rad)
        inertia: float | Array = terms.inertia_kg_m2
        curl: float | Array = 0.0
        if lever_kg_m2:
            inertia = inertia + lever_kg_m2 * touch.lever**2
            curl = 2.0 * lever_kg_m2 * touch.lever * touch.lever_bend
        if flight is None:
            pull = pull + self.torque_nm * touch.gain
            if self.wheel_kg_m2:
                inertia = inertia + self.wheel_kg_m2 * touch.gain * touch.wheel
                curl = curl + 2.0 * self.wheel_kg_m2 * touch.gain * touch.wheel_bend
        drive, drag, curl = sign * pull / inertia, terms.loss_nms / inertia, sign * curl / inertia
        inside, steps = measure[IN], RULE.cumulative * measure[IN]
        pushes, drags, curls = drive[IN], SQRT_2 * _inner(drag), _inner(curl)
        inner = energy + steps @ pushes
        for _ in range(80):
            before = inner
            slope = pushes - drags * np.sqrt(np.maximum(inner, 0.0)) - curls * inner
            inner = energy + steps @ slope
            if shape == TO_TURN:  # while the way is not yet exact: let E end at nought
                inner = inner - (energy + RULE.weights @ (inside * slope)) * (y[IN] / way)
            change = inner - before
            if change @ change <= 1.6e-31 * (inner @ inner):
                break
        last = energy + float(RULE.weights @ (inside * slope))
        points = np.concatenate([[energy], inner, [last]])
        speed = np.sqrt(2.0 * np.maximum(points, 0.0))
        slopes = drive - drag * speed - curl * points
        rates = inside / np.maximum(speed[IN], 1e-300)
        times = t_s + np.concatenate([[0.0], RULE.cumulative @ rates, [RULE.weights @ rates]])
        return Leg(stretch, sign, shape, x, way, x_points, speed, times, slopes, touch, flight), points

    def force(self, leg: Leg) -> Array:
        """Torque that the wheel gives to the pallets along a leg in contact (18,): the train's less what speeds it up."""
        if not self.wheel_kg_m2:
            return np.full_like(leg.x, self.torque_nm)
        gathers = leg.touch.wheel_bend * leg.speed**2 + leg.touch.wheel * leg.sign * leg.energy_slope
        return self.torque_nm - self.wheel_kg_m2 * gathers

    def work(self, leg: Leg) -> Work:
        """Where energy goes along a leg."""
        _, measure = _way(leg.shape, leg.way)
        weights = RULE.weights * measure[IN]
        done = Work(oscillator=float(weights @ (self.terms.loss_nms * leg.speed[IN])))
        if leg.flight is None and not leg.stretch.free:
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


def _way(shape: int, way: float) -> tuple[Array, Array]:
    """(length gone, its derivative) at the points of a leg."""
    gone, rate = SHARES[shape]
    return way * gone, way * rate


def _inner(values: float | Array) -> float | Array:
    """At the nodes of a leg; what is the same everywhere is a number."""
    return values if isinstance(values, float) else values[IN]


def _touch(stretch: Stretch, x: Array, shape: int) -> Touch:
    """The stretch's touch at the points, kept where they are those of the whole stretch."""
    if shape != EVEN or x[0] != stretch.start or abs(x[-1] - stretch.end) > 1e-15:
        return stretch.touch(x)
    if len(x) not in stretch.kept:
        stretch.kept[len(x)] = stretch.touch(x)
    return stretch.kept[len(x)]
