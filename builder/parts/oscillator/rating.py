"""Rates of pendulum and balance as the trade reckons them: length and beat, place, warmth, air, poise."""

from __future__ import annotations

from math import cos, pi, sqrt

import numpy as np

from builder.ground.constants import GRAVITY_STANDARD_M_S2, SECONDS_PER_DAY


def simple_length_m(beat_s: float, gravity_m_s2: float = GRAVITY_STANDARD_M_S2) -> float:
    """Length of the simple pendulum that beats every `beat_s`: g t² / pi² (Huygens 1673)."""
    return gravity_m_s2 * beat_s**2 / pi**2


def beat_s(length_m: float, gravity_m_s2: float = GRAVITY_STANDARD_M_S2) -> float:
    """Time of one beat of a simple pendulum of `length_m` at the smallest swing."""
    return pi * sqrt(length_m / gravity_m_s2)


def carried_s_per_day(gravity_from_m_s2: float, gravity_to_m_s2: float) -> float:
    """Gain of a pendulum clock carried from one gravity to another, s a day; + gains."""
    return SECONDS_PER_DAY * (sqrt(gravity_to_m_s2 / gravity_from_m_s2) - 1.0)


def lengthened_s_per_day(length_m: float, by_m: float) -> float:
    """Gain of a pendulum of equivalent length `length_m` made longer by `by_m`, s a day: it loses, so negative."""
    return SECONDS_PER_DAY * (sqrt(length_m / (length_m + by_m)) - 1.0)


def warmed_s_per_day(expansion_per_k: float, rise_k: float) -> float:
    """Gain of a pendulum whose length grows by `expansion_per_k`, warmed by `rise_k`: it loses, so negative."""
    return lengthened_s_per_day(1.0, expansion_per_k * rise_k)


def rising_length(falling_length: float, expansion_falling: float, expansion_rising: float) -> float:
    """Length of rising bars of a gridiron that undo the growth of `falling_length` (same unit).

    The falling length is the sum of all falling rods, which the rising bars themselves make longer.
    """
    return falling_length * expansion_falling / expansion_rising


def mercury_centre(length: float, net_rise: float, expansion_rod: float) -> float:
    """Height of the centre of a mercury column above its base (half the column) that undoes a rod's growth.

    net_rise x = expansion_rod (length + x), after E. Beckett, A Rudimentary Treatise on Clocks, Watches, and Bells, 8th
    ed., London 1903, p. 66; `length` to the column's middle. `net_rise` is the growth of the column in height for the same
    warmth as `expansion_rod`: mercury in bulk less twice the jar's widening.
    """
    return expansion_rod * length / (net_rise - expansion_rod)


def air_lift_part(air_kg_m3: float, density_kg_m3: float) -> float:
    """Part of a pendulum's weight that the air carries. Neglected: the air that swings along, which delays more."""
    return air_kg_m3 / density_kg_m3


def bessel_j1(x: float) -> float:
    """Bessel's J1, by its own integral (1/pi) ∫ cos(t - x sin t) dt over half a turn; the trapezium rule is exact here."""
    t = np.arange(64) * (2.0 * pi / 64)
    return float(np.mean(np.cos(t - x * np.sin(t))))


def poise_s_per_day(moment_nm: float, direction_rad: float, rigidity_nm: float, amplitude_rad: float) -> float:
    """Gain of a balance with a heavy spot, dial vertical, s a day; `moment_nm` is its weight times its distance.

    `direction_rad` is the spot's direction at rest from straight down. Its righting moment m g r sin(q + d) has the mean
    component 2 J1(A)/A · m g r cos d along the swing (harmonic balance), which stiffens the spring by as much. Neglected:
    its constant part, which only shifts the rest.
    """
    part = 1.0 if amplitude_rad == 0.0 else 2.0 * bessel_j1(amplitude_rad) / amplitude_rad
    return SECONDS_PER_DAY * 0.5 * moment_nm * cos(direction_rad) / rigidity_nm * part


def hairspring_shortened_s_per_day(part: float) -> float:
    """Gain when the hairspring's acting length is shortened by `part` of itself: its stiffness grows as 1 / length."""
    return SECONDS_PER_DAY * (1.0 / sqrt(1.0 - part) - 1.0)


def strip_stiffness_nm(young_pa: float, height_m: float, thickness_m: float, length_m: float) -> float:
    """Moment a radian of a spiral of strip, N·m: E h t³ / (12 L) (bending of a bar).

    Neglected: the coils' own weight, and the ends' bending, which a spiral with free coils shares out almost evenly.
    """
    return young_pa * height_m * thickness_m**3 / (12.0 * length_m)
