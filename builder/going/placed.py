"""What is placed on the plate: toothed parts in their storeys, and the frame in which an escapement's draft lies."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from builder.ground.faults import Key
from builder.ground.geometry import Points
from builder.parts.teeth.gear import Gear

Point = tuple[float, float]
Noun = Literal["teeth", "leaves"]

DIAL_SIDE = 100
"""The first storey before the front plate."""


@dataclass(frozen=True)
class Toothing:
    """One wheel or pinion in its place. `phase_rad`: counter-clockwise turn of tooth 0's centreline from +x at t = 0."""

    id: str
    title: str
    arbor: str
    part: str
    gear: Gear
    noun: Noun
    arms: int
    material: str
    level: int
    """Which storey it lies in: 0 nearest the back plate; the motion work's storeys lie before the front plate."""
    phase_rad: float = 0.0
    key: Key = ()

    @property
    def wheel(self) -> bool:
        return self.noun == "teeth"


@dataclass(frozen=True)
class Frame:
    """From an escapement's own frame (pallets above, wheel turning counter-clockwise) to the plate seen from the front."""

    mirrored: bool
    """The escape wheel turns clockwise as seen from the front: the draft is seen from its back."""
    turned_rad: float

    @property
    def sense(self) -> int:
        """+1 or −1: an angle of the draft times this is counter-clockwise from the front."""
        return -1 if self.mirrored else 1

    def points(self, points_mm: Points) -> Points:
        """(N, 2) of the draft, about any of its arbors, as seen from the front about the same arbor."""
        c, s = math.cos(self.turned_rad), math.sin(self.turned_rad)
        x, y = np.asarray(points_mm, dtype=float).T
        x = x * self.sense
        turned = np.stack((c * x - s * y, s * x + c * y), axis=-1)
        return turned[::-1] if self.mirrored else turned
