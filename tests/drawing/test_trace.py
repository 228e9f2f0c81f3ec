"""The chart of a trace: every beat where it belongs, two sides told apart by form, one window for traces to be compared."""

from __future__ import annotations

import re

import numpy as np
import pytest

from builder.bench.timing.noises import Noises
from builder.drawing.trace import FOOT_PX, HEIGHT_PX, LEFT_PX, RIGHT_PX, TOP_PX, WIDTH_PX, Trace, drawn, window_ms
from tests.solved import wording


def trace(rate: float, error_ms: float, count: int = 120) -> Trace:
    n = np.arange(count)
    times = n * 0.2 / (1 + rate / 86400) + np.where(n % 2, error_ms / 1000, 0.0)
    return Trace("t", "Before", Noises(n, times), "words")


def points(d: str) -> np.ndarray:
    """Where each mark begins."""
    return np.array([[float(x), float(y)] for x, y in re.findall(r"M(-?[\d.]+) (-?[\d.]+)", d)])


def marks(one: Trace, window: float) -> dict[str, np.ndarray]:
    sheet = drawn(one, 0.2, window, 120, wording())
    return {shape.classes: points(shape.d) for figure in sheet.figures for shape in figure.shapes if "beat" in shape.classes}


def test_each_beat_is_where_it_belongs() -> None:
    """Beat number across, ms before its time upwards, to a tenth of a px: reckoned here anew."""
    found = marks(trace(-20.0, 3.0), 20.0)
    assert len(found["beat-dot"]) == len(found["beat-bar"]) == 60
    n = np.arange(0, 120, 2)
    beat = 0.2 / (1 - 20 / 86400)
    ahead = 1e3 * n * (0.2 - beat) - 0.5 * (1e3 * (0.2 - beat) - 3.0)
    x = LEFT_PX + n / 120 * (WIDTH_PX - RIGHT_PX - LEFT_PX)
    middle, high = (TOP_PX + HEIGHT_PX - FOOT_PX) / 2, HEIGHT_PX - FOOT_PX - TOP_PX
    assert np.allclose(found["beat-dot"][:, 0], x, atol=0.06)
    assert np.allclose(found["beat-dot"][:, 1], middle - ahead / 20.0 * high, atol=0.06)


def test_a_window_holds_what_it_shows() -> None:
    """Three times the beat error, and a drift up to what is folded; the same window for all that are compared."""
    assert window_ms([trace(0.0, 0.0)], 0.2) == 2.0
    assert window_ms([trace(0.0, 5.0)], 0.2) >= 15.0
    small, wide = trace(4.0, 0.1), trace(-30.0, 2.0)
    both = window_ms([small, wide, Trace("s", "stands", None, "")], 0.2)
    assert both == window_ms([wide], 0.2) > window_ms([small], 0.2)
    for one in (small, wide):
        for side in marks(one, both).values():
            assert np.all((side[:, 1] > TOP_PX - 4) & (side[:, 1] < HEIGHT_PX - FOOT_PX + 1))


def test_a_large_drift_is_folded_and_a_stopped_clock_is_silent() -> None:
    """Nothing leaves the field; nothing is marked where nothing is heard, and it is said."""
    found = marks(trace(-900.0, 1.0), window_ms([trace(-900.0, 1.0)], 0.2))
    for side in found.values():
        assert np.all((side[:, 1] > TOP_PX - 4) & (side[:, 1] < HEIGHT_PX - FOOT_PX + 4))
    sheet = drawn(Trace("s", "Before", None, "words"), 0.2, 10.0, 120, wording())
    assert not any("beat" in shape.classes for figure in sheet.figures for shape in figure.shapes)
    assert any(words.text == wording().say("repairs.trace.silent") for figure in sheet.figures for words in figure.words)
    assert pytest.approx(WIDTH_PX) == sheet.box[2]
