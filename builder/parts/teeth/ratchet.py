"""Ratchet teeth and the click that falls into them: they hold one way and let the wheel be wound the other."""

from __future__ import annotations

import math
from typing import Annotated, Literal

import numpy as np
from pydantic import Field

from builder.ground.faults import Complaint, Refused
from builder.ground.geometry import Points
from builder.ground.part import Part

LEAST_TEETH = 6
CLEAR = 1.05
"""Radius at which the click's body clears the tips, in tip radii."""


class Ratchet(Part):
    """Ratchet teeth: one steep face that the click holds, one straight back that lifts it."""

    kind: Literal["ratchet"] = "ratchet"
    """Tooth form."""
    hook_deg: Annotated[float, Field(ge=0, le=25)] = 5.0
    """How far the holding face is cut back from the radius, so that the load draws the click in."""
    depth: Annotated[float, Field(ge=0.2, le=1.0)] = 0.5
    """Depth of the teeth as a part of the distance from tip to tip."""

    def outline(self, teeth: int, tip_mm: float, held_from_turning_ccw: bool = False) -> Points:
        """The closed outline (2·teeth, 2) in mm about the arbor, counter-clockwise; the tip of tooth 0 is on +x.

        The click holds the wheel against turning clockwise, or counter-clockwise when asked. Raises Refused.
        """
        root, tip = self._face(teeth, tip_mm)
        turns = np.exp(2j * math.pi * np.arange(teeth) / teeth)
        return _as_points((turns[:, None] * np.array([root, tip])).ravel(), held_from_turning_ccw)

    def click_outline(self, teeth: int, tip_mm: float, length_mm: float, held_from_turning_ccw: bool = False) -> Points:
        """A click resting in the space before tooth 0 (tip on +x): closed outline (N, 2) in mm in the wheel's frame.

        Its pivot is at `click_pivot`; turn both by the same angle to seat it elsewhere. The nose fills the space: along the
        holding face to the tip, and along the back of the tooth before. Raises Refused.
        """
        root, tip = self._face(teeth, tip_mm)
        pivot = _pivot(tip_mm, length_mm)
        before = tip * np.exp(-2j * math.pi / teeth)
        clear = CLEAR * before * np.exp(0.4j * math.pi / teeth)
        boss, neck = 0.16 * length_mm, 0.1 * length_mm + (CLEAR - 1) * tip_mm
        along = math.atan2((pivot - tip).imag, (pivot - tip).real)
        end = pivot + boss * np.exp(1j * (along + np.radians(np.linspace(-100, 100, 13))))
        ring = np.array([tip, root, root + 0.6 * (before - root), clear, *end, tip + neck])
        return _as_points(ring, held_from_turning_ccw)

    def click_pivot(self, tip_mm: float, length_mm: float, held_from_turning_ccw: bool = False) -> tuple[float, float]:
        """Where the click that `click_outline` draws turns (mm, the wheel's frame): on the line of the load, just outside."""
        pivot = _pivot(tip_mm, length_mm)
        return pivot.real, -pivot.imag if held_from_turning_ccw else pivot.imag

    def _face(self, teeth: int, tip_mm: float) -> tuple[complex, complex]:
        """Root and tip of the holding face of tooth 0, which looks clockwise."""
        if teeth < LEAST_TEETH:
            advice = "Count the ratchet's teeth again; with so few the click would fall too far between them."
            raise Refused([Complaint(("teeth",), str(teeth), f"at least {LEAST_TEETH}", advice)])
        depth = self.depth * 2 * math.pi * tip_mm / teeth
        hook = math.radians(self.hook_deg)
        return tip_mm - depth * complex(1.0, -math.tan(hook)), complex(tip_mm, 0.0)


def _pivot(tip_mm: float, length_mm: float) -> complex:
    return complex(tip_mm * (2 * CLEAR - 1), -length_mm)


def _as_points(z: np.ndarray, mirrored: bool) -> Points:
    """Complex outline as (N, 2), mirrored about the x-axis (and still counter-clockwise) where asked."""
    if mirrored:
        z = np.conj(z)[::-1]
    return np.stack((z.real, z.imag), axis=-1)
