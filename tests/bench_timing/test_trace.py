"""What a listening instrument would draw and read, against beats of known rate, and against scipy's and numpy's own fits."""

from __future__ import annotations

from math import pi, radians, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import linregress

from builder.bench.timing.noises import Noises, noises
from builder.bench.timing.trace import ahead_ms, folded, reading
from builder.going.steady import Running
from builder.lessons.changed import out_of_beat
from tests.solved import demo


def beats(rate_s_per_day: float, error_ms: float, beat_s: float, count: int = 120, lift_s: float | None = None) -> Noises:
    """Beats of that rate, two in a row differing by twice the error."""
    n = np.arange(count)
    mean = beat_s / (1 + rate_s_per_day / 86400)
    times = 3.0 + n * mean + np.where(n % 2, error_ms / 1000, 0.0)
    return Noises(n, times, None if lift_s is None else times + lift_s)


@given(st.floats(-900, 900), st.floats(0, 40), st.sampled_from([0.2, 1 / 6, 0.5, 1.0]))
def test_a_known_rate_and_beat_error_are_read_back(rate: float, error: float, beat_s: float) -> None:
    """Rate in seconds a day and half the difference of two beats in a row, as put in."""
    read = reading(beats(rate, error, beat_s), beat_s)
    assert read.rate_s_per_day == pytest.approx(rate, abs=1e-6)
    assert read.beat_error_ms == pytest.approx(error, abs=1e-7)
    assert read.scatter_ms < 1e-6 and read.amplitude_deg is None


def test_scattered_beats_as_other_fits_have_them() -> None:
    """With noise on each beat: scipy's line through every second beat has the same slope within its own standard error, and
    numpy's general least squares over other columns (one offset a side) has the same rate, error and scatter."""
    heard = beats(-23.0, 1.7, 0.2, 400)
    shaken = Noises(heard.beats, heard.first_s + np.random.default_rng(7).normal(0, 4e-4, 400))
    read = reading(shaken, 0.2)
    for side in (0, 1):
        line = linregress(shaken.beats[side::2], shaken.first_s[side::2])
        wanted = 86400 * (0.2 / line.slope - 1)
        assert abs(read.rate_s_per_day - wanted) < 4 * 86400 * line.stderr / 0.2
    odd = shaken.beats % 2
    columns = np.column_stack([1 - odd, odd, shaken.beats])
    (even_at, odd_at, slope), left, *_ = np.linalg.lstsq(columns, shaken.first_s, rcond=None)
    assert read.rate_s_per_day == pytest.approx(86400 * (0.2 / slope - 1), abs=1e-6)
    assert read.beat_error_ms == pytest.approx(1e3 * abs(odd_at - even_at), abs=1e-8)
    assert read.scatter_ms == pytest.approx(1e3 * np.sqrt(left[0] / 397), rel=1e-9)
    assert read.scatter_ms == pytest.approx(0.4, rel=0.15)


def test_beats_that_were_not_heard_change_nothing() -> None:
    """The same line through what is left of them."""
    heard = beats(12.0, 0.8, 0.2)
    kept = np.random.default_rng(3).random(120) > 0.2
    read = reading(Noises(heard.beats[kept], heard.first_s[kept]), 0.2)
    assert (read.rate_s_per_day, read.beat_error_ms) == (pytest.approx(12.0, abs=1e-6), pytest.approx(0.8, abs=1e-8))


@pytest.mark.parametrize("amplitude_deg", [150.0, 220.0, 290.0])
def test_amplitude_from_the_time_of_lift(amplitude_deg: float) -> None:
    """A sine of known amplitude crosses 52 degrees about its middle in 2 asin(26/A)/ω (from memory: how instruments read it)."""
    omega = 2 * pi / 0.4
    t = np.linspace(-0.1, 0.1, 200_001)
    q = amplitude_deg * np.sin(omega * t)
    lift_s = float(np.sum(np.abs(q) <= 26.0) * (t[1] - t[0]))
    read = reading(beats(0.0, 0.0, 0.2, lift_s=lift_s), 0.2, lift_deg=52.0)
    assert read.amplitude_deg == pytest.approx(amplitude_deg, rel=1e-3)


@pytest.mark.parametrize("slug", ["pocket_watch", "shelf_timepiece"])
def test_the_trace_of_a_solved_beat_reads_what_was_solved(slug: str) -> None:
    """Rate to rounding; amplitude within a degree and a half, since the impulse speeds the balance within the lift."""
    going = demo(slug)
    lift = going.movement.escapement.lever.balance_lift_deg  # type: ignore[union-attr]
    for winding in going.windings:
        solved = winding.beat
        assert isinstance(solved, Running)
        read = reading(noises(solved, 60), float(going.train.beat_s), lift)
        assert read.rate_s_per_day == pytest.approx(solved.rate_s_per_day, abs=1e-6)
        assert read.amplitude_deg == pytest.approx(solved.amplitude_deg, abs=1.5)
        assert read.beat_error_ms < 0.05


def test_out_of_beat_draws_two_lines() -> None:
    """The rest δ beside the middle: a sine passes it T/2π · asin(δ/A) early and late, which is the beat error (from memory)."""
    going, crooked = demo("pocket_watch"), radians(5)
    solved = out_of_beat(going.windings[0], crooked)
    assert isinstance(solved, Running)
    heard = noises(solved, 60)
    read = reading(heard, 0.2)
    assert sin(2 * pi * read.beat_error_ms / 2000 / 0.4) * solved.amplitude_rad * 2 == pytest.approx(2 * crooked, rel=0.04)
    early = ahead_ms(heard, 0.2)
    slope = 1e3 * 0.2 * solved.rate_s_per_day / 86400
    apart = early[::2] - early[1::2] + slope * 1.0
    assert np.ptp(apart) < 1e-3
    assert abs(abs(apart[0]) - read.beat_error_ms) < 1e-3


def test_a_pendulum_clock_is_heard_where_a_tooth_lands() -> None:
    """No lever, no lift, no amplitude; rate and beat error are those of the locks."""
    going = demo("hall_clock")
    solved = going.windings[0].beat
    assert isinstance(solved, Running)
    read = reading(noises(solved, 40), float(going.train.beat_s), 50.0)
    assert read.amplitude_deg is None
    assert read.beat_error_ms == pytest.approx(solved.beat_error_ms, abs=1e-9)


def test_what_runs_out_at_one_edge_comes_in_at_the_other() -> None:
    """Folding keeps every value within half a window and changes it by whole windows."""
    wide = np.linspace(-95.0, 95.0, 77)
    narrow = folded(wide, 20.0)
    assert np.all((narrow >= -10.0) & (narrow < 10.0))
    assert np.allclose((wide - narrow) / 20.0, np.rint((wide - narrow) / 20.0))
    assert np.allclose(folded(np.array([3.0, -4.0]), 20.0), [3.0, -4.0])


def test_a_gain_climbs() -> None:
    """Ten seconds a day fast: after 8640 s a second ahead; after 120 beats of 0.2 s, 24/8640 s."""
    early = ahead_ms(beats(10.0, 0.0, 0.2, 121), 0.2)
    assert early[-1] == pytest.approx(1e3 * 24 / 8640, rel=0.01)
