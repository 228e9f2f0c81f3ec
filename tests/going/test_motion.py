"""What is seen to move follows the solved motion: at every moment, at every radius, all day long."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import accumulate

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.drawing.moves import WITHIN_PX, arbor_move, swing
from builder.drawing.path import View, number
from builder.drawing.sheet import Move
from builder.going.motion import Motion, nominal, thinned
from builder.going.train import Train, train
from builder.movement.model import Movement
from tests.movement_texts import eight_day, movement_data

DAY_S = 86_400


def degrees_at(move: Move, t_ms: Fraction, dur_ms: Fraction) -> float:
    """The angle that the animation shows: SMIL's linear values between key times, sums at each repetition, text as written."""
    times = [float(number(t, 7)) for t in move.key_times]
    values = [float(v) for v in move.values]
    whole = t_ms // dur_ms
    part = float((t_ms - whole * dur_ms) / dur_ms)
    return float(np.interp(part, times, values)) + (int(whole) * values[-1] if move.sums else 0.0)


def wheel_rad(motion: Motion, t_ms: Fraction) -> float:
    """The escape wheel's angle at a moment, by exact whole periods."""
    whole = t_ms // motion.period_ms
    part = float((t_ms - whole * motion.period_ms) / motion.period_ms)
    return int(whole) * float(motion.wheel_rad[-1]) + float(np.interp(part, motion.times, motion.wheel_rad))


def off_px(a_deg: float, b_deg: float, radius_px: float) -> float:
    """How far apart two angles put a point at that radius; whole turns do not show."""
    return abs(math.remainder(math.radians(a_deg - b_deg), math.tau)) * radius_px


@st.composite
def movements(draw: st.DrawFn) -> Train:
    """A train of two to five wheels at a whole or a broken beat."""
    size = draw(st.integers(1, 4))
    beats = draw(st.one_of(st.sampled_from([3600, 9000, 14400, 16200, 17952, 18000, 19800, 21600]), st.integers(1000, 40_000)))
    data = movement_data(
        draw(st.lists(st.integers(20, 120), min_size=size, max_size=size)),
        draw(st.lists(st.integers(6, 20), min_size=size, max_size=size)),
        draw(st.integers(6, 60)),
        beats_per_tooth=draw(st.integers(1, 4)),
        beats_per_hour=beats,
    )
    return train(Movement.model_validate(data))


@st.composite
def motions(draw: st.DrawFn) -> tuple[Train, Motion]:
    """A train with its nominal motion, or one made up with recoil, rest and drop, sampled closely."""
    found = draw(movements())
    if draw(st.booleans()):
        return found, nominal(found)
    pitch = math.tau / found.escape_teeth * 2 / found.beats_per_tooth
    recoil, lift = draw(st.floats(0, 0.2)), draw(st.floats(0.05, 0.5))
    corner = [0, 0.1, 0.1 + lift / 2, 0.1 + lift / 2 + 0.01, 0.5, 0.6, 0.6 + lift / 2, 0.6 + lift / 2 + 0.01, 1]
    angle = np.array([0, -recoil, 0.3, 0.5, 0.5, 0.5 - recoil, 0.8, 1, 1])
    times = np.unique(np.concatenate([np.linspace(0, 1, 201), corner]))
    smooth = np.interp(times, corner, angle) + 0.01 * np.sin(2 * np.pi * times) ** 2
    return found, Motion(found.beats_per_hour, times, pitch * smooth, solved=True)


@given(movements())
@settings(max_examples=100, deadline=None)
def test_nominal_stepping_keeps_the_rate(found: Train) -> None:
    """In one period, two beats, the wheel goes two beats' share of a turn; at a beat it has just arrived."""
    motion = nominal(found)
    per_turn = found.escape_teeth * found.beats_per_tooth
    assert motion.wheel_rad[-1] == pytest.approx(2 * math.tau / per_turn)
    assert motion.period_ms == 2 * found.beat_s * 1000
    assert np.all(np.diff(motion.wheel_rad) >= 0)
    for beat in (1, 2, 7, 3600):
        assert motion.wheel_at(float(beat * found.beat_s) + 1e-9) == pytest.approx(beat * math.tau / per_turn, rel=1e-6)
    assert not motion.solved


@given(motions(), st.floats(1, 2000), st.booleans(), st.lists(st.fractions(0, 12 * 3600), min_size=8, max_size=8))
@settings(max_examples=100, deadline=None)
def test_key_frames_reproduce_the_motion(
    made: tuple[Train, Motion], radius_px: float, back: bool, moments_s: list[Fraction]
) -> None:
    """At any moment of half a day every arbor stands where the solution has it, to a quarter of a pixel at its outermost radius.

    The player times by `exact_ms`; that is the promise for every beat. Within a microsecond of a drop either side counts.
    """
    found, motion = made
    for name in found.path:
        move = arbor_move(motion, found, name, View(1.0, back), radius_px)
        ratio = found[name].turns_per_hour / abs(found["escape"].turns_per_hour)
        dur_ms = move.exact_ms or Fraction(move.dur_ms)
        for t_ms in (1000 * t for t in moments_s):
            wanted = [math.degrees(wheel_rad(motion, t_ms + d) * float(ratio)) * (1 if back else -1) for d in (0, MICRO, -MICRO)]
            shown = degrees_at(move, t_ms, dur_ms)
            assert min(off_px(shown, each, radius_px) for each in wanted) <= WITHIN_PX * 1.02, name


MICRO = Fraction(1, 1000)
"""A microsecond, in ms: key times are written to 1e-7 of a repetition."""


@given(movements())
@settings(max_examples=150, deadline=None)
def test_drawings_without_script_keep_whole_milliseconds(found: Train) -> None:
    """Browsers round a duration to whole ms. Where some periods make whole ms nothing drifts in 24 hours; else it is stated."""
    motion = nominal(found)
    periods, ms = motion.repetition
    exact_ms = periods * motion.period_ms
    assert 1 <= periods <= 12
    assert abs(exact_ms - ms) <= Fraction(1, 2)
    whole = [n for n in range(1, 13) if (n * motion.period_ms).denominator == 1]
    assert (motion.drift_s_per_day == 0) == bool(whole)
    if whole:
        assert (periods, ms) == (whole[0], whole[0] * motion.period_ms)
    # A day of the drawing against a day of the clock: a repetition shows exact_ms of clock time in ms of true time.
    gained_s = DAY_S * (exact_ms / ms - 1)
    assert float(motion.drift_s_per_day) == pytest.approx(float(gained_s), rel=float(abs(exact_ms / ms - 1)) * 2, abs=0)


@given(motions(), st.floats(5, 1000))
@settings(max_examples=100, deadline=None)
def test_no_drift_in_a_day(made: tuple[Train, Motion], radius_px: float) -> None:
    """After 24 hours, and after 24 hours without script for whole-ms beats, every arbor stands where the counts have it."""
    found, motion = made
    for name in found.path:
        move = arbor_move(motion, found, name, View(1.0), radius_px)
        clocks = [move.exact_ms or Fraction(move.dur_ms)] + ([Fraction(move.dur_ms)] if motion.drift_s_per_day == 0 else [])
        ratio = found[name].turns_per_hour / abs(found["escape"].turns_per_hour)
        t_ms = Fraction(DAY_S * 1000)
        wanted = -math.degrees(wheel_rad(motion, t_ms) * float(ratio))
        for dur_ms in clocks:
            assert off_px(degrees_at(move, t_ms, dur_ms), wanted, radius_px) <= WITHIN_PX * 1.02


def test_hands_of_a_day() -> None:
    """Every hand of the eight-day clock is back at 12 after 12 and after 24 hours, exactly upright in between on the hour."""
    found = train(Movement.model_validate(eight_day()))
    motion = nominal(found)
    for name, hours in (("cannon", (1, 7, 12, 24)), ("hour_wheel", (12, 24)), ("escape", (1, 12, 24))):
        move = arbor_move(motion, found, name, View(1.0), 500)
        for hour in hours:
            angle = degrees_at(move, Fraction(3_600_000 * hour), move.exact_ms or Fraction(move.dur_ms))
            assert off_px(angle, 0.0, 500) < 1e-3, (name, hour)
    minute = arbor_move(motion, found, "cannon", View(1.0), 0.1)
    assert (minute.dur_ms, minute.values) == (3_600_000, ("0", "360")), "too small to be seen stepping: it turns evenly"


def test_a_stopped_clock_stands() -> None:
    """No arbor turns where the wheel does not, however fast it would, at any moment."""
    found = train(Movement.model_validate(eight_day()))
    still = Motion(found.beats_per_hour, np.array([0.0, 1.0]), np.zeros(2), solved=True)
    for name in ("great", "escape", "hour_wheel"):
        for radius_px in (1.0, 1000.0):
            move = arbor_move(still, found, name, View(1.0), radius_px)
            assert {degrees_at(move, Fraction(t), Fraction(move.dur_ms)) for t in (0, 999, 12_345, 10**8)} == {0.0}


def test_what_swings_follows_its_samples() -> None:
    """A pendulum's samples are reproduced to a quarter of a pixel at its bob, at any moment of a repetition."""
    found = train(Movement.model_validate(movement_data([60], [8], beats_per_hour=17952)))
    times = np.linspace(0, 1, 241)
    angles = 0.06 * np.sin(math.tau * times)
    motion = Motion(found.beats_per_hour, times, math.tau / 15 * times, solved=True, oscillator_rad=angles)
    move = swing(motion, angles, View(1.0), 800.0)
    assert move.exact_ms is not None
    for k in range(500):
        t_ms = Fraction(k * 977, 100)
        part = float(t_ms % motion.period_ms / motion.period_ms)
        wanted = -math.degrees(float(np.interp(part, times, angles)))
        assert off_px(degrees_at(move, t_ms, move.exact_ms), wanted, 800.0) <= WITHIN_PX
    assert len(move.values) < len(times) * motion.repetition[0] / 3, "fewer key frames than samples"


@given(
    st.lists(st.floats(1e-3, 1), min_size=1, max_size=40),
    st.lists(st.floats(-1, 1), min_size=41, max_size=41),
    st.floats(1e-6, 0.5),
)
@settings(max_examples=300, deadline=None)
def test_thinning_keeps_its_promise(steps: list[float], values: list[float], within: float) -> None:
    """Read in straight lines between the kept samples, no sample is missed by more than was allowed; both ends are kept."""
    times = np.array([0.0, *accumulate(steps)])
    heights = np.array(values[: len(times)])
    kept = thinned(times, heights, within)
    assert kept[0] == 0
    assert kept[-1] == len(times) - 1
    assert np.all(np.diff(kept) > 0)
    assert np.max(np.abs(np.interp(times, times[kept], heights[kept]) - heights)) <= within * (1 + 1e-9) + 1e-12


def test_thinning_drops_what_lies_on_a_line() -> None:
    """A straight run needs its two ends, a corner one more; nothing allowed keeps every corner."""
    times = np.linspace(0, 1, 101)
    assert thinned(times, np.array(3 * times), 1e-9).tolist() == [0, 100]
    assert thinned(times, np.abs(times - 0.5), 1e-9).tolist() == [0, 50, 100]
    zigzag = np.array([n % 2 for n in range(101)], dtype=np.float64)
    assert len(thinned(times, zigzag, 1e-9)) == 101


@pytest.mark.parametrize("within", [0.2, 0.05, 0.01])
def test_thinning_of_a_swing_is_near_the_fewest(within: float) -> None:
    """Against the least number possible, found by trying every chain of chords: a swing needs hardly more."""
    times = np.linspace(0, 1, 97)
    heights = np.sin(math.tau * times)
    chords = [0] + [99] * 96
    for end in range(1, 97):
        for start in range(end):
            line = np.interp(times[start : end + 1], times[[start, end]], heights[[start, end]])
            if np.max(np.abs(line - heights[start : end + 1])) <= within:
                chords[end] = min(chords[end], chords[start] + 1)
    assert chords[-1] <= len(thinned(times, heights, within)) - 1 <= 1.4 * chords[-1]
