"""The condition of a movement: all that is not as its file says, as one record; the sound movement's is `SOUND`.

A finding changes a condition into another and does nothing else; what several findings do together is solved together.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from builder.parts.escapement.action import Pallet
from builder.parts.teeth.passage import Harm

Plate = Literal["back", "front"]


@dataclass(frozen=True)
class Hole:
    """A pivot hole worn to one side: where the pivot now stands, seen from its place."""

    arbor: str
    """An arbor of the train, or 'pallets'."""
    plate: Plate
    out_mm: float
    direction_deg: float
    """Seen from the front, counter-clockwise from 3 o'clock."""


@dataclass(frozen=True)
class Pit:
    """What a mate has worn into the flanks of a toothed part; radii are None where they follow from the contact."""

    arbor: str
    part: str
    depth_mm: float
    from_mm: float | None
    to_mm: float | None


@dataclass(frozen=True)
class Hurt:
    """One tooth unlike the others."""

    arbor: str
    part: str
    harm: Harm
    by_mm: float
    """Bent: at the pitch circle, > 0 the way it drives or is driven; worn: thickness lost there; missing: 0."""


@dataclass(frozen=True)
class PalletWear:
    """A face of a pallet worn away evenly."""

    pallet: Pallet
    face: str
    """As the escapement names it: 'locking face', 'impulse face', 'recoil face'; 'pin' for a round one."""
    depth_mm: float


@dataclass(frozen=True)
class Condition:
    """What is not as the movement's file says. Factors are of the file's own values, 1 where it is as it should be."""

    torque_part: float = 1.0
    """Of the source's torque."""
    torque_less_nmm: float = 0.0
    """Taken off the source's torque all along."""
    lost_turns: float = 0.0
    """Turns of the winding that no longer pull."""
    teeth_friction: Mapping[str, float] = field(default_factory=dict)
    """Factor by driving arbor."""
    pivot_friction: Mapping[str, float] = field(default_factory=dict)
    """Factor by arbor."""
    pallet_friction: float = 1.0
    loss: float = 1.0
    """Factor of what the oscillator loses at a speed."""
    holes: tuple[Hole, ...] = ()
    pits: tuple[Pit, ...] = ()
    hurts: tuple[Hurt, ...] = ()
    pallets: tuple[PalletWear, ...] = ()
    out_of_beat_rad: float = 0.0
    """The oscillator's rest, more than the file says."""
    hairspring: float = 1.0
    """Factor of the hairspring's stiffness."""
    bob_down_mm: float = 0.0
    strip: float = 1.0
    """Factor of the suspension spring's bending stiffness."""
    strip_longer_mm: float = 0.0
    slip_nmm: float | None = None
    """Torque at which the friction of the hands slips, as found."""

    @property
    def sound(self) -> bool:
        """Whether nothing is wrong."""
        return self == SOUND


def times(factors: Mapping[str, float], names: Iterable[str], factor: float) -> dict[str, float]:
    """The factors with some of them multiplied."""
    return {**factors, **{name: factors.get(name, 1.0) * factor for name in names}}


SOUND = Condition()
