"""The oscillator whole: pendulum at true scale over its degree plate, or balance with its hairspring; where impulse falls."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from builder.drawing import figures
from builder.drawing.escapement import escapement_figures
from builder.drawing.moves import slide
from builder.drawing.oscillator import balance_figures, bob_half_mm, pendulum_figures, way
from builder.drawing.path import View, number
from builder.drawing.sheet import Figure, Move, Shape, Sheet, Words
from builder.drawing.table import Plate, Row
from builder.going.beat import Winding
from builder.going.going import Going
from builder.going.phases import phases
from builder.going.steady import Running
from builder.ground import words
from builder.ground.wording import Wording
from builder.parts.escapement import DetachedLever
from builder.parts.oscillator.balance import Balance
from builder.parts.oscillator.pendulum import Pendulum

SIDE_PX = 760.0
PENDULUM_PX = 820.0
BESIDE_DEG = 11.0
"""A figure of the scale gives way to that of a turning point so near."""
ASIDE_PX = 16.0
"""A figure of the scale keeps so far from escape wheel and pallets."""


Circles = tuple[tuple[float, float, float], ...]
"""Centre and radius of what is drawn where figures might stand, px from the balance."""


def draw(going: Going, wording: Wording) -> Plate | None:
    """None where no beat is solved."""
    if going.winding is None:
        return None
    oscillator = going.movement.oscillator
    if isinstance(oscillator, Balance):
        return _balance(going, oscillator, wording)
    return _pendulum(going, oscillator, wording) if isinstance(oscillator, Pendulum) else None


def _amplitude(going: Going) -> str:
    beat = going.winding.beat if going.winding else None
    return words.figure(beat.amplitude_deg, 3) if isinstance(beat, Running) else "0"


def _sheet(
    going: Going, wording: Wording, kind: str, box: tuple[float, float, float, float], stack: list[Figure], speed: float
) -> Sheet:
    return Sheet(
        "oscillator",
        wording.say("drawings.oscillator.title", name=going.name),
        wording.say(f"drawings.oscillator.desc_{kind}", amplitude=_amplitude(going)),
        box,
        tuple(stack),
        beat_ms=float(going.train.beat_s * 1000),
        scrub_s=float(going.train.beat_s * 2),
        speed=speed,
        classes="cropped",
    )


def _balance(going: Going, balance: Balance, wording: Wording) -> Plate:
    radius_mm = balance.diameter_mm / 2
    scale = SIDE_PX / 2 / (radius_mm * 1.62)
    view = View(scale)
    at = figures.px_at(view, going.plan.centres["balance"])
    radius = radius_mm * scale
    degrees = _degrees(going, at, radius * 1.2, _taken(going, view, at))
    stack = [*escapement_figures(going, view), *balance_figures(going, balance, view), degrees]
    side = SIDE_PX / 2
    box = (at[0] - side, at[1] - side, SIDE_PX, SIDE_PX)
    parts = ("balance", "hairspring", "stud", "pallets", "escape-wheel")
    return Plate(_sheet(going, wording, "balance", box, stack, 0.05), ("happens",), _rows(going, parts, wording))


def _taken(going: Going, view: View, at: tuple[float, float]) -> Circles:
    """Circles about the escape wheel and about what acts of the pallets: centre from the balance's, and radius."""
    draft, centres = going.plan.draft, going.plan.centres
    assert draft is not None
    acting = [float(np.hypot(*each.outline_mm.T).max()) for each in draft.pallets if each.level == draft.wheel.level]
    reaches = {going.train.path[-1]: draft.tip_mm, "pallets": max(acting, default=0.0)}
    found = []
    for name, reach in reaches.items():
        x, y = figures.px_at(view, centres[name])
        found.append((x - at[0], y - at[1], reach * view.scale))
    return tuple(found)


def _degrees(going: Going, at: tuple[float, float], radius: float, taken: Circles) -> Figure:
    """Angles of the balance from its rest, and for each state of winding the arc in which it is driven and the turning points.
    A figure that would stand on the escape wheel or on pallets is left out."""
    marks = [_radial(degree, radius, radius * (1.025 if degree % 30 else 1.045)) for degree in range(0, 360, 10)]
    arcs = tuple(_driven(going, winding, radius, taken) for winding in going.windings)
    return Figure(None, None, at, shapes=(Shape("".join(marks), "detail"),), inner=arcs, classes="scale")


def _driven(going: Going, winding: Winding, radius: float, taken: Circles) -> Figure:
    shapes, texts, turned = [], [], list[float]()
    clockwise = -way(going) * going.plan.frame.sense  # of the drawn balance, for one degree of the solved
    if isinstance(winding.beat, Running) and winding.path is not None:
        path = winding.path
        share = path.times_s / path.times_s[-1]
        for phase in phases(winding.beat):
            if phase.key in ("impulse", "unlocking"):
                inside = path.oscillator_rad[(share >= phase.start - 1e-12) & (share <= phase.end + 1e-12)]
                a, b = sorted(math.degrees(clockwise * float(q)) for q in (inside[0], inside[-1]))
                offset = 0.985 if phase.pallet == "entry" else 0.955
                shapes.append(Shape(_arc(a, b, radius * offset), f"arc {phase.key}"))
        for amplitude, side in ((winding.beat.high_rad, 1), (winding.beat.low_rad, -1)):
            degree = side * math.degrees(amplitude) * clockwise
            shapes.append(Shape(_radial(degree, radius * 0.93, radius * 1.06), "outline turning"))
            x, y = _at(degree, radius * 1.23)  # past the figures of the scale: beyond half a turn it stands at another's place
            if not _on(x, y, taken):
                texts.append(Words(x, y, f"{words.figure(math.degrees(amplitude), 3)}°", "label small name"))
            turned.append(degree)
    for long in range(0, 360, 30):
        x, y = _at(long, radius * 1.1)
        beside = any(abs((long - each + 180) % 360 - 180) < BESIDE_DEG for each in turned)
        if not beside and not _on(x, y, taken):
            texts.append(Words(x, y, f"{min(long, 360 - long)}°", "label small"))
    return Figure(None, None, shapes=tuple(shapes), words=tuple(texts), state=winding.name)


def _on(x: float, y: float, taken: Circles) -> bool:
    """Whether a figure there would stand on what is drawn."""
    return any(math.hypot(x - wx, y - wy) < reach + ASIDE_PX for wx, wy, reach in taken)


def _at(degree: float, radius: float) -> tuple[float, float]:
    """Clockwise from the top."""
    return radius * math.sin(math.radians(degree)), -radius * math.cos(math.radians(degree))


def _radial(degree: float, inner: float, outer: float) -> str:
    (x0, y0), (x1, y1) = _at(degree, inner), _at(degree, outer)
    return f"M{number(x0, 1)} {number(y0, 1)}L{number(x1, 1)} {number(y1, 1)}"


def _arc(start: float, end: float, radius: float) -> str:
    (x0, y0), (x1, y1) = _at(start, radius), _at(end, radius)
    large = 1 if end - start > 180 else 0
    return f"M{number(x0, 1)} {number(y0, 1)}A{number(radius, 1)} {number(radius, 1)} 0 {large} 1 {number(x1, 1)} {number(y1, 1)}"


def _pendulum(going: Going, pendulum: Pendulum, wording: Wording) -> Plate:
    hung = pendulum.hung(float(going.train.beats_per_hour))
    reach_mm = max(
        hung.centre_m * 1000 + bob_half_mm(pendulum),
        pendulum.rod.length_mm + (pendulum.suspension.length_mm if pendulum.suspension else 0.0),
    )
    view = View(PENDULUM_PX / reach_mm)
    x, y = figures.px_at(view, going.plan.centres["pallets"])
    before = tuple(replace(figure, at=(figure.at[0] - x, figure.at[1] - y)) for figure in escapement_figures(going, view))
    width = max(620.0, 1.3 * pendulum.bob.diameter_mm * view.scale)
    stack = [*pendulum_figures(going, pendulum, view), *before, _arc_scale(going, 0.44 * width, PENDULUM_PX + 70, wording)]
    box = (-width / 2, -60.0, width, PENDULUM_PX + 220.0)
    crutch = ["crutch"] if going.movement.plates else []
    parts = ("suspension", "pendulum-rod", "bob", "rating-nut", *crutch, "pallets", "escape-wheel")
    return Plate(_sheet(going, wording, "pendulum", box, stack, 1.0), ("happens",), _rows(going, parts, wording))


def _arc_scale(going: Going, half_px: float, y: float, wording: Wording) -> Figure:
    """The arc drawn out flat and enlarged: degrees each way, where impulse falls, the turning points, and where it is now."""
    widest = max((w.beat.high_rad for w in going.windings if isinstance(w.beat, Running)), default=math.radians(2))
    top = max(1, math.ceil(math.degrees(widest) * 1.15 * 2) / 2)
    per_degree = half_px / top
    marks, texts = [f"M{number(-half_px)} {number(y)}H{number(half_px)}"], []
    for half in range(-round(top * 2), round(top * 2) + 1):
        x, long = half / 2 * per_degree, half % 2 == 0
        marks.append(f"M{number(x)} {number(y)}v{14 if long else 8}")
        if long:
            texts.append(Words(x, y + 32, f"{abs(half) // 2}°", "label"))
    texts.append(Words(0, y + 66, wording.say("drawings.oscillator.enlarged"), "label"))
    states = tuple(_driven_below(going, winding, per_degree, y) for winding in going.windings)
    moves: tuple[Move, ...] = ()
    if going.motion.oscillator_rad is not None:
        x_px = np.degrees(going.plan.frame.sense * going.motion.oscillator_rad) * per_degree
        moves = (slide(going.motion, x_px, y),)
    pointer = Figure(None, None, moves=moves, shapes=(Shape("M0 0l-9 -17h18z", "blued"),))
    return Figure(
        None, None, shapes=(Shape("".join(marks), "outline"),), words=tuple(texts), inner=(*states, pointer), classes="scale"
    )


def _driven_below(going: Going, winding: Winding, per_degree: float, y: float) -> Figure:
    shapes = []
    sense = going.plan.frame.sense
    if isinstance(winding.beat, Running) and winding.path is not None:
        path = winding.path
        share = path.times_s / path.times_s[-1]
        for phase in phases(winding.beat):
            if phase.key == "impulse":
                inside = path.oscillator_rad[(share >= phase.start - 1e-12) & (share <= phase.end + 1e-12)]
                a, b = sorted(sense * math.degrees(float(q)) * per_degree for q in (inside[0], inside[-1]))
                line = y - (24 if phase.pallet == "entry" else 34)
                shapes.append(Shape(f"M{number(a)} {number(line)}H{number(b)}", "arc impulse"))
        turns = (sense * math.degrees(q) * per_degree for q in (winding.beat.high_rad, -winding.beat.low_rad))
        shapes += [Shape(f"M{number(x)} {number(y - 40)}v58", "outline turning") for x in turns]
    return Figure(None, None, shapes=tuple(shapes), state=winding.name)


def _rows(going: Going, parts: tuple[str, ...], wording: Wording) -> tuple[Row, ...]:
    """What pallets and escape wheel do depends on what lies between them and the oscillator: a lever, a crutch, or nothing."""
    escapement = going.movement.escapement
    pendulum = isinstance(going.movement.oscillator, Pendulum)
    through = "lever" if isinstance(escapement, DetachedLever) else "crutch" if pendulum else "staff"
    does = {"pallets": f"does_pallets_{through}", "escape-wheel": f"does_escape_wheel_{through}"}
    return tuple(
        Row(
            n, part, wording.say(f"parts.{part}"),
            {"happens": wording.say("drawings.oscillator." + does.get(part, "does_" + part.replace("-", "_")))},
        )
        for n, part in enumerate(parts, 1)
    )  # fmt: skip
