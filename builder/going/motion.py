"""The motion that everything on screen follows: one period of the escape wheel, repeated, and the arbors' share of it.

Time runs from 12 o'clock: at t = 0 every hand points up. A period is two beats (one tooth of an escapement with two beats
a tooth). Drawn clocks keep the nominal beat exactly; how far the solved rate is from it is said in figures, not shown.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from builder.going.train import Train

Array = NDArray[np.float64]

MOST_PERIODS = 12
"""A repetition in whole milliseconds may hold this many periods; past that the nearest is taken and the drift is known."""

NOMINAL_MOVE = 0.12
"""Share of a beat in which the escape wheel moves when no escapement is solved: nominal stepping, said so on the page."""


@dataclass(frozen=True)
class Motion:
    """One period: `times` (K,) from 0 to 1 of a period, `wheel_rad` (K,) from 0 to one pitch (forwards is positive)."""

    beats_per_hour: Fraction
    times: Array
    wheel_rad: Array
    solved: bool
    oscillator_rad: Array | None = None
    pallet_rad: Array | None = None
    wheel_start_rad: float = 0.0
    """Angle of the escape wheel in its draft's frame at the start of the period."""

    @property
    def period_ms(self) -> Fraction:
        """Two beats, exact."""
        return Fraction(7_200_000) / self.beats_per_hour

    @property
    def repetition(self) -> tuple[int, int]:
        """(periods, whole ms) of one repetition: exact where at most MOST_PERIODS periods come to whole ms, else nearest.

        Browsers round the duration of an animation to whole ms; the player reads the exact period beside it.
        """
        errors = []
        for periods in range(1, MOST_PERIODS + 1):
            exact_ms = periods * self.period_ms
            error = abs(exact_ms - round(exact_ms)) / exact_ms
            if error == 0:
                return periods, int(exact_ms)
            errors.append((error, periods))
        periods = min(errors)[1]
        return periods, round(periods * self.period_ms)

    @property
    def drift_s_per_day(self) -> Fraction:
        """How far a drawing without script drifts in a day because of the rounding to whole ms."""
        periods, ms = self.repetition
        return 86400 * (1 - ms / (periods * self.period_ms))

    def wheel_at(self, t_s: float) -> float:
        """Angle of the escape wheel (rad, forwards) since t = 0."""
        whole, part = divmod(t_s * 1000 / float(self.period_ms), 1.0)
        return float(whole * self.wheel_rad[-1] + np.interp(part, self.times, self.wheel_rad))


def nominal(train: Train) -> Motion:
    """Stepping at the nominal beat: the wheel stands, then advances half a pitch in NOMINAL_MOVE of each beat.

    Neglects everything an escapement does (recoil, lift, drop): used where none is solved, and said so.
    """
    pitch = 2 * np.pi / train.escape_teeth
    moves = NOMINAL_MOVE / 2
    times = np.array([0.0, 0.5 - moves, 0.5, 1.0 - moves, 1.0])
    share = 2 / train.beats_per_tooth
    wheel = np.array([0.0, 0.0, 0.5, 0.5, 1.0]) * pitch * share
    return Motion(train.beats_per_hour, times, wheel, solved=False)


def thinned(times: Array, values: Array, within: float) -> NDArray[np.int_]:
    """Indices of samples enough for a straight-line reading between them to stay `within` of all samples.

    Greedy: from each kept sample the furthest one that still serves. times and values (K,); both ends are kept.
    """
    t, x = times.tolist(), values.tolist()  # plain floats: they are looked at one by one
    kept, last = [0], len(t) - 1
    while kept[-1] < last:
        start = kept[-1]
        low, high = -math.inf, math.inf
        reach = start + 1
        for index in range(start + 1, last + 1):
            run, rise = t[index] - t[start], x[index] - x[start]
            if low * run <= rise + 1e-15 and rise - 1e-15 <= high * run:
                reach = index
            low, high = max(low, (rise - within) / run), min(high, (rise + within) / run)
            if low > high:
                break
        kept.append(reach)
    return np.array(kept)
