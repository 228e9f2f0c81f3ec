"""The trace: how far each beat comes before or after its time, and the figures that a listening instrument reads from it.

Beat n is due n nominal beats after the start. A clock that is right and in beat draws one level line; one that gains climbs;
one that is out of beat draws two lines, a beat error apart. The figures come from one least squares fit to the times

    t(n) = a + b n + c (−1)^n        b: mean beat · 2|c|: beat error, half the difference of two beats in a row

and the amplitude from the mean time of the lift, as the sum of the bench has it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from builder.bench.rates.amplitude import by_lift_deg
from builder.bench.timing.noises import Array, Noises
from builder.parts.oscillator.terms import rate_s_per_day


@dataclass(frozen=True)
class Reading:
    """What the instrument says."""

    rate_s_per_day: float
    """> 0 gains."""
    beat_error_ms: float
    amplitude_deg: float | None
    """None where no lift is heard, or its time makes no sense."""
    scatter_ms: float
    """Root mean square of what the fit leaves over, over its degrees of freedom."""


def reading(heard: Noises, beat_s: float, lift_deg: float | None = None) -> Reading:
    """Rate, beat error and amplitude of at least four beats. `lift_deg` is the lift angle of the balance."""
    n = heard.beats.astype(float)
    middle = n - n.mean()  # the fit's three columns are then nearly square to each other
    design = np.column_stack([np.ones_like(n), middle, _sides(heard)])
    found, *_ = np.linalg.lstsq(design, heard.first_s, rcond=None)
    left = heard.first_s - design @ found
    scatter = float(np.sqrt(np.sum(left**2) / max(len(n) - 3, 1)))
    beat = float(found[1])
    amplitude = None
    if lift_deg is not None and (lift := heard.lift_s) is not None and 0.0 < lift < beat:
        amplitude = by_lift_deg(lift_deg, lift, 2 * beat)
    return Reading(rate_s_per_day(beat, beat_s), 2e3 * abs(float(found[2])), amplitude, 1e3 * scatter)


def ahead_ms(heard: Noises, beat_s: float) -> Array:
    """(N,) how far each beat is before its time, ms; the mean of the first two is nought."""
    early = 1e3 * (heard.beats * beat_s - heard.first_s)
    return np.asarray(early - early[:2].mean())


def folded(ahead: Array, window_ms: float) -> Array:
    """The same within ± half a window: what runs out at one edge comes in at the other."""
    return np.asarray((ahead + window_ms / 2) % window_ms - window_ms / 2)


def _sides(heard: Noises) -> NDArray[np.float64]:
    """+1 and −1 in turn."""
    return np.where(heard.beats % 2 == 0, 1.0, -1.0)
