"""Ratchet and click while one winds: half a turn of the key, let go, and gripped anew, in slow motion."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from builder.drawing.balloons import Target
from builder.drawing.path import View, circle, number
from builder.drawing.sheet import Figure, Move, Shape, Sheet, Words
from builder.drawing.source.column import column
from builder.drawing.source.cut import still_twin
from builder.drawing.source.hold import FORM, Hold, click_figure, end_on, hold, ratchet_figure, spring_d, spring_foot
from builder.drawing.source.sized import great_wheel, names, say, teeth_said, wound_from_back
from builder.drawing.table import Plate, Row
from builder.going.going import Going
from builder.going.motion import thinned
from builder.ground.wording import Wording
from builder.parts.source.going_barrel import GoingBarrel
from builder.parts.teeth.riding import drop_rad, lift_rad

REACH_PX = 300.0
LINE_PX = 60.0
EDGE_PX = 40.0
SLOW = 0.25
"""A quarter of real speed."""
WIND_MS, LET_GO_MS, WHOLE_MS = 1600, 120, 2600
"""Half a turn of the key, the fall back on to the click, and all with the pause (a hand's usual pace; no source)."""
BEYOND = 0.08
"""The hand stops this part of a tooth after the click has dropped."""
FALL_MS = 1
"""What the drop is given: a click spring throws the click in within some milliseconds."""
WITHIN_PX = 0.05
"""Key frames stay this near to the computed lift, at the nose."""
SAMPLES = 49


def draw(going: Going, wording: Wording) -> Plate | None:
    """None without a ratchet."""
    sense = going.train[going.train.path[0]].sense
    held = hold(going, sense)
    if held is None:
        return None
    view = View(REACH_PX / held.reach_mm, wound_from_back(going.movement))
    called, wheel = names(wording), great_wheel(going)
    on_plate = isinstance(going.movement.source, GoingBarrel)
    carrier = "plates" if on_plate else wheel.id
    turning, riding, bending = moves(held, view)
    ground = Figure(carrier, None, shapes=(Shape(circle(REACH_PX), "plate" if on_plate else "brass"),))
    ratchet = ratchet_figure(held, view, called["ratchet-wheel"])
    square = end_on(going.movement.source.square_mm or 0.3 * held.tip_mm, view, called)
    click = click_figure(held, view, called["click"])
    stack = [
        ground,
        Figure(None, None, moves=(turning,), inner=(ratchet, square)),
        Figure("click-spring", called["click-spring"], moves=(bending,), shapes=(Shape(bending.values[0], "blued wire blade"),)),
        spring_foot(held, view),
        Figure("click", click.label, click.at, moves=(riding,), shapes=click.shapes),
        *_said(wording),
    ]
    spots = {
        "ratchet-wheel": _spot(view, held, complex(-0.72, 0.1)),
        "click": view.px(np.array(held.screw_mm)),
        "click-spring": view.px(held.spring_line(0.0)[0]),
        "winding-square": np.zeros(2),
        carrier: _spot(view, held, complex(-1.35, -0.6)),
    }
    numbers = {part: n for n, part in enumerate(spots, 1)}
    side = REACH_PX + LINE_PX
    targets = [Target(part, numbers[part], (float(at[0]), float(at[1]))) for part, at in spots.items()]
    for x in (-side, side):
        stack += column([t for t in targets if (t.at[0] > 0) == (x > 0)], x, -REACH_PX + 26, REACH_PX - 26)
    box = (-side - EDGE_PX, -REACH_PX - 12, 2 * (side + EDGE_PX), 2 * REACH_PX + 64)
    back = math.degrees(drop_rad(FORM, held.teeth, held.tip_mm, held.length_mm) + BEYOND * 2 * math.pi / held.teeth)
    sheet = Sheet(
        "ratchet",
        wording.say("drawings.ratchet.title", name=going.name),
        wording.say("drawings.ratchet.desc", teeth=held.teeth, back=f"{back:.1f}"),
        box,
        tuple(stack),
        scrub_s=WHOLE_MS / 1000,
        speed=SLOW,
    )
    lifts = lift_rad(FORM, held.teeth, held.tip_mm, held.length_mm, 2 * math.pi / held.teeth)
    sizes = {
        "ratchet-wheel": f"{teeth_said(wording, held.teeth)}, {say(wording, 'across', diameter=2 * held.tip_mm)}",
        "click": say(wording, "lifts", lift=f"{math.degrees(float(lifts)):.1f}", back=f"{back:.1f}"),
        wheel.id: teeth_said(wording, wheel.gear.teeth),
    }
    rows = []
    for part, n in numbers.items():
        key = "click-plate" if part == "plates" else "great-wheel" if part == wheel.id else part
        told = wording[f"drawings.winding.parts.{key}"]
        rows.append(Row(n, part, told["name"], {"does": told["does"], "sizes": sizes.get(part, "")}))
    return Plate(sheet, ("does", "sizes"), tuple(rows))


@lru_cache(maxsize=4)
def moves(held: Hold, view: View) -> tuple[Move, Move, Move]:
    """Wheel, click and click spring over half a turn of the key, the letting go and the pause."""
    pitch = 2 * math.pi / held.teeth
    drop = drop_rad(FORM, held.teeth, held.tip_mm, held.length_mm)
    count = max(1, held.teeth // 2)
    beyond = drop + BEYOND * pitch
    whole = count * pitch + beyond
    wind, gone = WIND_MS / WHOLE_MS, (WIND_MS + LET_GO_MS) / WHOLE_MS
    turned = [0.0, *(held.wound * math.degrees(a) for a in (whole, count * pitch))]
    degrees = [view.turn_deg(a) for a in (*turned, turned[-1])]
    # what one repetition adds must be exact: it is summed
    wheel = Move(
        "rotate",
        tuple([number(d, 4) for d in degrees[:-1]] + [f"{degrees[-1]:.10f}"]),
        (0.0, wind, gone, 1.0),
        WHOLE_MS,
        sums=True,
    )
    past = np.linspace(0.0, pitch + drop, SAMPLES)
    past[-1] -= 1e-9 * pitch  # the click is still on the tip
    lifts = lift_rad(FORM, held.teeth, held.tip_mm, held.length_mm, past)
    kept = thinned(past, lifts, WITHIN_PX / view.scale / held.length_mm)
    after = np.concatenate([[drop], past[kept][past[kept] > drop * 1.0001]])
    times, angles = _over_teeth(past[kept], after, past, lifts, count, pitch, wind / whole, beyond)
    back = np.linspace(beyond, 0.0, 5)[1:]
    times += [wind + (gone - wind) * (1 - float(a) / beyond) for a in back]
    angles += [float(a) for a in np.interp(back, past, lifts)]
    times, angles = [*times, 1.0], [*angles, 0.0]
    # lifting turns the click clockwise where the wheel is wound counter-clockwise
    lifted = tuple(number(view.turn_deg(-held.wound * math.degrees(a)), 3) for a in angles)
    click = Move("rotate", lifted, tuple(times), WHOLE_MS)
    spring = Move("d", tuple(spring_d(held, view, a) for a in angles), tuple(times), WHOLE_MS)
    return wheel, click, spring


def _over_teeth(
    first: np.ndarray, after: np.ndarray, past: np.ndarray, lifts: np.ndarray, count: int, pitch: float, slowness: float,
    beyond: float,
) -> tuple[list[float], list[float]]:  # fmt: skip
    """Key times and lifts while `count` teeth pass: up each back, down over each tip, and a little on to the next back."""
    times: list[float] = []
    angles: list[float] = []
    for tooth in range(count + 1):
        on = first if tooth == 0 else after
        if tooth == count:
            on = np.array([after[0], beyond])
        starts = [(tooth * pitch + float(a)) * slowness for a in on]
        if tooth:
            starts[0] += FALL_MS / WHOLE_MS
        times += starts
        angles += [float(a) for a in np.interp(on, past, lifts)]
    return times, angles


def _said(wording: Wording) -> list[Figure]:
    """What happens at this moment, in words."""
    at = (0.0, REACH_PX + 30)
    cuts = (0.0, WIND_MS / WHOLE_MS, (WIND_MS + LET_GO_MS) / WHOLE_MS)
    made = []
    for n, key in enumerate(("winding", "let_go", "held")):
        shown = tuple("visible" if each == n else "hidden" for each in range(3))
        words = (Words(0, 0, wording.say(f"drawings.ratchet.{key}"), "label now"),)
        made.append(Figure(None, None, at, moves=(Move("visibility", shown, cuts, WHOLE_MS, steps=True),), words=words))
    return [*made, still_twin(made[-1])]


def _spot(view: View, held: Hold, place: complex) -> np.ndarray:
    """A point about the centre, by the ratchet's radius, away from the click."""
    turned = place * np.exp(1j * held.click_rad)
    return np.asarray(view.px(held.tip_mm * np.array([turned.real, turned.imag])))
