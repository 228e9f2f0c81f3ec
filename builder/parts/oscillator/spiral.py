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
        direction, length = self._steps()
        along = np.cumsum(length) - length / 2
        share = 1 - along / np.sum(length)
        target = self.outer_mm * np.exp(1j * 2 * np.pi * self.coils)
        shapes = np.empty((len(angles_rad), len(length) + 1), complex)
        for which in (np.argsort(angles_rad)[np.sort(angles_rad) >= 0], np.argsort(-angles_rad)[np.sort(-angles_rad) > 0]):
            unknown, reached = np.zeros(3), 0.0
            for k in which:
                while True:  # walk there in steps of at most a quarter turn, each starting from the last solution
                    step = float(np.clip(angles_rad[k] - reached, -np.pi / 2, np.pi / 2))
                    reached += step
                    unknown, z = self._settled(reached, unknown, direction, length, share, target)
                    if abs(angles_rad[k] - reached) < 1e-12:
                        break
                shapes[k] = z
        return np.stack((shapes.real, shapes.imag), axis=-1)

    def _settled(
        self, angle: float, unknown: Array, direction: Array, length: Array, share: Array, target: complex
    ) -> tuple[Array, NDArray[np.complex128]]:
        start = self.inner_mm * np.exp(1j * angle)

        def shape(u: Array) -> tuple[NDArray[np.complex128], float]:
            """Points for moment and force u; integrated twice so that the force acts on the deflected strip."""
            bent = angle * share
            for _ in range(12):
                chords = length * np.exp(1j * (direction + bent))
                z = start + np.concatenate(([0], np.cumsum(chords)))
                middle = (z[1:] + z[:-1]) / 2
                curvature = u[0] + u[1] * middle.imag - u[2] * middle.real
                swept = curvature * length
                new = angle * share + np.cumsum(swept) - swept / 2
                change = np.max(np.abs(new - bent))
                bent = new
                if change < 1e-13:
                    break
            chords = length * np.exp(1j * (direction + bent))
            z = start + np.concatenate(([0], np.cumsum(chords)))
            return z, float(np.sum(swept))

        def misfit(u: Array) -> tuple[Array, NDArray[np.complex128]]:
            z, turned = shape(u)
            off = z[-1] - target
            return np.array([off.real / self.outer_mm, off.imag / self.outer_mm, turned]), z

        scale = np.array([1.0, 1.0 / self.outer_mm, 1.0 / self.outer_mm]) / np.sum(length)
        for _ in range(40):
            off, z = misfit(unknown)
            if np.max(np.abs(off)) < 1e-10:
                return unknown, z
            slopes = np.empty((3, 3))
            for j in range(3):
                probe = unknown.copy()
                probe[j] += 1e-6 * scale[j]
                slopes[:, j] = (misfit(probe)[0] - off) / (1e-6 * scale[j])
            unknown = unknown - np.linalg.solve(slopes, off)
        raise ValueError(f"the hairspring finds no shape at {angle} rad")
