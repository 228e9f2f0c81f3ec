"""Whole periods from some amplitude, and the search for the one that gives the oscillator what it loses."""

from __future__ import annotations

from math import exp, log
from typing import Literal, NamedTuple

import numpy as np

from builder.going.at_once import Swing
from builder.going.phase_plane import Works
from builder.going.swing import Beyond, Stuck, swing

WIDEST_DETACHED_RAD = 25.0
"""A search for the amplitude of a detached oscillator goes no further; it has rebanked long before."""

EVEN_PART = 1e-12
"""A period that gains or loses less than this part of its loss is the steady one: amplitude to half of it, and rounding."""

STRAIGHT = 9
"""So many secants are tried before the search becomes a careful one."""

Reason = Literal["no torque", "held by the pallets", "does not unlock", "too little energy", "swings too wide", "the train jams"]


class Near(NamedTuple):
    """What a steady beat tells of another that is not far from it."""

    low_rad: float
    """Amplitude on the falling side."""
    torque_nm: float
    slope: float
    """Of the logarithm of the part of its loss that the oscillator is given, by that of the energy stored."""


class Fails(Exception):  # noqa: N818
    """A period from some amplitude cannot be completed."""

    def __init__(self, reason: Reason) -> None:
        super().__init__(reason)
        self.reason: Reason = reason


class Periods:
    """Whole periods of one clock, by the amplitude on the falling side."""

    def __init__(self, works: Works) -> None:
        self.works = works
        course, rest = works.course, works.terms.out_of_beat_rad
        self.rest = rest
        self.least = max(rest - course.unlocks_down, course.unlocks_up - rest, 0.0)
        self.widest = WIDEST_DETACHED_RAD if course.detached else course.widest + rest
        self.best = 0.0
        self.last: tuple[float, tuple[float, Swing, Swing]] | None = None

    def run(self, amplitude_rad: float) -> tuple[float, Swing, Swing]:
        """(energy gained, J, up-swing, down-swing). Raises Fails."""
        if self.last is not None and self.last[0] == amplitude_rad:
            return self.last[1]
        course, terms = self.works.course, self.works.terms
        try:
            up = swing(self.works, self.rest - amplitude_rad, rising=True)
            if up.drops < len(course.action.up.drops):
                raise Fails("does not unlock")
            down = swing(self.works, up.x_to, rising=False)
        except Stuck:
            raise Fails("held by the pallets") from None
        except Beyond:
            raise Fails("swings too wide") from None
        if down.drops < len(course.action.down.drops):
            raise Fails("does not unlock")
        gained = terms.energy_j(down.x_to - self.rest) - terms.energy_j(amplitude_rad)
        lost = up.lost_j + down.lost_j
        if abs(gained) < EVEN_PART * lost:
            gained = 0.0
        self.best = max(self.best, 1.0 + gained / lost if lost > 0.0 else 0.0)
        self.last = (amplitude_rad, (gained, up, down))
        return gained, up, down

    def energy_j(self, amplitude_rad: float) -> float:
        """Energy stored at an amplitude, J."""
        return self.works.terms.energy_j(amplitude_rad)

    def with_energy(self, energy_j: float) -> float:
        """The amplitude that stores so much, or the nearest that can be tried."""
        amplitude = self.works.terms.amplitude_rad(min(energy_j, self.energy_j(self.widest)))
        return min(max(amplitude, 1.0001 * self.least), self.widest)

    def first_guess(self) -> float:
        """Amplitude to begin with: half as much again as is needed, or 200° for a balance."""
        return max(1.05 * self.least, min(3.5, self.widest)) if self.works.course.detached else min(1.5 * self.least, self.widest)

    def straight(self, near: Near | None) -> Near | None:
        """The steady beat by secants; None where they do not lead straight to it, or growth does not turn to decay there.

        Loss goes with the energy stored and the impulse hardly changes, so that of their ratio and of the energy the
        logarithms lie almost on a straight line, whose slope is -1 to begin with.
        """
        torque, slope = self.works.torque_nm, -1.0
        if near is None:
            amplitude = self.first_guess()
        else:
            slope = near.slope  # and what is stored goes with the torque: the same period on a larger scale
            amplitude = self.with_energy(self.energy_j(near.low_rad) * torque / near.torque_nm)
        before = (0.0, 0.0)
        for tried in range(STRAIGHT):
            try:
                gained, up, down = self.run(amplitude)
            except Fails:
                return None
            if gained == 0.0:
                return Near(amplitude, torque, slope)
            covered = 1.0 + gained / (up.lost_j + down.lost_j)
            if covered <= 0.0:
                return None
            here = (log(self.energy_j(amplitude)), log(covered))
            if tried and here[0] != before[0]:
                slope = (here[1] - before[1]) / (here[0] - before[0])
            if not -8.0 < slope < -0.125:
                return None
            before = here
            amplitude = self.with_energy(exp(here[0] - here[1] / slope))
        return None

    def bracket(self) -> tuple[float, float, float, float]:
        """(amplitude that grows, its gain, amplitude that dies down, its gain). Raises Fails with the reason."""
        grows: tuple[float, float] | None = None
        dies: tuple[float, float] | None = None
        tried, amplitude = 0, self.first_guess()
        while tried < 12 and (grows is None or dies is None):
            tried += 1
            try:
                gained, up, down = self.run(amplitude)
            except Fails as fails:
                if fails.reason == "swings too wide" and amplitude > 0.999 * self.widest:
                    raise
                if fails.reason == "swings too wide" or grows is not None or dies is not None:
                    break  # to the scan
                amplitude = min(1.5 * amplitude, self.widest)
                continue
            if gained == 0.0:
                return amplitude, gained, amplitude, gained
            if gained > 0.0:
                grows = (amplitude, gained)
            else:
                dies = (amplitude, gained)
            # loss goes with the energy stored, the impulse hardly changes: where would they meet, and a little beyond
            lost = up.lost_j + down.lost_j
            factor = 1.0 + 1.1 * gained / lost
            amplitude = self.with_energy(self.energy_j(amplitude) * max(factor, 0.25))
            if dies is not None and gained < 0.0 and amplitude >= dies[0]:
                break
        if grows is None or dies is None:
            grows, dies = self._scan(grows, dies)
        return *grows, *dies

    def _scan(
        self, grows: tuple[float, float] | None, dies: tuple[float, float] | None
    ) -> tuple[tuple[float, float], tuple[float, float]]:
        """The widest pair of neighbours between which growth turns to decay, over the whole range of amplitudes."""
        low, high = 1.0001 * max(self.least, 1e-6), self.widest
        reasons: list[Reason] = []
        found: tuple[tuple[float, float], tuple[float, float]] | None = None
        before: tuple[float, float] | None = None
        for amplitude in low * (high / low) ** np.linspace(0.0, 1.0, 16):
            try:
                here = (float(amplitude), self.run(float(amplitude))[0])
            except Fails as fails:
                reasons.append(fails.reason)
                if fails.reason == "swings too wide" and before is not None and before[1] > 0.0 and found is None:
                    raise
                continue
            if before is not None and before[1] > 0.0 >= here[1]:
                found = (before, here)
            before = here
        if found is not None:
            return found
        if before is not None and before[1] > 0.0:
            raise Fails("swings too wide")
        if before is not None:
            raise Fails("too little energy")
        raise Fails(reasons[-1])
