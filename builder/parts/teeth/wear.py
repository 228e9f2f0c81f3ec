"""Worn flanks: the pit that a hard, dirty or badly pitched mate has worn into the teeth where it rubs."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from builder.ground.faults import Complaint, Refused
from builder.parts.teeth.curve import Complex, Piece, Real
from builder.parts.teeth.gear import Flank, Gear


@dataclass(frozen=True)
class Pitted:
    """A piece of flank with a smooth pit between two radii: every point moved towards the tooth's middle along its circle.

    The depth follows cos², from nothing at both ends to `depth_mm` halfway.
    """

    whole: Piece
    depth_mm: float
    from_mm: float
    to_mm: float

    def at(self, t: Real) -> tuple[Complex, Complex]:
        z, along = self.whole.at(t)
        r = np.abs(z)
        across = np.pi * np.minimum(np.maximum((r - self.from_mm) / (self.to_mm - self.from_mm), 0.0), 1.0)
        depth = self.depth_mm * np.sin(across) ** 2
        deepens = self.depth_mm * np.sin(2 * across) * np.pi / (self.to_mm - self.from_mm)
        moved = np.exp(-1j * depth / r)
        tangent = along - 1j * z * (deepens / r - depth / r**2) * (along * np.conj(z)).real / r
        return z * moved, tangent * moved / np.abs(tangent)

    def at_radius(self, radius_mm: Real) -> Real:
        return self.whole.at_radius(radius_mm)

    def stations(self, chord_error_mm: float) -> Real:
        """The whole piece's, and even steps of radius across the pit: sagitta = step² × curvature / 8."""
        curvature = 2 * self.depth_mm * (math.pi / (self.to_mm - self.from_mm)) ** 2
        steps = math.ceil((self.to_mm - self.from_mm) * math.sqrt(curvature / (8 * chord_error_mm)))
        across = self.at_radius(np.linspace(self.from_mm, self.to_mm, steps + 1))
        return np.unique(np.concatenate([self.whole.stations(chord_error_mm), across]))


def worn(gear: Gear, depth_mm: float, from_mm: float, to_mm: float) -> Gear:
    """The gear with a pit of that greatest depth worn into its flanks between two radii (mm). Raises Refused.

    Both flanks of each tooth are worn alike; a real pinion is worn on the side that is driven, which only makes the play
    found here too great. The pit is even along the leaf.
    """
    refused = []
    if not gear.root_mm <= from_mm < to_mm <= gear.tip_mm:
        allowed = f"between the root at {gear.root_mm:.3g} mm and the tip at {gear.tip_mm:.3g} mm, the inner one first"
        advice = "Measure from the arbor's centre to where the pit begins and ends."
        refused.append(Complaint(("from_mm",), f"{from_mm:g} to {to_mm:g}", allowed, advice))
    else:
        radii = np.linspace(from_mm, to_mm, 33)
        thinnest = float(np.min(radii * gear.flank.half_angle(radii)[0]))
        if not 0 <= depth_mm < thinnest:
            advice = "Measure the pit again: that much from both sides would cut the tooth through."
            refused.append(Complaint(("depth_mm",), f"{depth_mm:g}", f"less than {thinnest:.3g} mm", advice))
    if refused:
        raise Refused(refused)
    pieces = tuple(
        Pitted(piece, depth_mm, from_mm, to_mm) if inner < to_mm and outer > from_mm else piece
        for piece, inner, outer in zip(gear.flank.pieces, gear.flank.radii_mm[:-1], gear.flank.radii_mm[1:], strict=True)
    )
    return replace(gear, flank=Flank(pieces))
