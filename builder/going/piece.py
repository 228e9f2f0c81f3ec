"""One piece that comes off at the bench."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from builder.going.placed import Point
from builder.going.solids import Solid

Way = Literal["front", "back", "aside", "down"]
"""How a piece leaves: along the arbors to the front or the back, sideways between the plates, or down off its hook."""

Stage = Literal[
    "power", "pendulum", "hands", "dial", "motion work", "outside", "balance", "pallets", "plate", "train", "apart", "stays"
]
"""What the bench does together, in the usual order."""


@dataclass(frozen=True, eq=False)
class Piece:
    """What it fills, how it leaves, and what holds it besides what lies in its way."""

    id: str
    solids: tuple[Solid, ...]
    way: Way
    stage: Stage
    held_by: tuple[str, ...] = ()
    """Pieces that fasten it, or that must be out of harm's way first."""
    direction: Point = (0.0, 1.0)
    """For a piece that leaves sideways: where to, seen from the front."""
    of: str | None = None
    """The piece that it is a part of, once that is out."""

    @property
    def parts(self) -> tuple[str, ...]:
        """Drawn parts, in order."""
        return tuple(dict.fromkeys(solid.part for solid in self.solids))
