"""A toothed wheel or pinion with exact flanks, and what a tooth form must do to make a pair of them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np

from builder.ground.faults import Finding
from builder.ground.geometry import Points
from builder.parts.teeth.curve import Complex, Piece, Real

STEEP = 1e3
"""How fast a flank gives way beyond its tip, rad for its tip radius: in effect a corner."""


@dataclass(frozen=True)
class Flank:
    """The upper side of a tooth from the bottom of the space to the tip, as pieces end to end (mm, centreline on +x)."""

    pieces: tuple[Piece, ...]

    @cached_property
    def radii_mm(self) -> Real:
        """Radii of the pieces' ends, inner end first: (pieces + 1,)."""
        ends = np.array([0.0, 1.0])
        radii = np.abs([piece.at(ends)[0] for piece in self.pieces])
        return np.append(radii[:, 0], radii[-1, 1])

    def at(self, s: Real) -> tuple[Complex, Complex]:
        """Points and unit tangents at s, which runs from 0 to the number of pieces, each piece taking 1 of it."""
        s = np.asarray(s, dtype=float)
        which = np.minimum(np.floor(s), len(self.pieces) - 1)
        point, direction = np.empty(s.shape, complex), np.empty(s.shape, complex)
        for k, piece in enumerate(self.pieces):
            here = which == k
            if here.any():
                point[here], direction[here] = piece.at(s[here] - k)
        return point, direction

    def half_angle(self, radius_mm: Real) -> tuple[Real, Real]:
        """Half the tooth's angle at a radius, and its slope in rad a mm: same shape as the radii.

        Beyond the tip it falls away steeply; below the root it stays what it is there.
        """
        r = np.asarray(radius_mm, dtype=float)
        inner, outer = self.radii_mm[0], self.radii_mm[-1]
        which = np.searchsorted(self.radii_mm[1:-1], r, side="right")
        inside = np.minimum(np.maximum(r, inner), outer)
        point, direction = np.empty(r.shape, complex), np.empty(r.shape, complex)
        for k, piece in enumerate(self.pieces):
            here = which == k
            if here.any():
                point[here], direction[here] = piece.at(piece.at_radius(inside[here]))
        steep = STEEP / outer
        along = direction * np.conj(point)
        slope = np.maximum(along.imag / (np.abs(point) * np.maximum(along.real, 1e-9 * outer)), -steep)
        slope = np.where(r > outer, -steep, np.where(r < inner, 0.0, slope))
        return np.angle(point) - np.maximum(r - outer, 0.0) * steep, slope

    def points(self, chord_error_mm: float) -> Complex:
        """Points along it, root to tip; chords of the rounded root are ten times coarser, since nothing touches there."""
        parts = []
        for k, piece in enumerate(self.pieces):
            parts.append(piece.at(piece.stations(chord_error_mm * (10 if k == 0 else 1)))[0])
        return np.concatenate([*(part[:-1] for part in parts[:-1]), parts[-1]])


@dataclass(frozen=True)
class Gear:
    """A wheel or pinion about the origin, tooth 0 with its centreline on +x; teeth are symmetrical."""

    teeth: int
    module_mm: float
    half_tooth_rad: float
    """Half a tooth's angle on the pitch circle, as the flanks' law has it (a leaf's rounding may begin just inside)."""
    flank: Flank

    @property
    def pitch_mm(self) -> float:
        """Radius of the pitch circle."""
        return self.teeth * self.module_mm / 2

    @property
    def tip_mm(self) -> float:
        """Radius over the tips."""
        return float(self.flank.radii_mm[-1])

    @property
    def root_mm(self) -> float:
        """Radius at the bottom of the spaces."""
        return float(self.flank.radii_mm[0])

    @property
    def angle_rad(self) -> float:
        """From one tooth to the next."""
        return 2 * math.pi / self.teeth

    def outline(self, chord_error: float = 2e-3) -> Points:
        """The closed outline (N, 2) in mm, counter-clockwise from the bottom of the space before tooth 0.

        Chords of convex faces lie inside the true curve by at most `chord_error` modules, so drawn teeth never overlap
        for being drawn with chords.
        """
        upper = self.flank.points(chord_error * self.module_mm)
        pointed = abs(upper[-1].imag) < 1e-9 * self.module_mm
        tooth = np.concatenate([np.conj(upper), (upper[:-1] if pointed else upper)[::-1]])
        if abs(np.angle(upper[0]) - self.angle_rad / 2) < 1e-9:  # the root is half round: the next tooth begins here
            tooth = tooth[:-1]
        turns = np.exp(1j * self.angle_rad * np.arange(self.teeth))
        z = (turns[:, None] * tooth[None, :]).ravel()
        return np.stack((z.real, z.imag), axis=-1)


@dataclass(frozen=True)
class GearPair:
    """Driver and driven of one mesh, made for each other."""

    driver: Gear
    driven: Gear
    findings: tuple[Finding, ...] = ()

    @property
    def distance_mm(self) -> float:
        """The right distance of centres: the pitch circles touch."""
        return self.driver.pitch_mm + self.driven.pitch_mm


class MeshForm(Protocol):
    """A tooth form whose wheels and pinions mesh."""

    @property
    def kind(self) -> str:
        """The model file's word for it."""
        ...

    def pair(self, driver_teeth: int, driven_teeth: int, module_mm: float) -> GearPair:
        """The two gears. Raises Refused (keys ("driver",) and ("driven",)) for counts that cannot be made."""
        ...
