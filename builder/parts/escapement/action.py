"""What an escapement does, as the oscillator feels it: the contract between the contact solver and the beat.

Frame: escape wheel about O = (0, 0), angle phi; pallets about P = (0, D), angle theta; all angles counter-clockwise
positive, in rad. Drive torque on the wheel pushes phi up. Seen with the pallets above, the entry pallet is on the right;
theta > 0 lifts entry out and brings exit in.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from numpy.polynomial import Chebyshev

Pallet = Literal["entry", "exit"]


@dataclass(frozen=True)
class Piece:
    """One unbroken contact while the pallets travel one way, smooth from `start_rad` to `end_rad` (order of travel)."""

    pallet: Pallet
    surface: str
    """What touches, in trade words: 'locking', 'impulse', 'heel on impulse face', 'recoil'."""
    start_rad: float
    end_rad: float
    wheel_rad: Chebyshev
    """phi(theta), domain the piece's own range."""
    slope: Chebyshev
    """d phi / d theta, which is torque on the pallets per torque on the wheel without friction."""
    gain: Chebyshev
    """Torque on the pallets per torque on the wheel with friction, for this way of travel; > 0 drives theta up."""
    touch_mm: tuple[Chebyshev, Chebyshev] | None = None
    """Where they touch, x and y about O, mm: for drawings that mark the point."""


@dataclass(frozen=True)
class Drop:
    """The wheel let off one pallet and caught by the other while the pallets stand (quasi-static) at `at_rad`."""

    at_rad: float
    leaves: Pallet
    lands_on: Pallet
    from_rad: float
    """phi at let-off."""
    to_rad: float
    """phi where the next tooth is caught."""


@dataclass(frozen=True)
class Swing:
    """All that happens while the pallets travel one way over the whole reach: pieces in order of travel, end to end."""

    pieces: tuple[Piece, ...]
    drops: tuple[Drop, ...]


@dataclass(frozen=True)
class PalletReport:
    """The angles a practitioner measures on one pallet, all in degrees: pallet angles unless named wheel."""

    lock_deg: float
    lift_deg: float
    drop_wheel_deg: float
    recoil_wheel_deg: float
    """How far the wheel is pushed back by the end of the reach (or while unlocking, for draw)."""
    draw_deg: float
    """Angle of draw of the locking face; 0 where there is none."""
    run_deg: float
    """Run to banking; 0 where there are no bankings."""


@dataclass(frozen=True)
class Action:
    """A period of an escapement at the pallets: up-swing (theta rising), then down-swing; phi gains one pitch in all.

    The down-swing starts where the up-swing ended: `down.pieces[0].wheel_rad(reach)` equals the up-swing's last value,
    and the down-swing ends one pitch above where the up-swing began.
    """

    up: Swing
    down: Swing
    pitch_rad: float
    reach_rad: float
    """The pieces cover theta from -reach to +reach."""
    entry: PalletReport
    exit: PalletReport
