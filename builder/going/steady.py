"""The steady beat: the amplitude at which a period gives the oscillator what it loses, or why there is none.

Root finding on the energy of one period, not a run of many swings. What the swing neglects is said in swing.py, what the
oscillator's terms neglect in builder/parts/oscillator.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from math import degrees, exp, log, radians
from typing import Literal

import numpy as np

from builder.going.course import Course
from builder.going.phase_plane import Work, Works
from builder.going.swing import Beyond, Event, Stuck, Swing, swing
from builder.ground.roots import least, root
from builder.ground.words import THIN
from builder.parts.oscillator.terms import Terms, rate_s_per_day

REBANKING_RAD = radians(330.0)
"""Amplitude at which the impulse pin comes round to the outside of the fork: about 330°, common practice, no source."""

WIDEST_DETACHED_RAD = 25.0
"""A search for the amplitude of a detached oscillator goes no further; it has rebanked long before."""

EVEN_PART = 1e-12
"""A period that gains or loses less than this part of its loss is the steady one: amplitude to half of it, and rounding."""

STRAIGHT = 9
"""So many secants are tried before the search becomes a careful one."""

Reason = Literal["no torque", "held by the pallets", "does not unlock", "too little energy", "swings too wide", "the train jams"]


@dataclass(frozen=True)
class Running:
    """One period of the steady beat, from the turn on the side of falling x and back to it."""

    works: Works
    up: Swing
    down: Swing
    low_rad: float
    """Amplitude on the falling side, from the oscillator's rest."""
    high_rad: float
    """Amplitude on the rising side."""
    least_rad: float
    """The least amplitude at which each pallet lets its tooth off."""
    work: Work
    """Where the energy of a period goes, J."""
    gained_j: float
    """What the oscillator has left over: nought in a steady beat. A wheel so heavy that it catches a face from one amplitude
    and misses it from the next has no quite steady beat: this is then its jump, and the amplitude wanders about here."""

    @property
    def amplitude_rad(self) -> float:
        """Mean of the amplitudes on both sides (half the arc)."""
        return (self.low_rad + self.high_rad) / 2.0

    @property
    def amplitude_deg(self) -> float:
        """The same in degrees."""
        return degrees(self.amplitude_rad)

    @property
    def period_s(self) -> float:
        """Two beats."""
        return self.up.time_s + self.down.time_s

    @property
    def rate_s_per_day(self) -> float:
        """Gain against the beat that the train asks for: the sum of setting, circular and escapement error."""
        return rate_s_per_day(self.period_s, self.works.terms.nominal_period_s)

    @property
    def setting_s_per_day(self) -> float:
        """Gain at the smallest swing: how well nut or regulator is set, warmth included."""
        return rate_s_per_day(self.works.terms.small_period_s, self.works.terms.nominal_period_s)

    @property
    def circular_s_per_day(self) -> float:
        """Circular error: what the width of the free swing costs a pendulum."""
        return self.works.terms.circular_error_s_per_day(self.amplitude_rad)

    @property
    def escapement_s_per_day(self) -> float:
        """Escapement error: all the rest, by impulses before and after the middle; the loss's own share (1/8Q²) in it."""
        return self.rate_s_per_day - self.setting_s_per_day - self.circular_s_per_day

    @property
    def given_j(self) -> float:
        """Energy that the train gives to the escape wheel in a period: torque × pitch."""
        return self.works.torque_nm * self.works.course.action.pitch_rad

    @property
    def power_w(self) -> float:
        """The same a second."""
        return self.given_j / self.period_s

    @property
    def balance_part(self) -> float:
        """Energy not accounted for, as a part of what was given: a check on the solution, nought but for rounding."""
        work = self.work
        gone = work.oscillator + work.sliding + work.drop + work.wheel + work.lever + self.gained_j
        return (self.given_j - gone) / self.given_j

    @property
    def efficiency(self) -> float:
        """Part of the energy at the escape wheel that reaches the oscillator."""
        return self.work.oscillator / self.given_j

    @property
    def events(self) -> tuple[Event, ...]:
        """(time s, what, pallet), in order, from the turn on the falling side."""
        later = self.up.time_s
        return (*self.up.events, *((later + t, name, pallet) for t, name, pallet in self.down.events))

    @cached_property
    def beats_s(self) -> tuple[float, float]:
        """From the lock of the up-swing to that of the down-swing, and on to the next: what the ear hears."""
        locks = [[t for t, name, _ in part.events if name == "locks"][-1] for part in (self.up, self.down)]
        first = self.up.time_s - locks[0] + locks[1]
        return first, self.period_s - first

    @property
    def beat_error_ms(self) -> float:
        """Half the difference of two beats in a row, as it is usually read (common practice, no source)."""
        return 500.0 * abs(self.beats_s[0] - self.beats_s[1])

    @cached_property
    def critical_nmm(self) -> float:
        """`critical_torque_nmm` of this beat, worked out once."""
        return critical_torque_nmm(self)

    @property
    def spare_rad(self) -> float:
        """How much amplitude may be lost before a tooth is no longer let off."""
        return min(self.low_rad, self.high_rad) - self.least_rad

    @property
    def rebanks(self) -> bool:
        """Whether a detached balance swings so wide that its impulse pin strikes the fork from outside."""
        return self.works.course.detached and max(self.low_rad, self.high_rad) >= REBANKING_RAD


@dataclass(frozen=True)
class Stopped:
    """There is no steady beat: the clock comes to rest."""

    reason: Reason
    text: str
    """The reason in a sentence, with figures."""
    least_rad: float
    """The least amplitude at which each pallet lets its tooth off."""
    covered: float
    """Largest part of its loss that the oscillator is given at any amplitude that unlocks; 0 where none does."""


class _Fails(Exception):  # noqa: N818
    """A period from some amplitude cannot be completed."""

    def __init__(self, reason: Reason) -> None:
        super().__init__(reason)
        self.reason: Reason = reason


class _Periods:
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
        """(energy gained, J, up-swing, down-swing). Raises _Fails."""
        if self.last is not None and self.last[0] == amplitude_rad:
            return self.last[1]
        course, terms = self.works.course, self.works.terms
        try:
            up = swing(self.works, self.rest - amplitude_rad, rising=True)
            if up.drops < len(course.action.up.drops):
                raise _Fails("does not unlock")
            down = swing(self.works, up.x_to, rising=False)
        except Stuck:
            raise _Fails("held by the pallets") from None
        except Beyond:
            raise _Fails("swings too wide") from None
        if down.drops < len(course.action.down.drops):
            raise _Fails("does not unlock")
        gained = terms.energy_j(down.x_to - self.rest) - terms.energy_j(amplitude_rad)
        lost = up.work.oscillator + down.work.oscillator
        if abs(gained) < EVEN_PART * lost:
            gained = 0.0
        self.best = max(self.best, 1.0 + gained / lost if lost > 0.0 else 0.0)
        self.last = (amplitude_rad, (gained, up, down))
        return gained, up, down

    def first_guess(self) -> float:
        """Amplitude to begin with: half as much again as is needed, or 200° for a balance."""
        return max(1.05 * self.least, min(3.5, self.widest)) if self.works.course.detached else min(1.5 * self.least, self.widest)

    def straight(self, near_rad: float | None) -> float | None:
        """The steady amplitude by secants; None where they do not lead straight to it, or growth does not turn to decay there.

        Loss goes with the energy stored and the impulse hardly changes, so that of their ratio and of the energy the
        logarithms lie almost on a straight line, whose slope is -1 to begin with.
        """
        terms = self.works.terms
        amplitude = self.first_guess() if near_rad is None else near_rad
        slope, before = -1.0, (0.0, 0.0)
        for tried in range(STRAIGHT):
            try:
                gained, up, down = self.run(amplitude)
            except _Fails:
                return None
            if gained == 0.0:
                return amplitude
            covered = 1.0 + gained / (up.work.oscillator + down.work.oscillator)
            if covered <= 0.0:
                return None
            here = (log(terms.energy_j(amplitude)), log(covered))
            if tried and here[0] != before[0]:
                slope = (here[1] - before[1]) / (here[0] - before[0])
            if not -8.0 < slope < -0.125:
                return None
            before = here
            energy = exp(here[0] - here[1] / slope)
            amplitude = min(max(terms.amplitude_rad(energy), 1.0001 * self.least), self.widest)
        return None

    def bracket(self) -> tuple[float, float, float, float]:
        """(amplitude that grows, its gain, amplitude that dies down, its gain). Raises _Fails with the reason."""
        terms = self.works.terms
        grows: tuple[float, float] | None = None
        dies: tuple[float, float] | None = None
        tried, amplitude = 0, self.first_guess()
        while tried < 12 and (grows is None or dies is None):
            tried += 1
            try:
                gained, up, down = self.run(amplitude)
            except _Fails as fails:
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
            lost = up.work.oscillator + down.work.oscillator
            factor = 1.0 + 1.1 * gained / lost
            energy = terms.energy_j(amplitude) * max(factor, 0.25)
            amplitude = min(max(terms.amplitude_rad(energy), 1.0001 * self.least), self.widest)
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
            except _Fails as fails:
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
            raise _Fails("swings too wide")
        if before is not None:
            raise _Fails("too little energy")
        raise _Fails(reasons[-1])


@lru_cache(maxsize=64)
def solve(
    terms: Terms, course: Course, torque_nmm: float, wheel_inertia_kg_m2: float = 0.0, near_rad: float | None = None
) -> Running | Stopped:
    """The steady beat of an oscillator on an escapement with a constant torque on the escape wheel.

    `wheel_inertia_kg_m2` is the escape wheel's with what the train adds, seen from the escape arbor; 0 lets the wheel
    fall in no time. `near_rad` is an amplitude not far from the one sought, where one is known. That a clock stops is a
    result, not an error. Amplitude to about 1e-12 of itself.
    """
    works = Works(terms, course, 1e-3 * torque_nmm, wheel_inertia_kg_m2)
    periods = _Periods(works)
    if not torque_nmm > 0.0:
        return Stopped("no torque", "No torque comes to the escape wheel.", periods.least, 0.0)
    if periods.widest <= periods.least:
        return Stopped("does not unlock", _sentence("does not unlock", periods), periods.least, 0.0)
    try:
        low = periods.straight(near_rad)
        if low is None:
            a, gain_a, b, gain_b = periods.bracket()
            low = a if a == b else root(lambda x: periods.run(x)[0], a, b, tolerance=1e-13, f_low=gain_a, f_high=gain_b)
        gained, up, down = periods.run(low)
    except _Fails as fails:
        return Stopped(fails.reason, _sentence(fails.reason, periods), periods.least, periods.best)
    work = Work()
    work.add(up.work)
    work.add(down.work)
    return Running(works, up, down, low, up.x_to - periods.rest, periods.least, work, gained)


def critical_torque_nmm(running: Running) -> float:
    """The least torque at the escape wheel, N·mm, that keeps this clock going once it swings; to about 1e-3.

    For an amplitude, the torque whose period gives back what is lost; the least of these over all amplitudes that unlock,
    up to the present one. Neglected: that a clock must also be started, and that oil and torque are never even.
    """
    works, terms = running.works, running.works.terms
    top = running.low_rad

    def needed_nm(amplitude: float) -> float:
        torque = works.torque_nm * terms.energy_j(amplitude) / terms.energy_j(top)
        before: tuple[float, float] | None = None
        for _ in range(12):
            trial = _Periods(Works(terms, works.course, torque, works.wheel_kg_m2))
            try:
                gained, up, down = trial.run(amplitude)
            except _Fails:
                return np.inf
            lost = up.work.oscillator + down.work.oscillator
            if before is not None and gained != before[1]:  # what is gained goes almost straight with the torque
                better = torque - gained * (torque - before[0]) / (gained - before[1])
            elif gained > -lost:
                better = torque * lost / (lost + gained)
            else:
                better = 1.5 * torque
            if not better > 0.0:
                return np.inf
            if abs(better - torque) < 1e-4 * torque:
                return better
            before, torque = (torque, gained), better
        return torque

    low = 1.002 * running.least_rad
    if low >= top:
        return 1e3 * works.torque_nm
    amplitudes = low * (top / low) ** np.linspace(0.0, 1.0, 7)
    torques = [needed_nm(float(a)) for a in amplitudes]
    best = int(np.argmin(torques))
    if 0 < best < len(amplitudes) - 1:
        return 1e3 * least(needed_nm, float(amplitudes[best - 1]), float(amplitudes[best + 1]), tolerance=0.02)[1]
    return 1e3 * min(min(torques), works.torque_nm)


def _sentence(reason: Reason, periods: _Periods) -> str:
    """The reason with its figures."""
    least_deg = f"{degrees(periods.least):.2f}°"
    if periods.widest <= periods.least:
        out_deg = f"{degrees(abs(periods.rest)):.2f}°"
        return f"It stands {out_deg} out of beat: to unlock it would have to swing {least_deg}, further than the pallets reach."
    if reason == "too little energy":
        return (
            f"It must swing {least_deg} each way to be let off, and from there up the wheel gives it at most "
            f"{100.0 * periods.best:.0f}{THIN}% of what it loses."
        )
    if reason == "swings too wide":
        return f"It is driven past {degrees(periods.widest):.2f}°, which is as far as the pallets reach between the teeth."
    if reason == "held by the pallets":
        return f"Let go beyond {least_deg}, it is held by the pallets: the friction or draw there is more than its own pull."
    return f"Let go beyond {least_deg}, it does not come back far enough to unlock the next tooth."
