"""One period of the beat as curves on one time: oscillator, pallets, wheel, the push on the oscillator, its energy.

Where the oscillator is free outside the lift, the two lifts are drawn again below, on a time some ten times wider: hardly
anything else happens in the period.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from builder.drawing import labels
from builder.drawing.chart import Panel, Scale, around, ticks_of
from builder.drawing.path import number
from builder.drawing.sheet import Figure, Move, Shape, Sheet, Words
from builder.drawing.table import Plate, Row
from builder.going.beat import Winding
from builder.going.beat_curves import Array, Stretch, beat_curves
from builder.going.going import Going
from builder.going.motion import Motion
from builder.going.phases import phases
from builder.going.steady import Running
from builder.ground import words
from builder.ground.wording import Wording

WIDTH_PX = 720.0
LEFT_PX = 108.0
RIGHT_PX = 36.0
FIELD_PX = 108.0
APART_PX = 60.0
ROW_PX = 30.0
ABOVE_PX = 22.0
"""From the title of the first field up to the lowest label."""
BETWEEN_PX = 26.0
"""Between the two lifts."""
TOP_PX = 46.0
FOOT_PX = 84.0
CHAR_PX = 8.0
"""Width of a character of a label at full size."""
ROOM = 0.14
"""Part of a lift that is shown before and after it."""
SLOW = 0.05
"""One twentieth of real speed."""


@dataclass(frozen=True)
class _Quantity:
    """One field: its key in the wording, and the values of a stretch in the unit shown."""

    key: str
    of: Callable[[Stretch], Array]
    from_zero: bool = False


@dataclass(frozen=True)
class _Window:
    """A part of the period, 0 to 1, and where it lies across."""

    start: float
    end: float
    left_px: float
    right_px: float


def draw(going: Going, wording: Wording) -> Plate | None:
    """None where no beat is solved."""
    if going.winding is None or going.beat is None:
        return None
    running = {w.name: w.beat for w in going.windings if isinstance(w.beat, Running)}
    if not running:
        return None
    runs = {name: beat_curves(beat) for name, beat in running.items()}
    every = [stretch for run in runs.values() for stretch in run]
    period_s = float(2 * going.train.beat_s)
    detached = next(iter(running.values())).works.course.detached
    whole = _Window(0.0, 1.0, LEFT_PX, WIDTH_PX - RIGHT_PX)
    shown = _Shown(going, wording, runs, running, period_s)
    angle, energy = _angle(going), _energy(runs)
    if detached:
        shown.fields([whole], [angle, energy], every, numbered=False)
        windows = _lifts(running)
        shown.y += 26
        shown.heading(windows)
        shown.fields(windows, [_pallets(), _wheel(), _torque(every), energy], every, numbered=True)
    else:
        shown.fields([whole], [angle, _wheel(), _torque(every), energy], every, numbered=True)
    shown.stops(going.windings)
    sheet = Sheet(
        "beat-chart",
        wording.say("drawings.beat_chart.title", name=going.name),
        wording.say(f"drawings.beat_chart.desc_{'detached' if detached else 'attached'}", ms=words.figure(1000 * period_s, 3)),
        (0, 0, WIDTH_PX, shown.y),
        tuple(shown.stack),
        beat_ms=float(going.train.beat_s * 1000),
        scrub_s=period_s,
        speed=SLOW,
        classes="chart",
    )
    return Plate(sheet, ("time", "angle"), _rows(going.winding, going.movement.escapement.kind, wording))


class _Shown:
    """The drawing as it grows downwards."""

    def __init__(
        self, going: Going, wording: Wording, runs: dict[str, tuple[Stretch, ...]], running: dict[str, Running], period_s: float
    ) -> None:  # fmt: skip
        self.going, self.wording, self.runs, self.running, self.period_s = going, wording, runs, running, period_s
        self.stack: list[Figure] = []
        self.y = 0.0
        self.middle_px = 0.0

    def fields(self, windows: list[_Window], quantities: list[_Quantity], every: list[Stretch], numbered: bool) -> None:
        """Fields one under the other, in one or two windows side by side, with bands of phases, events and the cursor."""
        placed = {name: [self._events(beat, window) for window in windows] for name, beat in self.running.items()}
        highest = max((_rows_of(marks) for sets in placed.values() for marks in sets), default=0)
        top = self.y + (highest * ROW_PX + ABOVE_PX if numbered else 0.0) + TOP_PX
        foot = top + len(quantities) * FIELD_PX + (len(quantities) - 1) * APART_PX
        for name, beat in self.running.items():
            tops = [top + index * (FIELD_PX + APART_PX) for index in range(len(quantities))]
            bands = tuple(_bands(beat, window, tops) for window in windows)
            marks = tuple(_marks(set_, top, foot) for set_ in placed[name]) if numbered else ()
            self.stack.append(Figure(None, None, inner=(*bands, *marks), state=name))
        for index, quantity in enumerate(quantities):
            field = top + index * (FIELD_PX + APART_PX)
            self._field(quantity, windows, every, field, index == len(quantities) - 1)
        self.stack += [_cursor(self.going.motion, window, top - 8, foot) for window in windows]
        self.middle_px = self.middle_px or top + FIELD_PX / 2
        self.y = foot + FOOT_PX
        text = self.wording.say("drawings.beat_chart.ms")
        self.stack.append(Figure(None, None, words=(Words(WIDTH_PX - RIGHT_PX, foot + 52, text, "label", "end"),)))

    def _field(self, quantity: _Quantity, windows: list[_Window], every: list[Stretch], top: float, last: bool) -> None:
        low, high = around(np.concatenate([quantity.of(stretch) for stretch in every]), quantity.from_zero)
        up = Scale(low, high, top + FIELD_PX, top)
        for index, window in enumerate(windows):
            panel = Panel(self._across(window), up)
            ticks = ticks_of(panel.across, 4 if len(windows) == 2 else 5) if last else ()
            title = self.wording.say(f"drawings.beat_chart.{quantity.key}") if not index else ""
            self.stack.append(panel.frame(title, ticks_across=ticks, labelled=not index))
            for name, run in self.runs.items():
                self.stack.append(Figure(None, None, shapes=(Shape(self._line(panel, run, quantity), "drawn"),), state=name))

    def _across(self, window: _Window) -> Scale:
        ms = 1000 * self.period_s
        return Scale(window.start * ms, window.end * ms, window.left_px, window.right_px)

    def _line(self, panel: Panel, run: tuple[Stretch, ...], quantity: _Quantity) -> str:
        """The period as far as it lies in the window; what changes at once between two stretches is upright."""
        ms = 1000 * np.concatenate([stretch.times_s for stretch in run])
        values = np.concatenate([quantity.of(stretch) for stretch in run])
        start, end = panel.across.low, panel.across.high
        inside = (ms > start) & (ms < end)
        first, last = ([t] if ms[0] <= t <= ms[-1] else [] for t in (start, end))
        values = np.concatenate([np.interp(first, ms, values), values[inside], np.interp(last, ms, values)])
        return panel.curve(np.concatenate([first, ms[inside], last]), values)

    def heading(self, windows: list[_Window]) -> None:
        """Says that the lifts are drawn wider, and how much."""
        window = windows[0]
        wider = (window.right_px - window.left_px) / ((WIDTH_PX - LEFT_PX - RIGHT_PX) * (window.end - window.start))
        text = self.wording.say("drawings.beat_chart.wider", times=words.figure(wider, 2))
        self.stack.append(Figure(None, None, words=(Words(LEFT_PX, self.y, text, "label name", "start"),)))
        self.y += 16

    def stops(self, windings: tuple[Winding, ...]) -> None:
        """Where there is no steady beat, the fields stay empty and say so."""
        for winding in windings:
            if winding.name not in self.running:
                said = Words(WIDTH_PX / 2, self.middle_px, self.wording.say("drawings.stopped"), "label now")
                self.stack.append(Figure(None, None, words=(said,), state=winding.name))

    def _events(self, beat: Running, window: _Window) -> list[tuple[int, labels.Placed, str]]:
        """(number, place, text) of the events in a window."""
        across = self._across(window)
        found = [
            (n, float(across.px(1000 * t)), event_name(what, self.going.movement.escapement.kind, self.wording))
            for n, (t, what, _) in enumerate(beat.events, 1)
            if across.low < 1000 * t < across.high
        ]
        texts = [f"{n} {text}" for n, _, text in found]
        places = labels.rows(
            tuple(x for _, x, _ in found), tuple(CHAR_PX * len(text) for text in texts), window.left_px, window.right_px
        )
        return [(n, place, text) for (n, _, _), place, text in zip(found, places, texts, strict=True)]


def event_name(what: str, kind: str, wording: Wording) -> str:
    """An event of a kind of escapement in words; a new face or corner is named with it in the table only."""
    if what.startswith("passes to"):
        return wording.say("drawings.events.passes")
    own = f"drawings.events.{what}, {kind}"  # a recoil anchor locks nothing
    return wording.say(own if own in wording else f"drawings.events.{what}")


def _angle(going: Going) -> _Quantity:
    return _Quantity(f"{going.movement.oscillator.kind}_angle", lambda s: np.degrees(s.oscillator_rad))


def _pallets() -> _Quantity:
    return _Quantity("pallet_angle", lambda s: np.degrees(s.pallet_rad))


def _wheel() -> _Quantity:
    return _Quantity("wheel_angle", lambda s: np.degrees(s.wheel_rad), from_zero=True)


def _torque(every: list[Stretch]) -> _Quantity:
    """In N·mm, or µN·m where that would be thousandths."""
    most = max(float(np.abs(stretch.torque_nm).max()) for stretch in every)
    if most < 1e-5:
        return _Quantity("torque_micro", lambda s: 1e6 * s.torque_nm)
    return _Quantity("torque", lambda s: 1e3 * s.torque_nm)


def _energy(runs: dict[str, tuple[Stretch, ...]]) -> _Quantity:
    """In µJ above what it was at the turn with which the period begins, so that one scale shows every state."""
    start = {id(stretch): run[0].energy_j[0] for run in runs.values() for stretch in run}
    return _Quantity("energy", lambda s: 1e6 * (s.energy_j - start[id(s)]))


def _lifts(running: dict[str, Running]) -> list[_Window]:
    """The two parts of the period in which the oscillator is not free in some state, with some room."""
    spans: list[list[tuple[float, float]]] = [[], []]
    for beat in running.values():
        for swing, (low, high) in zip(spans, ((0.0, 0.5), (0.5, 1.0)), strict=True):
            inside = [p for p in phases(beat) if p.key != "free" and low <= (p.start + p.end) / 2 < high]
            swing.append((inside[0].start, inside[-1].end))
    width = max(max(b for _, b in half) - min(a for a, _ in half) for half in spans) * (1 + 2 * ROOM)
    field = (WIDTH_PX - LEFT_PX - RIGHT_PX - BETWEEN_PX) / 2
    found = []
    for n, half in enumerate(spans):
        middle = (max(b for _, b in half) + min(a for a, _ in half)) / 2
        left = LEFT_PX + n * (field + BETWEEN_PX)
        found.append(_Window(middle - width / 2, middle + width / 2, left, left + field))
    return found


def _rows_of(placed: list[tuple[int, labels.Placed, str]]) -> int:
    """How many rows of labels there are."""
    return max((one.row + 1 for _, one, _ in placed), default=0)


def _bands(beat: Running, window: _Window, tops: list[float]) -> Figure:
    """Faint bands where the escapement drives, and where it drops, unlocks or recoils."""
    shapes = []
    for phase in phases(beat):
        a, b = max(phase.start, window.start), min(phase.end, window.end)
        if a >= b or phase.key in ("free", "locking"):
            continue
        px = Scale(window.start, window.end, window.left_px, window.right_px)
        x0, x1 = number(float(px.px(a))), number(float(px.px(b)))
        fields = "".join(f"M{x0} {number(top)}H{x1}v{number(FIELD_PX)}H{x0}z" for top in tops)
        shapes.append(Shape(fields, f"phase {phase.key}"))
    return Figure(None, None, shapes=tuple(shapes))


def _marks(placed: list[tuple[int, labels.Placed, str]], top: float, foot: float) -> Figure:
    """A hairline for each event with its number, and where there is room its name."""
    count = _rows_of(placed)
    lines, figures = [], []
    for n, one, text in placed:
        y = top - TOP_PX - ABOVE_PX - (count - 1 - one.row) * ROW_PX
        lines.append(f"M{number(one.x)} {number(y - 10)}V{number(foot)}")
        x = one.x + (labels.PAST_PX if one.anchor == "start" else -labels.PAST_PX)
        said = (Words(x, y, text, "label roomy", one.anchor), Words(x, y, str(n), "label narrow", one.anchor))
        figures.append(Figure(f"event-{n}", None, words=said))
    return Figure(None, None, shapes=(Shape("".join(lines), "moment"),), inner=tuple(figures))


def _cursor(motion: Motion, window: _Window, top: float, foot: float) -> Figure:
    """The moment shown; seen while it lies in the window, and not at all where the clock stands."""
    ms, exact = round(motion.period_ms), motion.period_ms
    stands = motion.oscillator_rad is not None and not np.any(motion.oscillator_rad)
    left, right = number(window.left_px), number(window.right_px)
    times = tuple(dict.fromkeys((0.0, window.start, window.end, 1.0)))
    at = {0.0: left, window.start: left, window.end: right, 1.0: right} if not stands else dict.fromkeys(times, left)
    across = Move("translate", tuple(f"{at[t]} 0" for t in times), times, ms, exact_ms=exact)
    seen = ["hidden" if stands or not window.start <= t < window.end else "visible" for t in times[:-1]]
    if len(seen) == 1:
        times, seen = (0.0, 0.5, 1.0), seen * 2
    shows = Move("visibility", tuple(seen), times[:-1], ms, steps=True, exact_ms=exact)
    line = Shape(f"M0 {number(top)}V{number(foot)}", "outline cursor")
    return Figure(None, None, moves=(across, shows), shapes=(line,))


def _rows(winding: Winding, kind: str, wording: Wording) -> tuple[Row, ...]:
    """Every event with its time and where the oscillator is."""
    if not isinstance(winding.beat, Running) or winding.path is None:
        return ()
    rows = []
    for n, (t, what, pallet) in enumerate(winding.beat.events, 1):
        face = what.removeprefix("passes to ")
        happens = event_name(what, kind, wording) if face == what else face
        name = wording.say("drawings.events.row", what=happens, pallet=wording.say(f"drawings.pallets.{pallet}"))
        angle = math.degrees(float(np.interp(t, winding.path.times_s, winding.path.oscillator_rad)))
        cells = {"time": f"{1000 * t:.1f}{words.THIN}ms", "angle": f"{words.signed(angle, 2)}°"}
        rows.append(Row(n, f"event-{n}", name, cells))
    return tuple(rows)
