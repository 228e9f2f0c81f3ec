"""The hairspring's true shape while the balance turns: a thin elastic strip, clamped at collet and stud.

At rest it is an Archimedean spiral. Turned, the collet end moves with the collet, the stud end stays; in between the strip
takes the shape of least bending energy: kappa(s) = kappa0(s) + m + fx·y − fy·x (moment and force at the end, by bending
stiffness). The three unknowns are found by Newton so that the far end keeps its place and its direction.

Neglected: the strip's own weight and inertia, its thickness, curb pins and overcoil.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

PER_COIL = 96
"""Steps of the integration a coil; midpoint rule along the strip."""


@dataclass(frozen=True)
class Spiral:
    """A flat spiral about the staff, mm; wound outwards counter-clockwise from the collet (angle 0)."""

    inner_mm: float
    outer_mm: float
    coils: float

    @property
    def length_mm(self) -> float:
        """Along the strip."""
        return float(np.sum(self._steps()[1]))

    def _steps(self) -> tuple[Array, Array]:
        """Directions (N,) and lengths (N,) of the chords at rest."""
        turns = np.linspace(0.0, 2 * np.pi * self.coils, round(PER_COIL * self.coils) + 1)
        radius = self.inner_mm + (self.outer_mm - self.inner_mm) * turns / turns[-1]
        z = radius * np.exp(1j * turns)
        chord = np.diff(z)
        return np.unwrap(np.angle(chord)), np.abs(chord)

    def turned(self, angles_rad: Array) -> Array:
        """The strip's points (K, N + 1, 2) in mm for balance angles (K,), counter-clockwise positive.

        Raises ValueError where Newton does not settle (far beyond any balance's swing).
        """
        shapes = np.empty((len(angles_rad), len(self._steps()[0]) + 1), complex)
        for which in (np.argsort(angles_rad)[np.sort(angles_rad) >= 0], np.argsort(-angles_rad)[np.sort(-angles_rad) > 0]):
            strip, reached = _Strip(self), 0.0
            for k in which:
                while True:  # walk there in steps of at most a quarter turn, each starting from the last solution
                    step = float(np.clip(angles_rad[k] - reached, -np.pi / 2, np.pi / 2))
                    reached += step
                    z = strip.settled(reached)
                    if abs(angles_rad[k] - reached) < 1e-12:
                        break
                shapes[k] = z
        return np.stack((shapes.real, shapes.imag), axis=-1)


class _Strip:
    """A spiral's strip being turned: what was found last is where the next begins."""

    def __init__(self, spiral: Spiral) -> None:
        self.spiral = spiral
        self.direction, self.length = spiral._steps()
        along = np.cumsum(self.length) - self.length / 2
        self.share = 1 - along / np.sum(self.length)
        self.target = spiral.outer_mm * np.exp(1j * 2 * np.pi * spiral.coils)
        self.force = np.zeros(3)
        """Moment and force at the end, by bending stiffness."""
        self.over = np.zeros(len(self.length))
        """How far each chord is bent beyond its share of the turn."""
        self.slopes: Array | None = None

    def settled(self, angle: float) -> NDArray[np.complex128]:
        """The points at a balance angle. Raises ValueError where none is found."""
        scale = np.array([1.0, 1.0 / self.spiral.outer_mm, 1.0 / self.spiral.outer_mm]) / np.sum(self.length)
        off, z = self._misfit(angle, self.force)
        for _ in range(40):
            if np.max(np.abs(off)) < 1e-10:
                return z
            if self.slopes is None:
                probes = 1e-6 * np.diag(scale)
                self.slopes = np.column_stack([(self._misfit(angle, self.force + p)[0] - off) / p.sum() for p in probes])
            step = -np.linalg.solve(self.slopes, off)
            self.force = self.force + step
            before = off
            off, z = self._misfit(angle, self.force)
            # the slopes mended by what the step has really done: C. G. Broyden, Mathematics of Computation 19 (1965) 577-593
            self.slopes = self.slopes + np.outer(off - before - self.slopes @ step, step / scale**2) / np.sum((step / scale) ** 2)
        raise ValueError(f"the hairspring finds no shape at {angle} rad")

    def _misfit(self, angle: float, force: Array) -> tuple[Array, NDArray[np.complex128]]:
        """How far the end is from its place and direction, and the points."""
        z, turned = self._shape(angle, force)
        off = z[-1] - self.target
        return np.array([off.real / self.spiral.outer_mm, off.imag / self.spiral.outer_mm, turned]), z

    def _shape(self, angle: float, force: Array) -> tuple[NDArray[np.complex128], float]:
        """Points under moment and force; integrated again and again so that the force acts on the deflected strip."""
        turned = self.direction + angle * self.share
        start = self.spiral.inner_mm * np.exp(1j * angle)
        for _ in range(12):
            z = self._points(start, turned + self.over)
            middle = (z[1:] + z[:-1]) / 2
            swept = (force[0] + force[1] * middle.imag - force[2] * middle.real) * self.length
            before, self.over = self.over, np.cumsum(swept) - swept / 2
            if np.max(np.abs(self.over - before)) < 1e-13:
                break
        return self._points(start, turned + self.over), float(np.sum(swept))

    def _points(self, start: complex, direction: Array) -> NDArray[np.complex128]:
        return np.concatenate(([start], start + np.cumsum(self.length * np.exp(1j * direction))))
