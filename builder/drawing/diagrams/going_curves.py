"""Over one winding: torque at the source and at the escape wheel, amplitude and rate, one under the other on one time.

Between the points that are solved the line is a curve that keeps to their shape and never overshoots them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from builder.drawing.chart import Panel, Scale, around, ticks_of
from builder.drawing.path import circle, number
from builder.drawing.sheet import Figure, Move, Shape, Sheet, Words
from builder.drawing.table import Plate, Row
from builder.going.beat import Curves
from builder.going.going import Going
from builder.ground import words
from builder.ground.wording import Wording

Array = np.ndarray

WIDTH_PX = 720.0
LEFT_PX = 104.0
RIGHT_PX = 26.0
TOP_PX = 92.0
FIELD_PX = 128.0
APART_PX = 62.0
FOOT_PX = 96.0
DOT_PX = 5.0

SPEED = 3600.0
"""An hour in a second."""
STEADY_S_PER_DAY = 0.5
"""An axis of rates spans at least twice this, so that a steady clock's line lies flat."""


@dataclass(frozen=True)
class _Line:
    """One field: its key in the wording, values at the solved points, axis, and how a value is said."""

    key: str
    values: Array
    low: float
    high: float
    digits: int

    def text(self, value: float) -> str:
        """A value with its unit."""
        if self.key == "rate":
            return words.signed(value)
        return words.figure(value, self.digits)


def draw(going: Going, wording: Wording) -> Plate | None:
    """None where no beat is solved."""
    if going.beat is None or going.winding is None:
        return None
    curves = going.beat.curves
    across = Scale(0.0, float(curves.hours_gone[-1]), LEFT_PX, WIDTH_PX - RIGHT_PX)
    stack: list[Figure] = []
    lines = _lines(curves)
    foot = TOP_PX
    for index, one in enumerate(lines):
        top = TOP_PX + index * (FIELD_PX + APART_PX)
        foot = top + FIELD_PX
        panel = Panel(across, Scale(one.low, one.high, foot, top))
        last = index == len(lines) - 1
        ticks = ticks_of(across, 5) if last else ()
        stack.append(panel.frame(wording.say(f"drawings.going_curves.{one.key}"), ticks_across=ticks))
        stack.append(_line(one, panel, curves, wording))
        stack += [_dot(going, name, one, panel) for name in (w.name for w in going.windings)]
    stack.append(_states(going, across, foot, wording))
    said = Words(WIDTH_PX - RIGHT_PX, foot + 58, wording.say("drawings.going_curves.hours"), "label", "end")
    stack.append(Figure(None, None, words=(said,)))
    stack.append(_cursor(going, across, foot))
    hours = going.train.going_hours or Fraction(round(float(curves.hours_gone[-1]), 2)).limit_denominator(100)
    sheet = Sheet(
        "going-curves",
        wording.say("drawings.going_curves.title", name=going.name),
        wording.say("drawings.going_curves.desc", hours=words.duration(hours), text=_said(curves, wording)),
        (0, 0, WIDTH_PX, foot + FOOT_PX),
        tuple(stack),
        scrub_s=float(hours) * 3600,
        speed=SPEED,
        classes="chart",
    )
    return Plate(sheet, ("source_torque", "escape_torque", "amplitude", "rate"), _rows(going, wording))


def _lines(curves: Curves) -> list[_Line]:
    """The four fields from top to bottom; amplitude and rate are nan where the clock stops."""
    found = [
        _Line("source", curves.source_nmm, *around(curves.source_nmm, from_zero=True), 3),
        _Line("escape", curves.escape_nmm, *around(curves.escape_nmm, from_zero=True), 3),
    ]
    if np.isfinite(curves.amplitude_rad).any():
        degrees = np.degrees(curves.amplitude_rad)
        found.append(_Line("amplitude", degrees, *around(degrees, from_zero=True), 3))
        rate = curves.rate_s_per_day
        middle = float(np.nanmean(rate))
        low, high = around([*rate, middle - STEADY_S_PER_DAY, middle + STEADY_S_PER_DAY])
        found.append(_Line("rate", rate, low, high, 2))
    return found


def _line(one: _Line, panel: Panel, curves: Curves, wording: Wording) -> Figure:
    """The curve; where the clock stops, it ends with a cross and a word."""
    shapes = [Shape(panel.smooth(curves.hours_gone, one.values), "drawn")]
    said: tuple[Words, ...] = ()
    if (last := stops_after(one.values)) is not None:
        x, y = (float(v) for v in panel.points(curves.hours_gone[last : last + 1], one.values[last : last + 1])[0])
        n = number
        cross = f"M{n(x - 6)} {n(y - 6)}l12 12M{n(x - 6)} {n(y + 6)}l12-12"
        shapes.append(Shape(cross, "outline"))
        right = x < panel.across.end_px - 90
        text = wording.say("drawings.going_curves.stops")
        said = (Words(x + (12 if right else -12), y, text, "label over", "start" if right else "end"),)
    return Figure(one.key, wording.say(f"drawings.going_curves.{one.key}"), shapes=tuple(shapes), words=said)


def stops_after(values: Array) -> int | None:
    """Index of the last point at which it goes, where it stops before the end; None where it goes to the end, or never."""
    going = np.flatnonzero(np.isfinite(values))
    return None if not len(going) or going[-1] == len(values) - 1 else int(going[-1])


def _dot(going: Going, name: str, one: _Line, panel: Panel) -> Figure:
    """Where a state of winding lies on a curve, shown while that state is chosen."""
    assert going.beat is not None
    curves, winding = going.beat.curves, going.beat[name]
    hours = float(curves.hours_gone[-1]) - winding.hours_left
    index = int(np.argmin(np.abs(curves.hours_gone - hours)))
    value = float(one.values[index])
    if not math.isfinite(value):
        return Figure(None, None, state=name)
    at = (float(panel.across.px(curves.hours_gone[index])), float(panel.up.px(value)))
    side = Words(panel.across.end_px, panel.up.end_px - 6, one.text(value), "label heading of-state", "end")
    return Figure(None, None, shapes=(Shape(circle(DOT_PX, at), "spot"),), words=(side,), state=name)


def _states(going: Going, across: Scale, foot: float, wording: Wording) -> Figure:
    """A hairline through all fields at each state of winding, its name at the top."""
    assert going.beat is not None
    total = float(going.beat.curves.hours_gone[-1])
    lines, said = [], []
    for winding in going.windings:
        x = float(across.px(total - winding.hours_left))
        lines.append(f"M{number(x)} {number(TOP_PX - 46)}V{number(foot)}")
        anchor = "start" if x < LEFT_PX + 20 else "end" if x > WIDTH_PX * 0.75 else "middle"
        x = across.end_px if anchor == "end" else x
        text = wording.say(f"site.player.state_names.{winding.name}")
        said.append(Words(x, TOP_PX - 66, text, "label", anchor))  # type: ignore[arg-type]
    return Figure(None, None, shapes=(Shape("".join(lines), "moment"),), words=tuple(said))


def _cursor(going: Going, across: Scale, foot: float) -> Figure:
    """The moment shown, from wound to run down, over and over."""
    assert going.beat is not None
    ms = round(float(going.beat.curves.hours_gone[-1]) * 3_600_000)
    ends = f"{number(across.start_px)} 0", f"{number(across.end_px)} 0"
    move = Move("translate", ends, (0.0, 1.0), ms)
    return Figure(None, None, moves=(move,), shapes=(Shape(f"M0 {number(TOP_PX - 30)}V{number(foot)}", "outline cursor"),))


def _said(curves: Curves, wording: Wording) -> str:
    """What the curves do, in a sentence."""
    torque = words.figure(float(curves.source_nmm[0]), 3), words.figure(float(curves.source_nmm[-1]), 3)
    key = "even" if torque[0] == torque[1] else "falls"
    text = wording.say(f"drawings.going_curves.{key}", start=torque[0], end=torque[1])
    if (last := stops_after(curves.amplitude_rad)) is not None:
        before, after = (words.figure(float(hours), 3) for hours in curves.hours_gone[last : last + 2])
        text += " " + wording.say("drawings.going_curves.stop_text", before=before, after=after)
    return text


def _rows(going: Going, wording: Wording) -> tuple[Row, ...]:
    """The states of winding, in figures."""
    assert going.beat is not None
    curves, rows = going.beat.curves, []
    for n, index in enumerate(range(len(curves.hours_gone)), 1):
        goes = math.isfinite(float(curves.amplitude_rad[index]))
        hours = words.figure(float(curves.hours_gone[index]), 3)
        degrees = f"{words.figure(math.degrees(curves.amplitude_rad[index]), 3)}°" if goes else ""
        cells = {
            "source_torque": f"{words.figure(float(curves.source_nmm[index]), 3)}{words.THIN}N·mm",
            "escape_torque": f"{words.figure(float(curves.escape_nmm[index]), 3)}{words.THIN}N·mm",
            "amplitude": degrees or wording.say("drawings.going_curves.stops"),
            "rate": f"{words.signed(float(curves.rate_s_per_day[index]))}{words.THIN}s" if goes else "",
        }
        name = wording.say("drawings.going_curves.after", hours=hours)
        rows.append(Row(n, f"hour-{n}", name, cells))
    return tuple(rows)
