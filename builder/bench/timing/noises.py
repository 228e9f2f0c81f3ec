"""The noises of a beat as an instrument takes them down: the first of each beat, and the last where there is a lever.

Solved, not sounded: an instrument's own delay, a noise drowned by others and the way of the sound through the plate are left out.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from builder.going.steady import Running

Array = NDArray[np.float64]

FIRST, LAST = "fork meets pin", "lever banks"
"""Of a detached lever: between them the balance turns through its lift angle. A tooth's lock comes a little later than the
lever's banking; an instrument that takes the lock for the last noise reads a smaller amplitude."""

WITHOUT_LEVER = "locks"
"""Pallets on or driven by the oscillator itself are heard where a tooth lands."""


@dataclass(frozen=True)
class Noises:
    """Beats in a row."""

    beats: NDArray[np.int64]
    """(N,) their numbers, rising from 0; a number that is left out was not heard."""
    first_s: Array
    """(N,) when each is heard."""
    last_s: Array | None = None
    """(N,) its last noise, nan where it was not heard; None where only one is known."""

    @property
    def lift_s(self) -> float | None:
        """Mean time from the first noise of a beat to its last."""
        if self.last_s is None or not np.isfinite(self.last_s).any():
            return None
        return float(np.nanmean(self.last_s - self.first_s))


def noises(running: Running, count: int) -> Noises:
    """The first `count` beats of a steady beat, from a turn of the oscillator on."""
    first = _times(running, FIRST) or _times(running, WITHOUT_LEVER)
    last = _times(running, LAST)
    n = np.arange(count)
    later = n // 2 * running.period_s
    return Noises(n, later + np.array(first)[n % 2], later + np.array(last)[n % 2] if last else None)


def _times(running: Running, noise: str) -> tuple[float, float] | None:
    """When it is heard in the two beats of a period; the last of several in a beat counts."""
    bounds = (0.0, running.up.time_s, running.period_s)
    found = [[t for t, name, _ in running.events if name == noise and a <= t <= b] for a, b in pairwise(bounds)]
    return (found[0][-1], found[1][-1]) if all(found) else None
