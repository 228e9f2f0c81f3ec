"""The oscillator as an equation of motion, one for pendulum and balance: I q'' + c q' + G sin q + k q = torque."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, inf, pi, sin, sqrt

import numpy as np
from numpy.typing import NDArray

from builder.ground.constants import SECONDS_PER_DAY


def rate_s_per_day(period_s: float, nominal_s: float) -> float:
    """Gain of a clock whose period should be `nominal_s`: seconds that it shows beyond a true day's; + gains."""
    return SECONDS_PER_DAY * (nominal_s / period_s - 1.0)


def elliptic_period_ratio(amplitude_rad: float) -> float:
    """Period of a simple pendulum at an amplitude (half arc, below 180°) over that of the smallest swing.

    It is 2 K(sin A/2) / pi, by the mean of arithmetic and geometric mean (Gauss 1799), full precision in five steps.
    Raises ValueError at 180° and beyond, where a pendulum turns over.
    """
    if not abs(amplitude_rad) < pi:
        raise ValueError(f"a pendulum does not swing at {amplitude_rad} rad")
    a, b = 1.0, cos(amplitude_rad / 2.0)
    while abs(a - b) > 1e-15 * a:
        a, b = (a + b) / 2.0, sqrt(a * b)
    return 1.0 / a


def circular_error_s_per_day(semi_arc_rad: float) -> float:
    """Loss (negative) of a simple pendulum against its own smallest swing, s a day."""
    return rate_s_per_day(elliptic_period_ratio(semi_arc_rad), 1.0)


@dataclass(frozen=True)
class Terms:
    """What the solver of the beat needs to know of an oscillator, at the temperature at which it runs; SI."""

    inertia_kg_m2: float
    gravity_nm: float
    """G: greatest righting moment of gravity, net of the air's lift; 0 for a balance."""
    stiffness_nm: float
    """k: moment of the spring a radian."""
    loss_nms: float
    """c: moment of the losses a rad/s. One linear term stands for air, suspension, pivots and inner friction alike:
    the air's growth with speed and the pivots' dry friction are neglected."""
    nominal_period_s: float
    """Two beats as the train asks for them."""
    out_of_beat_rad: float = 0.0
    """Where the oscillator rests, seen from the place where the pallets stand midway."""

    @property
    def rigidity_nm(self) -> float:
        """Righting moment a radian at the smallest swing, N·m."""
        return self.gravity_nm + self.stiffness_nm

    @property
    def small_period_s(self) -> float:
        """Period of the smallest swing without loss, s: 2 pi sqrt(I / (G + k))."""
        return 2.0 * pi * sqrt(self.inertia_kg_m2 / self.rigidity_nm)

    @property
    def q_factor(self) -> float:
        """2 pi × energy stored / energy lost in a period at small swing, I w0 / c."""
        if self.loss_nms == 0.0:
            return inf
        return sqrt(self.inertia_kg_m2 * self.rigidity_nm) / self.loss_nms

    def righting_nm(self, q_rad: NDArray[np.float64] | float) -> NDArray[np.float64]:
        """Righting moment at an angle from rest, N·m, shape as `q_rad`."""
        return np.asarray(self.gravity_nm * np.sin(q_rad) + self.stiffness_nm * np.asarray(q_rad))

    def energy_j(self, amplitude_rad: float) -> float:
        """Energy stored at an amplitude, J: G (1 - cos A) + k A²/2."""
        return 2.0 * self.gravity_nm * sin(amplitude_rad / 2.0) ** 2 + self.stiffness_nm * amplitude_rad**2 / 2.0

    def amplitude_rad(self, energy_j: float) -> float:
        """The amplitude that stores an energy (the inverse of `energy_j`); by Newton from the small swing's value.

        Raises ValueError where a pendulum would turn over.
        """
        if self.stiffness_nm == 0.0 and energy_j >= 2.0 * self.gravity_nm:
            raise ValueError("a pendulum with so much energy turns over")
        a = sqrt(2.0 * max(energy_j, 0.0) / self.rigidity_nm)
        if self.gravity_nm == 0.0 or a == 0.0:
            return a
        if self.stiffness_nm == 0.0:
            return float(2.0 * np.arcsin(sqrt(energy_j / (2.0 * self.gravity_nm))))
        for _ in range(60):
            step = (self.energy_j(a) - energy_j) / float(self.righting_nm(a))
            a -= step
            if abs(step) < 1e-15 * a:
                break
        return a

    def period_s(self, amplitude_rad: float) -> float:
        """Period at an amplitude without loss or escapement, s.

        Elliptic integral for gravity alone, the small swing's for a spring alone; for both, the phase integral with
        q = A sin s, whose integrand is smooth and periodic, so that the trapezium rule is exact to rounding.
        """
        a = abs(amplitude_rad)
        if self.gravity_nm == 0.0 or a == 0.0:
            return self.small_period_s
        if self.stiffness_nm == 0.0:
            return self.small_period_s * elliptic_period_ratio(a)
        s = np.asarray((np.arange(64) + 0.5) * (2.0 * pi / 64), dtype=np.float64)
        # (U(A) - U(q)) / cos² s, each difference as a product so that nothing cancels near the turn
        gravity = 2.0 * self.gravity_nm * _chord(a, s)
        spring = 0.5 * self.stiffness_nm * a * a
        return float(np.mean(2.0 * pi * a / np.sqrt(2.0 * (gravity + spring) / self.inertia_kg_m2)))

    def loss_j(self, amplitude_rad: float) -> float:
        """Energy lost in a period at an amplitude, J, as if the swing were a sine: pi c w A² (the solver does it exactly)."""
        return pi * self.loss_nms * (2.0 * pi / self.period_s(amplitude_rad)) * amplitude_rad**2

    def circular_error_s_per_day(self, amplitude_rad: float) -> float:
        """Gain at an amplitude against the smallest swing: negative for a pendulum, nought for a balance."""
        return rate_s_per_day(self.period_s(amplitude_rad), self.small_period_s)


def _chord(a: float, s: NDArray[np.float64]) -> NDArray[np.float64]:
    """(sin² A/2 - sin² q/2) / cos² s for q = A sin s, by sin((A-q)/2) sin((A+q)/2) with A - q = A (1 - sin s)."""
    below, above = a * (1.0 - np.sin(s)) / 2.0, a * (1.0 + np.sin(s)) / 2.0
    return np.asarray(np.sinc(below / pi) * np.sinc(above / pi) * a * a / 4.0)
