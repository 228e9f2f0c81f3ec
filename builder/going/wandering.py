"""A beat that is not quite steady: a wheel that catches a face in the last instant from one amplitude, and just misses it from
the next.

What a period gains then jumps across nought, and no amplitude keeps itself: it grows where the wheel catches, dies down where it
misses, and wanders about the jump by a part of what a period loses. Where energy goes is the mean over many periods: so many of
the one sort and so many of the other that the oscillator gains nothing. Neglected: the width over which the amplitude wanders,
and that the rate is that of one of the two sorts.
"""

from __future__ import annotations

from builder.going.periods import Fails, Periods
from builder.going.phase_plane import Work
from builder.going.steady import Running

STEPS = 16
"""So often the step across the jump is made four times as wide, from 1e-13 of the amplitude on."""


def mean_work(running: Running) -> Work:
    """Where the energy of a period goes on the mean, J: of a beat that is steady, of any period. As it stands where no period on
    the other side of the jump is found."""
    gained, periods = running.gained_j, Periods(running.works)
    step = (1e-13 if gained > 0.0 else -1e-13) * running.low_rad
    for _ in range(STEPS if gained else 0):
        try:
            other, up, down = periods.run(running.low_rad + step)
        except Fails:
            break
        if gained * other < 0.0:
            share = gained / (gained - other)  # of periods on the other side
            theirs = vars(up.work + down.work)
            return Work(*((1.0 - share) * mine + share * theirs[name] for name, mine in vars(running.work).items()))
        step *= 4.0
    return running.work
