"""From the solved motion to the key frames of one arbor: stepped where the steps can be seen, even where they cannot."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np

from builder.drawing.path import View, number
from builder.drawing.sheet import Move
from builder.going.motion import Motion, thinned
from builder.going.train import Train

WITHIN_PX = 0.25
"""Key frames reproduce the motion to this, at the part's outermost drawn radius."""


STANDING = Move("rotate", ("0", "0"), (0.0, 1.0), 1000)
"""What an arbor of a stopped clock does."""


def arbor_move(motion: Motion, train: Train, arbor: str, view: View, radius_px: float, within_px: float = WITHIN_PX) -> Move:
    """The move of one arbor whose drawing reaches `radius_px` from its centre."""
    turning = train[arbor]
    if motion.wheel_rad[-1] == 0.0:
        return STANDING
    ratio = turning.turns_per_hour / abs(train[train.path[-1]].turns_per_hour)
    step_px = abs(float(ratio)) * float(motion.wheel_rad[-1]) * radius_px
    if step_px < within_px:
        return even(turning.turns_per_hour, view)
    return stepped(motion, ratio, view, radius_px, within_px)


def even(turns_per_hour: Fraction, view: View) -> Move:
    """Whole turns at the mean rate. The steps it leaves out are smaller than WITHIN_PX."""
    ms_per_turn = 3_600_000 / abs(turns_per_hour)
    turns = ms_per_turn.denominator
    degrees = view.turn_deg(math.copysign(360 * turns, turns_per_hour))
    return Move("rotate", ("0", number(degrees, 0)), (0.0, 1.0), int(ms_per_turn * turns))


def stepped(motion: Motion, ratio: Fraction, view: View, radius_px: float, within_px: float = WITHIN_PX) -> Move:
    """Beat by beat; `ratio` is signed turns of the arbor (counter-clockwise positive) for one of the escape wheel forwards."""
    periods, dur_ms = motion.repetition
    arc = motion.wheel_rad * abs(float(ratio))
    kept = thinned(motion.times, arc, within_px / 2 / radius_px)
    times, angles = motion.times[kept], motion.wheel_rad[kept]
    pitch = motion.wheel_rad[-1]
    all_times = np.concatenate([[0.0]] + [(times[1:] + n) / periods for n in range(periods)])
    all_angles = np.concatenate([[0.0]] + [angles[1:] + n * pitch for n in range(periods)])
    degrees = [view.turn_deg(math.degrees(a) * float(ratio)) for a in all_angles]
    # What one repetition adds must be exact: it is summed all day long.
    values = [number(d, 4) for d in degrees[:-1]] + [f"{degrees[-1]:.10f}"]
    return Move(
        "rotate", tuple(values), tuple(float(t) for t in all_times), dur_ms, sums=True, exact_ms=motion.period_ms * periods
    )


def slide(motion: Motion, x_px: np.ndarray, y_px: float) -> Move:
    """A pointer that goes along a level scale with the period."""
    kept = thinned(motion.times, x_px, WITHIN_PX / 2)
    values = tuple(f"{number(x)} {number(y_px)}" for x in x_px[kept])
    times = tuple(float(t) for t in motion.times[kept])
    return Move("translate", values, times, round(motion.period_ms), exact_ms=motion.period_ms)


def swing(motion: Motion, angles_rad: np.ndarray, view: View, radius_px: float, within_px: float = WITHIN_PX) -> Move:
    """A part that swings to and fro with the period: oscillator or pallets."""
    periods, dur_ms = motion.repetition
    kept = thinned(motion.times, angles_rad, within_px / 2 / radius_px)
    times, angles = motion.times[kept], angles_rad[kept]
    all_times = np.concatenate([[0.0]] + [(times[1:] + n) / periods for n in range(periods)])
    degrees = [number(view.turn_deg(math.degrees(a)), 4) for a in angles]
    values = degrees[:1] + degrees[1:] * periods
    return Move("rotate", tuple(values), tuple(float(t) for t in all_times), dur_ms, exact_ms=motion.period_ms * periods)
