"""The period cut into what happens: which pallet, and whether the wheel is locked, recoils, drives, drops."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from builder.going.beat_path import Path
from builder.going.phase_plane import Leg
from builder.going.steady import Running

Key = Literal["recoil", "locking", "unlocking", "impulse", "drop", "run", "free"]


@dataclass(frozen=True)
class Phase:
    """A part of the period, `start` to `end` from 0 to 1."""

    key: Key
    pallet: str
    start: float
    end: float

    @property
    def name(self) -> str:
        """For the wording: 'entry_impulse'; free swing belongs to no pallet."""
        return "free" if self.key == "free" else f"{self.pallet}_{self.key}"


def phases(running: Running) -> tuple[Phase, ...]:
    """In order of time, end to end over the period."""
    found: list[Phase] = []
    detached = running.works.course.detached
    for swing, later in ((running.up, 0.0), (running.down, running.up.time_s)):
        driven = False
        for leg in swing.legs:
            key = _key(leg, driven, detached)
            driven = driven or key in ("impulse", "drop")
            start, end = ((later + float(t)) / running.period_s for t in (leg.t_s[0], leg.t_s[-1]))
            piece = leg.stretch.piece
            if found and found[-1].name == Phase(key, piece.pallet, start, end).name:
                found[-1] = replace(found[-1], end=end)
            else:
                found.append(Phase(key, piece.pallet, start, end))
    return tuple(replace(phase, end=1.0) if phase is found[-1] else phase for phase in found)


def pushed_back_rad(running: Running, path: Path) -> dict[str, float]:
    """How far each pallet pushes the wheel back in this beat: from the furthest that the wheel had come, rad at the wheel."""
    twice = np.append(path.wheel_rad[:-1], path.wheel_rad + running.works.course.action.pitch_rad)
    back = (np.maximum.accumulate(twice) - twice)[len(path.times_s) - 1 :]
    share = path.times_s / path.times_s[-1]
    most: dict[str, float] = {}
    for phase in phases(running):
        inside = (share >= phase.start) & (share <= phase.end)
        if phase.key not in ("drop", "free") and np.any(inside):
            most[phase.pallet] = max(most.get(phase.pallet, 0.0), float(np.max(back[inside])))
    return most


def _key(leg: Leg, driven: bool, detached: bool) -> Key:
    surface = leg.stretch.piece.surface
    if leg.flight is not None and leg.flight.dropping:
        return "drop"
    if leg.stretch.free:
        return "free"
    if "recoil" in surface:
        return "recoil"
    if "locking" not in surface:
        return "impulse"  # with the moment in which the wheel catches up with a pallet that has run ahead of it
    if not detached:
        return "locking"
    return "run" if driven else "unlocking"
