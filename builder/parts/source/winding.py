"""What every source of power shares: its ratchet, the turns of a winding, torques measured at the bench, what it stores."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated, Literal

from pydantic import Field

from builder.ground.faults import Complaint, Key
from builder.ground.part import Angle, Length, Listed, Part
from builder.ground.words import THIN, figure
from builder.parts.source.drive import Curve, Drive

Turns = Annotated[float, Field(gt=0, le=200)]
"""Turns of an arbor in one winding."""
Reading = Annotated[Listed[Annotated[float, Field(ge=0, le=1e7)]], Field(min_length=2, max_length=2)]
"""One reading: [turns left, torque in N·mm]."""
Readings = Annotated[Listed[Reading], Field(min_length=2, max_length=100)]
"""Readings from run down to wound."""

STATES: dict[str, float] = {"wound": 1.0, "half wound": 0.5, "nearly down": 0.125}
"""The states that pages and drawings show, as the part of the winding that is left: the last day of eight is nearly down."""


@dataclass(frozen=True)
class State:
    """A named state of the winding."""

    name: str
    turns_left: float


def states(turns: float) -> tuple[State, ...]:
    """The named states of a winding of so many turns, wound first."""
    return tuple(State(name, part * turns) for name, part in STATES.items())


class Ratchet(Part):
    """The ratchet wheel and click that hold the winding."""

    teeth: Annotated[int, Field(ge=6, le=120)]
    """Teeth of the ratchet wheel, counted."""
    radius_mm: Length | None = None
    """Radius over the teeth, mm; left out: what suits the teeth."""
    click_deg: Angle | None = None
    """Direction from the ratchet's centre to the click's screw, seen from the front, counter-clockwise from 3 o'clock."""
    recoil_teeth: Annotated[float, Field(ge=0, le=4)] = 0.0
    """Teeth that a recoiling click lets back after winding, so that the spring is never left tight; 0 for a plain click."""

    @property
    def turns_let_back(self) -> float:
        """Turns of the ratchet that the click gives back after winding."""
        return self.recoil_teeth / self.teeth


@dataclass(frozen=True)
class Stored:
    """What a wound source holds, for the caution beside it."""

    sort: Literal["spring", "weight"]
    energy_j: float
    """All that comes out if it is let go at once, J."""
    kept_j: float = 0.0
    """The part of it that a spring still holds when it is let down and lies in its barrel: it comes out on opening."""
    mass_kg: float | None = None
    """The weight's mass."""
    fall_mm: float | None = None
    """How far the weight falls."""


def reading_complaints(readings: tuple[tuple[float, ...], ...], key: Key, fading: bool) -> list[Complaint]:
    """What cannot be in measured torques: turns that do not rise, no torque; where `fading`, a spring that gains as it runs."""
    found = []
    for index, (before, after) in enumerate(pairwise(readings), start=1):
        if after[0] <= before[0]:
            allowed = f"more turns left than in the reading before, which has {before[0]:g}"
            found.append(Complaint((*key, index, 0), f"{after[0]:g}", allowed, "Put the readings in order, run down first."))
        elif fading and after[1] < before[1]:
            allowed = f"at least the {before[1]:g}{THIN}N·mm read with {before[0]:g} turns left"
            advice = "A spring pulls no less the more it is wound. Measure this one again, unwinding slowly, and average."
            found.append(Complaint((*key, index, 1), f"{after[1]:g}{THIN}N·mm", allowed, advice))
    if readings[-1][1] <= 0:
        advice = "Without torque nothing goes: measure again with the source wound."
        found.append(Complaint((*key, len(readings) - 1, 1), "0", "a torque above 0", advice))
    return found


def measured_drive(readings: tuple[tuple[float, ...], ...], turns: float) -> Drive:
    """The drive through readings (already free of complaints), over `turns`; held at the end readings beyond them."""
    return Drive(turns, Curve(tuple(r[0] for r in readings), tuple(r[1] for r in readings)), "measured")


def spread_text(readings: tuple[tuple[float, ...], ...], turns: float) -> str | None:
    """What is to be said where the readings leave a tenth of the winding or more uncovered; None where they do not."""
    low, high = readings[0][0], readings[-1][0]
    gaps = []
    if low > 0.1 * turns:
        gaps.append(f"below {figure(low, 2)} turns")
    if high < 0.9 * turns:
        gaps.append(f"above {figure(high, 2)} turns")
    if not gaps:
        return None
    return f"no torque was measured {' and '.join(gaps)}: there the nearest reading is held"
