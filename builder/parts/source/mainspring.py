"""A mainspring that is wound and drives on one arbor: what an open spring and a going barrel have in common."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from builder.ground.faults import Complaint, Finding, Key, Refused
from builder.ground.words import THIN, figure
from builder.parts.source.coils import Coils
from builder.parts.source.drive import Drive
from builder.parts.source.housed import Housed
from builder.parts.source.spring import UNCERTAINTY
from builder.parts.source.winding import Stored, measured_drive, reading_complaints, spread_text


@dataclass(frozen=True)
class Mainspring:
    """Turns, torque and energy from what is known of it: sizes, counted turns, measured torques, any of the three."""

    housed: Housed | None
    """Strip and room; None where one of the sizes is missing."""
    counted: float | None
    """Turns that the owner counted, above the set-up."""
    measured: tuple[tuple[float, ...], ...] | None
    set_up_turns: float
    let_back_turns: float
    """Turns lost to a recoiling click."""
    arbor_key: Key
    room_key: Key

    @cached_property
    def usable_turns(self) -> float | None:
        """Turns in one winding; None where nothing tells. Raises Refused."""
        if broken := self.complaints():
            raise Refused(broken)
        if self.counted is not None:
            return self.counted
        if self.housed:
            return self._room_turns(self.housed)
        return self.measured[-1][0] if self.measured else None

    @cached_property
    def drive(self) -> Drive | None:
        """Torque over the winding; None where the force is not known. Raises Refused."""
        turns = self.usable_turns
        if turns is None:
            return None
        if self.measured:
            return measured_drive(self.measured, turns)
        return self._from_sizes(self.housed, turns) if self.housed else None

    @cached_property
    def stored(self) -> Stored | None:
        """What it holds when wound; None where the force is not known. Raises Refused."""
        if self.drive is None or self.usable_turns is None:
            return None
        if self.housed is None:
            return Stored("spring", self.drive.energy_j())
        kept, below = self.housed.energy_j(0.0), self.housed.energy_j(self.set_up_turns)
        above = self.drive.energy_j() if self.measured else self.housed.energy_j(self.set_up_turns + self.usable_turns) - below
        return Stored("spring", below + above, kept)

    def coils(self, turns_left: float) -> Coils | None:
        """The strip as it lies; None where its sizes are not known. Raises Refused, and ValueError for turns that it has not."""
        turns = self.usable_turns
        if self.housed is None or turns is None:
            return None
        if not 0 <= turns_left <= turns * (1 + 1e-9):
            raise ValueError(f"turns left from 0 to {turns}, not {turns_left}")
        return self.housed.coils(self.set_up_turns + turns_left, self.set_up_turns + turns)

    def complaints(self) -> list[Complaint]:
        """All that cannot be."""
        found = reading_complaints(self.measured, ("measured",), fading=True) if self.measured else []
        if self.housed is None:
            return found
        misfits = self.housed.complaints(("spring",), self.arbor_key, self.room_key)
        if misfits:
            return found + misfits
        if self.counted is not None:
            found += self.housed.turns_complaints(self.counted, self.set_up_turns, ("turns",))
        elif self._room_turns(self.housed) < 0.5:
            allowed = f"well under the {figure(self.housed.turns, 3)} turns that there are in all"
            advice = "Nothing is left to run. Measure again, or lessen the set-up."
            found.append(Complaint(("set_up_turns",), f"{self.set_up_turns:g}", allowed, advice))
        return found

    def findings(self) -> list[Finding]:
        """What is worth knowing. Raises Refused."""
        turns = self.usable_turns
        found = self.housed.findings(("spring",), self.arbor_key) if self.housed else []
        if turns is not None and self.measured and (text := spread_text(self.measured, turns)):
            found.append(Finding(("measured",), text))
        if self.housed and self.counted is not None:
            found += self._counted_findings(self.housed, self.counted)
        if self.housed and self.measured and turns is not None:
            found += self._measured_findings(self.housed, turns)
        return found

    def _room_turns(self, housed: Housed) -> float:
        return housed.turns - self.set_up_turns - self.let_back_turns

    def _from_sizes(self, housed: Housed, turns: float) -> Drive:
        return Drive(turns, housed.law(self.set_up_turns), "computed", UNCERTAINTY, housed.winding_factor)

    def _counted_findings(self, housed: Housed, counted: float) -> list[Finding]:
        room = self._room_turns(housed)
        if counted > 1.03 * room:
            text = f"counted are {counted:g} turns; by the sizes there is room for {figure(room, 2)}"
        elif counted < 0.8 * room:
            short = figure(room - counted, 2)
            text = (
                f"by the sizes there would be {figure(room, 2)} turns, so it is taken to stop {short} short of tight; "
                f"if it is wound until tight and stops before it is down, say set_up_turns = {short}"
            )
        else:
            return []
        return [Finding(("turns",), text)]

    def _measured_findings(self, housed: Housed, turns: float) -> list[Finding]:
        assert self.measured is not None
        ratio = measured_drive(self.measured, turns).energy_j() / self._from_sizes(housed, turns).energy_j()
        if abs(ratio - 1) <= 0.1:
            return []
        set_part = 1 - ratio * (1 - housed.spring.set_part)
        text = f"the torques measured are {figure(100 * ratio, 2)}{THIN}% of what the sizes say"
        if set_part >= 0:
            text += f": as if {figure(set_part, 2)} of the torque were lost by setting and between the coils"
        else:
            text += ", more than a new spring of these sizes has: measure the thickness again"
        return [Finding(("measured",), text)]
