"""The curves that tooth flanks are made of, each exact: points are complex numbers x + iy, in mm about the arbor.

A piece runs from its inner end (t = 0) to its outer end (t = 1), the radius rising all the way, on the side of the tooth
at which angles are positive (the upper side of a tooth whose centreline lies on +x).
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Real = NDArray[np.float64]
Complex = NDArray[np.complex128]


def _within(x: Real, least: float, most: float) -> Real:
    return np.minimum(np.maximum(x, least), most)


class Piece(Protocol):
    """What a flank needs of a curve; `at` and `at_radius` take and give arrays of any one shape."""

    def at(self, t: Real) -> tuple[Complex, Complex]:
        """z(t) in mm, and the unit tangent there, root to tip."""
        ...

    def at_radius(self, radius_mm: Real) -> Real:
        """The t whose point lies at a radius, clipped to the piece's own ends."""
        ...

    def stations(self, chord_error_mm: float) -> Real:
        """The t, 0 and 1 among them, between which chords keep within the error of the curve."""
        ...


@dataclass(frozen=True)
class Ray:
    """A straight face along a radius, as of a radial flank."""

    angle_rad: float
    inner_mm: float
    outer_mm: float

    def at(self, t: Real) -> tuple[Complex, Complex]:
        along = np.full(np.shape(t), cmath.exp(1j * self.angle_rad))
        return (self.inner_mm + t * (self.outer_mm - self.inner_mm)) * along, along

    def at_radius(self, radius_mm: Real) -> Real:
        return _within((radius_mm - self.inner_mm) / (self.outer_mm - self.inner_mm), 0.0, 1.0)

    def stations(self, chord_error_mm: float) -> Real:
        return np.array([0.0, 1.0])


@dataclass(frozen=True)
class Round:
    """A circular arc about `centre`, from the direction `start_rad` to `end_rad`."""

    centre: complex
    radius_mm: float
    start_rad: float
    end_rad: float

    @property
    def outer_mm(self) -> float:
        """Radius at which it ends."""
        return abs(self.centre + cmath.rect(self.radius_mm, self.end_rad))

    def at(self, t: Real) -> tuple[Complex, Complex]:
        outward = np.exp(1j * (self.start_rad + t * (self.end_rad - self.start_rad)))
        return self.centre + self.radius_mm * outward, math.copysign(1.0, self.end_rad - self.start_rad) * 1j * outward

    def at_radius(self, radius_mm: Real) -> Real:
        away = abs(self.centre)
        cosine = (radius_mm**2 - away**2 - self.radius_mm**2) / (2 * away * self.radius_mm)
        off_centreline = np.arccos(_within(cosine, -1.0, 1.0))
        facing = cmath.phase(self.centre)
        side = -1.0 if math.sin((self.start_rad + self.end_rad) / 2 - facing) < 0 else 1.0
        nearest = round((self.start_rad - facing - side * math.pi / 2) / (2 * math.pi)) * 2 * math.pi
        angle = facing + nearest + side * off_centreline
        return _within((angle - self.start_rad) / (self.end_rad - self.start_rad), 0.0, 1.0)

    def stations(self, chord_error_mm: float) -> Real:
        """Sagitta = radius (1 − cos(half a chord's angle))."""
        widest = 2 * math.acos(1 - min(1.0, chord_error_mm / self.radius_mm))
        return np.linspace(0.0, 1.0, math.ceil(abs(self.end_rad - self.start_rad) / widest) + 1)


@dataclass(frozen=True)
class Epicycloid:
    """The path of a point of a circle rolling outside the base circle; it leaves the base radially at `angle_rad`.

    E(v) = (R + ρ) e^(iv) − ρ e^(iv(R + ρ)/ρ), v the angle of the rolling circle's centre; its tangent is e^(i(v + Rv/2ρ)).
    """

    base_mm: float
    rolling_mm: float
    angle_rad: float
    end_rad: float
    """v at the tip."""

    def at(self, t: Real) -> tuple[Complex, Complex]:
        v, R, rho = t * self.end_rad, self.base_mm, self.rolling_mm
        towards = np.exp(1j * (self.angle_rad - v))
        half_roll = np.exp(-1j * v * R / (2 * rho))
        return towards * ((R + rho) - rho * half_roll**2), towards * half_roll

    def at_radius(self, radius_mm: Real) -> Real:
        R, rho = self.base_mm, self.rolling_mm
        square = _within((radius_mm**2 - R**2) / (4 * rho * (R + rho)), 0.0, 1.0)
        return _within(2 * np.arcsin(np.sqrt(square)) * rho / (R * self.end_rad), 0.0, 1.0)

    def stations(self, chord_error_mm: float) -> Real:
        """Sagitta ≈ ds·(turn of the tangent)/8, which grows as v dv²: even steps of v^(3/2) make it the same all along."""
        R, rho = self.base_mm, self.rolling_mm
        growth = (R + rho) * R / rho * (1 + R / (2 * rho)) / 8
        steps = math.ceil(math.sqrt(growth / chord_error_mm) * self.end_rad**1.5 / 1.5)
        return np.linspace(0.0, 1.0, steps + 1) ** (2 / 3)


@dataclass(frozen=True)
class Unwound:
    """An involute: the end of a line unwound from the base circle, z = R (1 + iq) e^(i(angle − q)), tangent e^(i(angle − q))."""

    base_mm: float
    angle_rad: float
    """Where the whole involute springs from the base circle."""
    start_rad: float
    """q, the angle unwound, at the inner end; 0 on the base circle."""
    end_rad: float

    def at(self, t: Real) -> tuple[Complex, Complex]:
        q = self.start_rad + t * (self.end_rad - self.start_rad)
        towards = np.exp(1j * (self.angle_rad - q))
        return self.base_mm * (1 + 1j * q) * towards, towards

    def at_radius(self, radius_mm: Real) -> Real:
        q = np.sqrt(np.maximum((radius_mm / self.base_mm) ** 2 - 1, 0.0))
        return _within((q - self.start_rad) / (self.end_rad - self.start_rad), 0.0, 1.0)

    def stations(self, chord_error_mm: float) -> Real:
        """Sagitta ≈ R q dq²/8: even steps of q^(3/2) make it the same all along."""
        first, last = self.start_rad**1.5, self.end_rad**1.5
        steps = math.ceil(math.sqrt(self.base_mm / (8 * chord_error_mm)) * (last - first) / 1.5)
        q = np.linspace(first, last, steps + 1) ** (2 / 3)
        return (q - self.start_rad) / (self.end_rad - self.start_rad)


def root_round(face_rad: float, space_rad: float, root_mm: float, radius_mm: float = math.inf) -> Round:
    """The rounding between the root circle and a radial face at the polar angle `face_rad`.

    Its circle touches both; without a radius, or with one too big for the space (whose middle is at `space_rad`), it
    touches the faces on both sides, and the root is half round.
    """
    fits = math.sin(space_rad - face_rad)
    radius = min(radius_mm, root_mm * fits / (1 - fits))
    away = root_mm + radius
    at_rad = face_rad + math.asin(radius / away)
    return Round(away * cmath.exp(1j * at_rad), radius, at_rad - math.pi, face_rad - math.pi / 2)
