"""Sources of power: what drives the train, one file a kind.

A kind is valid with its counts alone: then `drive`, `stored` and `coils` say None, 'not known', and nothing is guessed.
Its duties are those of `PowerSource`; keys of complaints and findings are relative to the file's [source] table.
"""

from __future__ import annotations

from typing import Protocol

from builder.ground.faults import Complaint, Finding
from builder.parts.source.drive import Drive
from builder.parts.source.fusee import Fusee
from builder.parts.source.going_barrel import GoingBarrel
from builder.parts.source.open_spring import OpenSpring
from builder.parts.source.weight import Weight
from builder.parts.source.winding import Ratchet, Stored


class PowerSource(Protocol):
    """What every kind does. All but `complaints` raise Refused where there is anything to complain of."""

    @property
    def arbor(self) -> str:
        """Id of the arbor that it turns."""

    @property
    def ratchet(self) -> Ratchet | None:
        """Ratchet and click, where described."""

    @property
    def usable_turns(self) -> float | None:
        """Turns of that arbor in one winding: counted, else from the sizes, else None."""

    @property
    def drive(self) -> Drive | None:
        """Torque over those turns; None where the force is not known."""

    @property
    def stored(self) -> Stored | None:
        """What it holds when wound, for the caution; None where it is not known."""

    def complaints(self) -> list[Complaint]:
        """All that cannot be."""

    def findings(self) -> list[Finding]:
        """What is worth knowing."""


Source = OpenSpring | GoingBarrel | Fusee | Weight

SOURCES: dict[str, type[Source]] = {
    "open_spring": OpenSpring,
    "going_barrel": GoingBarrel,
    "fusee": Fusee,
    "weight": Weight,
}
