"""The escapement close up, in slow motion: what touches what, named as it happens, with the period as a strip below."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np

from builder.drawing import figures
from builder.drawing.escapement import escapement_figures
from builder.drawing.oscillator import on_the_plan
from builder.drawing.path import View, circle, line, number
from builder.drawing.sheet import Figure, Move, Shape, Sheet, Words
from builder.drawing.table import Plate, Row
from builder.going.going import Going
from builder.going.motion import Motion
from builder.going.phases import Phase, phases
from builder.going.steady import Running, Stopped
from builder.ground import words
from builder.ground.wording import Wording

WIDTH_PX = 900.0
HEIGHT_PX = 640.0
STRIP_PX = 74.0
SLOW = 0.05
"""One twentieth of real speed."""


def draw(going: Going, wording: Wording) -> Plate | None:
    """None where the escapement is only counted or nothing is solved."""
    draft = going.plan.draft
    if draft is None or going.winding is None:
        return None
    view, centre = _view(going)
    stack = [*escapement_figures(going, view), *on_the_plan(going, view, rim=False)]
    stack.append(_construction(going, view))
    at = figures.px_at(view, centre)
    box = (at[0] - WIDTH_PX / 2, at[1] - HEIGHT_PX / 2, WIDTH_PX, HEIGHT_PX + STRIP_PX)
    named = {w.name: phases(w.beat) if isinstance(w.beat, Running) else () for w in going.windings}
    stack.append(_strip(going, named, wording, box))
    sheet = Sheet(
        "escapement",
        wording.say("drawings.escapement.title", name=going.name),
        wording.say("drawings.escapement.desc", teeth=going.train.escape_teeth),
        box,
        tuple(stack),
        beat_ms=float(going.train.beat_s * 1000),
        scrub_s=float(going.train.beat_s * 2),
        speed=SLOW,
        classes="cropped clear",
    )
    return Plate(sheet, ("happens", "lasts"), _rows(going.winding.beat, named[going.winding.name], wording))


def _view(going: Going) -> tuple[View, tuple[float, float]]:
    """Scale and middle (mm) that show the pallets and the teeth they embrace."""
    draft, centres = going.plan.draft, going.plan.centres
    assert draft is not None
    frame = going.plan.frame
    points = np.concatenate([frame.points(drawn.outline_mm) for drawn in draft.pallets]) + np.array(centres["pallets"])
    escape = np.array(centres[going.train.path[-1]])
    ahead = np.array(centres["pallets"]) - escape
    ahead /= np.hypot(*ahead)
    side = np.array([-ahead[1], ahead[0]])
    toothed = [escape + draft.tip_mm * (math.cos(a) * ahead + math.sin(a) * side) for a in np.linspace(-1.15, 1.15, 9)]
    points = np.concatenate([points, toothed, [escape + 0.35 * draft.tip_mm * ahead]])
    if draft.balance:
        radius = max(float(np.max(np.hypot(*drawn.outline_mm.T))) for drawn in draft.balance)
        points = np.concatenate(
            [points, [np.array(centres["balance"]) + radius * np.array(d) for d in ((1, 0), (-1, 0), (0, 1), (0, -1))]]
        )
    low, high = points.min(axis=0), points.max(axis=0)
    scale = 0.94 * min(WIDTH_PX / (high[0] - low[0]), HEIGHT_PX / (high[1] - low[1]))
    middle = (low + high) / 2
    return View(float(scale)), (float(middle[0]), float(middle[1]))


def _construction(going: Going, view: View) -> Figure:
    """Line of centres, the circle of the locking corners, and the pallets' own circle."""
    draft, centres = going.plan.draft, going.plan.centres
    assert draft is not None
    escape, pallets = (figures.px_at(view, centres[name]) for name in (going.train.path[-1], "pallets"))
    shapes = [
        Shape(line(*escape, *pallets, places=1), "construction centres"),
        Shape(circle(draft.tip_mm * view.scale, escape, 1), "construction"),
    ]
    reach = math.sqrt(max(draft.centre_mm**2 - draft.tip_mm**2, 0.0))
    shapes.append(Shape(circle(reach * view.scale, pallets, 1), "construction"))
    if draft.balance:
        shapes.append(Shape(line(*pallets, *figures.px_at(view, centres["balance"]), places=1), "construction centres"))
    return Figure(None, None, shapes=tuple(shapes), classes="constructions")


def _strip(going: Going, named: dict[str, tuple[Phase, ...]], wording: Wording, box: tuple[float, float, float, float]) -> Figure:
    """The period from left to right, cut where something changes, a cursor, and the name of what happens now."""
    assert going.winding is not None
    left, top, width, height = box
    x0, x1, y = left + 24, left + width - 24, top + height - 30
    bands = tuple(_bands(state, these, x0, x1 - x0, y) for state, these in named.items())
    now = named[going.winding.name]
    cursor = Figure(
        None,
        None,
        moves=(_across(going.motion, x0, x1 if now else x0), _seen(going.motion, bool(now))),
        shapes=(Shape(f"M0 {number(y - 8)}V{number(y + 24)}", "outline cursor"),),
    )
    at = (left + width / 2, y - 26)
    names = [
        Figure(None, None, at, moves=(_shown(going.motion, now, key),), words=(Words(0, 0, _name(key, wording), "label now"),))
        for key in dict.fromkeys(phase.name for these in named.values() for phase in these)
    ]
    stopped = [
        Figure(None, None, at, words=(Words(0, 0, wording.say("drawings.stopped"), "label now"),), state=state)
        for state, these in named.items()
        if not these
    ]
    corner = (left + 12, top + 26)
    said = Words(0, 0, wording.say("drawings.rebanks"), "label now", "start")
    rebanks = [
        Figure(None, None, corner, words=(said,), state=winding.name)
        for winding in going.windings
        if isinstance(winding.beat, Running) and winding.beat.rebanks
    ]
    # wider than the drawing: a frame of another shape shows what lies beside it
    edge = f"M{number(left - width)} {number(y - 48)}h{number(3 * width)}v{number(STRIP_PX + width)}h{number(-3 * width)}z"
    ground = Figure(None, None, shapes=(Shape(edge, "ground"),))
    return Figure(None, None, inner=(ground, *bands, cursor, *names, *stopped, *rebanks), classes="strip")


def _bands(state: str, these: tuple[Phase, ...], x0: float, span: float, y: float) -> Figure:
    shapes = []
    for phase in these:
        a, b = number(x0 + phase.start * span), number(x0 + phase.end * span)
        shapes.append(Shape(f"M{a} {number(y)}H{b}V{number(y + 16)}H{a}z", f"band {phase.key}"))
    return Figure(None, None, shapes=tuple(shapes), state=state)


def _across(motion: Motion, x0: float, x1: float) -> Move:
    ends = f"{number(x0)} 0", f"{number(x1)} 0"
    return Move("translate", ends, (0.0, 1.0), round(motion.period_ms), exact_ms=motion.period_ms)


def _seen(motion: Motion, runs: bool) -> Move:
    """The cursor of a beat that there is; where the movement stops there is no time to follow."""
    value = "visible" if runs else "hidden"
    return Move("visibility", (value, value), (0.0, 0.5), round(motion.period_ms), steps=True, exact_ms=motion.period_ms)


def _shown(motion: Motion, named: tuple[Phase, ...], key: str) -> Move:
    """Visible while a phase of that name lasts."""
    times, values = [0.0], ["visible" if named and named[0].name == key else "hidden"]
    for before, phase in pairwise(named):
        if (phase.name == key) != (before.name == key):
            times.append(phase.start)
            values.append("visible" if phase.name == key else "hidden")
    if len(times) == 1:
        times.append(0.5)
        values.append(values[0])
    return Move("visibility", tuple(values), tuple(times), round(motion.period_ms), steps=True, exact_ms=motion.period_ms)


def _name(key: str, wording: Wording) -> str:
    return wording.say(f"drawings.phases.{key}")


def _rows(beat: Running | Stopped, named: tuple[Phase, ...], wording: Wording) -> tuple[Row, ...]:
    rows = []
    for n, phase in enumerate(named, 1):
        assert isinstance(beat, Running), "what stops has no phases"
        part = "escape-wheel" if phase.key == "drop" else "pallets"
        lasts = f"{1000 * beat.period_s * (phase.end - phase.start):.1f}{words.THIN}ms"
        cells = {"happens": wording.say(f"drawings.phase_meaning.{phase.key}"), "lasts": lasts}
        rows.append(Row(n, part, _name(phase.name, wording), cells))
    return tuple(rows)
