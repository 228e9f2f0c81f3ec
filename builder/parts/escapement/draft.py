"""A drafted escapement: outlines to draw and surfaces that act, all in mm, in the frame of the contract in action.py."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from builder.ground.geometry import Points
from builder.parts.escapement.action import Pallet
from builder.parts.escapement.shape import Shape

Material = Literal["brass", "steel", "ruby"]


@dataclass(frozen=True)
class Drawn:
    """One piece of material to draw."""

    name: str
    """In trade words: 'anchor', 'entry stone', 'guard pin'."""
    material: Material
    outline_mm: Points
    """(N, 2), counter-clockwise, not repeated; about the arbor of the body that carries it, at that body's angle 0."""
    level: int = 0
    """Height: 0 in the plane of the wheel's teeth, 1 and 2 nearer the eye, -1 behind. Only what shares a level can meet."""


@dataclass(frozen=True)
class Banking:
    """A pin or wall that stops the lever, about the pallet arbor."""

    at_mm: Points
    """(2,)"""
    radius_mm: float


@dataclass(frozen=True, eq=False)
class Draft:
    """Escape wheel about O = (0, 0) at phi = 0, pallets about P = (0, centre_mm) at theta = 0, balance about
    P + balance_mm at balance angle 0. The whole is turned by the kind's direction_deg - 90 when it is laid on the plate."""

    wheel: Drawn
    pallets: tuple[Drawn, ...]
    """About P: the anchor, or lever, stones and guard pin."""
    balance: tuple[Drawn, ...]
    """About the balance arbor: roller table, safety roller, impulse pin; empty without a lever. The balance angle that drives
    theta up turns them clockwise."""
    centre_mm: float
    """O to P."""
    balance_mm: Points | None
    """P to the balance arbor (2,)."""
    bankings: tuple[Banking, ...]
    tip_mm: float
    """Radius of the wheel over everything."""
    root_mm: float
    """Radius of the wheel between its teeth."""
    pitch_rad: float
    reach_rad: float
    """Pallet angle each way that has been drafted for."""
    tooth: Shape
    """What of a tooth can touch a pallet, about O at phi = 0, its locking corner on the x axis."""
    surfaces: dict[Pallet, Shape]
    """What of each pallet can touch a tooth, about P at theta = 0."""
    meets_rad: dict[Pallet, float]
    """Wheel angle near which that tooth meets each pallet."""
    hollow: bool = False
    """The pallets are one shell, inside which a tooth may stand."""
    past_rad: dict[Pallet, float] = field(default_factory=dict)
    """Wheel angle before which that tooth has not come to a pallet, where it comes to it from inside a shell."""


def back_to_front(*parts: Drawn) -> tuple[Drawn, ...]:
    """The pieces in the order in which they cover each other: by level, else as given."""
    return tuple(sorted(parts, key=lambda part: part.level))
