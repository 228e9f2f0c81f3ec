"""The steady beat: the amplitude at which a period gives the oscillator what it loses, or why there is none.

Root finding on the energy of one period, not a run of many swings. What the swing neglects is said in swing.py and at_once.py,
what the oscillator's terms neglect in builder/parts/oscillator.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from math import degrees, radians

from builder.going.at_once import Event, Swing
from builder.going.course import Course
from builder.going.least_torque import least_torque_nmm
from builder.going.periods import Fails, Near, Periods, Reason
from builder.going.phase_plane import Work, Works
from builder.ground.roots import root
from builder.ground.words import THIN
from builder.parts.oscillator.terms import Terms, rate_s_per_day

REBANKING_RAD = radians(330.0)
"""Amplitude at which the impulse pin comes round to the outside of the fork: about 330°, common practice, no source."""


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
    near: Near
    """To begin with for a beat not far from this."""
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
        """The least torque at the escape wheel, N·mm, that keeps this clock going once it swings; to about 1e-3."""
        return least_torque_nmm(self.works, self.low_rad, self.least_rad)

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


@lru_cache(maxsize=64)
def solve(
    terms: Terms, course: Course, torque_nmm: float, wheel_inertia_kg_m2: float = 0.0, near: Near | None = None
) -> Running | Stopped:
    """The steady beat of an oscillator on an escapement with a constant torque on the escape wheel.

    `wheel_inertia_kg_m2` is the escape wheel's with what the train adds, seen from the escape arbor; 0 lets the wheel
    fall in no time. `near` tells of a beat not far from the one sought, where one is known. That a clock stops is a
    result, not an error. Amplitude to about 1e-12 of itself.
    """
    works = Works(terms, course, 1e-3 * torque_nmm, wheel_inertia_kg_m2)
    periods = Periods(works)
    if not torque_nmm > 0.0:
        return Stopped("no torque", "No torque comes to the escape wheel.", periods.least, 0.0)
    if periods.widest <= periods.least:
        return Stopped("does not unlock", _sentence("does not unlock", periods), periods.least, 0.0)
    try:
        found = periods.straight(near)
        if found is None:
            a, gain_a, b, gain_b = periods.bracket()
            low = a if a == b else root(lambda x: periods.run(x)[0], a, b, tolerance=1e-13, f_low=gain_a, f_high=gain_b)
            found = Near(low, works.torque_nm, -1.0)
        gained, up, down = periods.run(found.low_rad)
    except Fails as fails:
        return Stopped(fails.reason, _sentence(fails.reason, periods), periods.least, periods.best)
    low, high = found.low_rad, up.x_to - periods.rest
    return Running(works, up, down, low, high, periods.least, up.work + down.work, found, gained)


def _sentence(reason: Reason, periods: Periods) -> str:
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
