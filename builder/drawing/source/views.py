"""What each kind of source hands over to be put on the sheet."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from builder.drawing.sheet import Figure, Move

Spot = tuple[float, float]
"""A point on the sheet, px."""


@dataclass(frozen=True)
class Riding:
    """A balloon that goes with its part: where its disc stands at 12 o'clock, and how both move."""

    disc: Spot
    move: Move


@dataclass(frozen=True)
class Named:
    """A part with its line in the table and its balloon."""

    part: str
    key: str
    """Of its name and what it does, under [winding.parts]."""
    at: Spot
    """Where its leader ends."""
    line: int | Riding
    """Which upright line of balloons it belongs to, or how its balloon rides."""
    sizes: str = ""


@dataclass(frozen=True)
class Views:
    """Figures back to front, the parts in the table's order, and what the table says of a state. Places in px."""

    figures: tuple[Figure, ...]
    box: tuple[float, float, float, float]
    """Left, top, right, bottom of everything but the balloons at the outer edges."""
    lines: tuple[float, ...]
    """Where the upright lines of balloons stand."""
    scale_y: float
    """Where the scale of turns left goes, and from where to where."""
    scale_x: tuple[float, float]
    named: tuple[Named, ...]
    at_state: Callable[[float], str]
    """Figures of a state of winding, from turns left."""
    facts: dict[str, str] = field(default_factory=dict)
    """What else the description says."""


def group(figures: Iterable[Figure], at: Spot) -> Figure:
    """Figures put down together."""
    return Figure(None, None, at, inner=tuple(figures))


def put(spot: Spot, by: Spot) -> Spot:
    """A spot of a view that is put down at a place."""
    return spot[0] + by[0], spot[1] + by[1]
