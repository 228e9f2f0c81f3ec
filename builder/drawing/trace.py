"""The trace of a beat as a chart: each beat a mark, its height how far it comes before its time, folded at the edges.

Beats of one side are dots, those of the other upright strokes, so that the two lines of a clock out of beat are told apart by
form. Several traces drawn in the same window are to one scale.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from builder.bench.timing.noises import Noises
from builder.bench.timing.trace import ahead_ms, folded
from builder.drawing.chart import Panel, Scale, ticks_of
from builder.drawing.path import number
from builder.drawing.sheet import Figure, Shape, Sheet, Words
from builder.ground.wording import Wording

WIDTH_PX, HEIGHT_PX = 460.0, 280.0
LEFT_PX, RIGHT_PX, TOP_PX, FOOT_PX = 58.0, 14.0, 34.0, 52.0
STROKE_PX = 6.0
WINDOWS_MS = (2.0, 4.0, 10.0, 20.0, 40.0, 100.0, 200.0, 400.0, 1000.0)
UNFOLDED_MS = 40.0
"""A window grows to hold a drift of so much; a greater one is folded."""


@dataclass(frozen=True)
class Trace:
    """One trace: what stands over it, the beats (None: nothing is heard), what is said instead, and what it says in words."""

    slug: str
    heading: str
    heard: Noises | None
    desc: str


def window_ms(traces: Sequence[Trace], beat_s: float) -> float:
    """The least round window in which all of them are easily read."""
    needed = [WINDOWS_MS[0]]
    for trace in traces:
        if trace.heard is not None:
            early = ahead_ms(trace.heard, beat_s)
            n = trace.heard.beats.astype(float)
            slope, foot = np.polyfit(n, early, 1)
            apart = 3.0 * float(np.ptp(early - slope * n - foot))
            needed += [apart, min(2.2 * float(np.max(np.abs(early))), UNFOLDED_MS)]
    return next((window for window in WINDOWS_MS if window >= max(needed)), WINDOWS_MS[-1])


def drawn(trace: Trace, beat_s: float, window: float, count: int, wording: Wording) -> Sheet:
    """The chart of one trace over `count` beats."""
    panel = Panel(
        Scale(0.0, float(count), LEFT_PX, WIDTH_PX - RIGHT_PX), Scale(-window / 2, window / 2, HEIGHT_PX - FOOT_PX, TOP_PX)
    )
    stack = [panel.frame(trace.heading, most=5, ticks_across=ticks_of(panel.across, 5))]
    stack.append(Figure(None, None, shapes=(Shape(panel.level(0.0), "moment"),)))
    if trace.heard is None:
        at = ((panel.across.start_px + panel.across.end_px) / 2, float(panel.up.px(window / 8)))
        stack.append(Figure(None, None, words=(Words(*at, wording.say("repairs.trace.silent")),)))
    else:
        stack.append(Figure(None, None, shapes=_marks(trace.heard, beat_s, window, count, panel)))
    foot = Words(panel.across.end_px, HEIGHT_PX - 12, wording.say("repairs.trace.across"), "label", "end")
    side = Words(panel.across.end_px, TOP_PX - 6, wording.say("repairs.trace.up"), "label heading quiet", "end")
    stack.append(Figure(None, None, words=(foot, side)))
    return Sheet(trace.slug, trace.heading, trace.desc, (0, 0, WIDTH_PX, HEIGHT_PX), tuple(stack), classes="chart trace-chart")


def _marks(heard: Noises, beat_s: float, window: float, count: int, panel: Panel) -> tuple[Shape, Shape]:
    """Dots and strokes of the first `count` beats."""
    shown = heard.beats < count
    n = heard.beats[shown]
    points = panel.points(n, folded(ahead_ms(heard, beat_s)[shown], window))
    dots = "".join(f"M{number(float(x), 1)} {number(float(y), 1)}h0" for x, y in points[n % 2 == 0])
    bars = "".join(
        f"M{number(float(x), 1)} {number(float(y) - STROKE_PX / 2, 1)}v{number(STROKE_PX, 1)}" for x, y in points[n % 2 == 1]
    )
    return Shape(dots, "beat-dot"), Shape(bars, "beat-bar")
