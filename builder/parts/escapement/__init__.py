"""Escapements: each kind is one file that holds its model, its drafting and its named acting surfaces."""

from __future__ import annotations

from typing import Literal, Protocol, runtime_checkable

from builder.ground.part import Part
from builder.parts.escapement.action import Action
from builder.parts.escapement.club_lever import ClubLever
from builder.parts.escapement.counted import Counted
from builder.parts.escapement.cylinder import Cylinder
from builder.parts.escapement.dead_beat import DeadBeat
from builder.parts.escapement.draft import Draft
from builder.parts.escapement.fork import Fork
from builder.parts.escapement.pin_lever import PinLever
from builder.parts.escapement.recoil_anchor import RecoilAnchor

ESCAPEMENTS: dict[str, type[Part]] = {
    "recoil_anchor": RecoilAnchor,
    "dead_beat": DeadBeat,
    "club_lever": ClubLever,
    "pin_lever": PinLever,
    "cylinder": Cylinder,
    "counted": Counted,
}


class Escapement(Protocol):
    """What every kind can say, solved or only counted."""

    @property
    def kind(self) -> str:
        """Its key in ESCAPEMENTS."""

    @property
    def arbor(self) -> str:
        """The arbor that carries the escape wheel."""

    @property
    def teeth(self) -> int:
        """Teeth of the escape wheel."""

    @property
    def beats_per_tooth(self) -> int:
        """Beats for each tooth that passes."""


@runtime_checkable
class Working(Escapement, Protocol):
    """What a kind can do that is drafted and solved: `isinstance(escapement, Working)` tells it from one only counted."""

    @property
    def beats_with(self) -> Literal["pendulum", "balance"]:
        """The oscillator that it is made for. A balance without a fork is driven directly: the pallets are on its arbor."""

    @property
    def friction(self) -> float:
        """Coefficient of friction of tooth on pallet."""

    @property
    def direction_deg(self) -> float:
        """Direction from the escape arbor to the pallet arbor, 90 above."""

    def draft(self) -> Draft:
        """Outlines and acting surfaces, mm. Raises Refused with all complaints."""

    def action(self, friction: float | None = None) -> Action:
        """What it does at the pallets, with the model's friction or another. Raises Refused with all complaints."""


@runtime_checkable
class DetachedLever(Working, Protocol):
    """A working kind whose pallets meet the balance through a fork, only inside the lift."""

    def fork(self) -> Fork:
        """Fork, roller and safety action. Raises Refused."""
