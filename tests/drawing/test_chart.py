"""Charts: px and back again, round ticks, lines that keep to what was computed (against scipy's monotone interpolation)."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from builder.drawing.chart import Panel, Scale, around, smoothed, ticks_of

SCALES = [
    Scale(0.0, 49.7, 104.0, 694.0),
    Scale(-3.2, 0.4, 220.0, 92.0),
    Scale(30.2603, 30.2645, 220.0, 92.0),
    Scale(0.001, 52.0, 324.0, 16.0, decades=True),
    Scale(0.1, 780.0, 348.0, 704.0, decades=True),
]


@pytest.mark.parametrize("scale", SCALES)
def test_px_and_back(scale: Scale) -> None:
    """The value at a value's place is that value; the ends lie at the ends."""
    steps = np.linspace(0, 1, 41)
    values = scale.low * (scale.high / scale.low) ** steps if scale.decades else scale.low + (scale.high - scale.low) * steps
    assert np.allclose(scale.value(scale.px(values)), values, rtol=1e-12, atol=1e-12)
    assert scale.px(scale.low) == pytest.approx(scale.start_px)
    assert scale.px(scale.high) == pytest.approx(scale.end_px)


def test_a_power_of_ten_has_one_length() -> None:
    """On an axis by powers of ten, ten times as much is as far everywhere."""
    scale = SCALES[3]
    steps = np.diff(scale.px([0.001, 0.01, 0.1, 1.0, 10.0]))
    assert np.allclose(steps, steps[0])


@given(st.floats(-1e6, 1e6), st.floats(1e-6, 1e6), st.integers(2, 9))
def test_ticks_are_round_and_few(low: float, span: float, most: int) -> None:
    """Ticks lie on the axis, no more than asked, at least one in two steps' width; their texts say them exactly."""
    if span < 1e-9 * abs(low):
        return
    scale = Scale(low, low + span, 0.0, 100.0)
    ticks = scale.ticks(most)
    assert len(ticks) <= most
    step = scale._step(most)
    lead = step / 10 ** math.floor(math.log10(step) + 1e-9)
    assert any(lead == pytest.approx(whole) for whole in (1, 2, 5))
    assert step <= 10 * span
    for tick in ticks:
        assert low - 1e-6 * step <= tick <= low + span + 1e-6 * step
        said = scale.text(tick, most).replace("\u202f", "").replace("\u2212", "-")
        assert float(said) == pytest.approx(tick, abs=1e-6 * step)


@given(st.floats(-1e6, 1e6), st.floats(1e-6, 1e6))
def test_a_field_has_ticks_enough_to_be_read(low: float, span: float) -> None:
    """Two at the least, and no more than two beyond the three that are asked for; ±427, as a balance that swings too far, has
    but one where three are allowed."""
    for scale in (Scale(low, low + span, 0.0, 100.0), Scale(-427.0, 427.0, 100.0, 0.0)):
        if span < 1e-9 * abs(low):
            continue
        assert 2 <= len(scale.ticks(scale.enough(3))) <= 5
    assert len(Scale(-427.0, 427.0, 100.0, 0.0).ticks(3)) == 1


def test_ticks_of_decades_are_whole_powers() -> None:
    """Every power of ten, or every second one where there is no room for all."""
    assert SCALES[3].ticks(99) == pytest.approx((0.001, 0.01, 0.1, 1, 10))
    assert SCALES[3].ticks(3) == pytest.approx((0.001, 0.1, 10))
    assert [text for _, text in ticks_of(SCALES[3], 9)] == ["0.001", "0.01", "0.1", "1", "10"]


def test_an_axis_holds_what_it_shows() -> None:
    """All finite values lie inside, nought too where asked; values all alike still have an axis."""
    assert around([1.0, 3.0, np.nan]) == pytest.approx((0.84, 3.16))
    assert around([1.0, 3.0], from_zero=True) == pytest.approx((0.0, 3.24))
    low, high = around([2.0, 2.0, 2.0])
    assert low < 2.0 < high
    low, high = around([np.nan])
    assert low < high


def test_smooth_lines_pass_through_and_never_overshoot() -> None:
    """Computed points are on the line; between two of them it stays between their values, and near scipy's monotone cubic."""
    hours = np.linspace(0, 50, 9)
    values = np.array([300.0, 290.0, 288.0, 270.0, 260.0, 258.0, 240.0, 200.0, 120.0])
    xs, ys = smoothed(hours, values)
    assert np.allclose(np.interp(hours, xs, ys), values, rtol=1e-12)
    assert np.all(np.diff(ys) <= 1e-9)
    assert np.abs(ys - PchipInterpolator(hours, values)(xs)).max() < 0.02 * np.ptp(values)


def points(d: str) -> list[list[tuple[float, float]]]:
    """The runs of a path of relative lines, as points."""
    runs = []
    for run in re.findall(r"M([^M]*)", d):
        start, _, rest = run.partition("l")
        numbers = [float(n) for n in re.findall(r"-?(?:\d+\.?\d*|\.\d+)", start + " " + rest.replace("-", " -"))]
        steps = np.cumsum(np.array(numbers).reshape(-1, 2), axis=0)
        runs.append([(float(x), float(y)) for x, y in steps])
    return runs


def test_curves_break_where_there_is_nothing() -> None:
    """Not-a-number breaks a line, a lone value draws none, and what is drawn lies where the scale says, to 0.1 px."""
    panel = Panel(Scale(0.0, 10.0, 100.0, 200.0), Scale(0.0, 4.0, 80.0, 0.0))
    d = panel.curve([0, 1, 2, 3, 4, 5], [1, 2, np.nan, 3, np.nan, np.nan])
    assert points(d) == [[(100, 60), (110, 40)]]
    assert panel.curve([0, 1], [np.nan, 1]) == ""
    assert panel.curve([1, 1], [2, 2]) == "", "a line of no length would end the path in mid-command"
    ((start, *_, end),) = points(panel.smooth([0, 5, 10], [0, 1, 4]))
    assert start == pytest.approx((100, 80))
    assert end == pytest.approx((200, 0), abs=1e-9)


def test_a_frame_names_its_ticks() -> None:
    """As many words as ticks, title and foot; a second field beside the first is not labelled again."""
    panel = Panel(Scale(0.0, 10.0, 100.0, 200.0), Scale(0.0, 4.0, 80.0, 0.0))
    frame = panel.frame("Torque", ticks_across=((0.0, "0"), (10.0, "10")))
    assert {words.text for words in frame.words} == {"Torque", "0", "2", "4", "10"}
    assert [words.text for words in panel.frame("", labelled=False).words] == []
