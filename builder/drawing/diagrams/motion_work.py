"""The motion work in plan: cannon pinion, minute wheel and pinion, hour wheel, and the hands they carry."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from builder.drawing import figures
from builder.drawing.anchors import Rim, rim, spots
from builder.drawing.balloons import Target, balloons
from builder.drawing.diagrams.train_plan import MARGIN_PX, part_rows
from builder.drawing.path import View, circle, line
from builder.drawing.sheet import Figure, Shape, Sheet
from builder.drawing.table import Plate
from builder.going.going import Going
from builder.going.placed import DIAL_SIDE, Toothing
from builder.ground.wording import Wording
from builder.parts.motion_work import MINUTE

SIDE_PX = 700.0
EDGES = {"cannon-pinion": 2.4, "minute-wheel": -0.7, "minute-pinion": 0.9, "hour-wheel": 3.6}
"""Where a balloon's leader ends on its part, rad."""
HANDS = {"hours": 0.62, "minutes": 0.9, "seconds": 0.3}
"""Length by half the dial."""
ROOM = 1.12
"""The hour circle is drawn this much larger than the wheels reach, far smaller than it is, so that they can be seen."""


def draw(going: Going, wording: Wording) -> Plate | None:
    """None for a movement without motion work."""
    work = going.movement.motion_work
    if work is None:
        return None
    parts = in_order(going, [t for t in going.plan.toothings if t.level >= DIAL_SIDE])
    centre = np.array(going.plan.centres[hour_arbor(going)])
    reach = max(float(np.hypot(*(np.array(going.plan.centres[t.arbor]) - centre))) + t.gear.tip_mm for t in parts)
    view = View(SIDE_PX / 2 / (reach * ROOM * 1.25))
    radius = SIDE_PX / 2
    middle = figures.px_at(view, (float(centre[0]), float(centre[1])))
    numbered = {t.id: n for n, t in enumerate(parts, 1)}
    rims = [rim(t, going.plan.centres[t.arbor], t.level) for t in parts if t.wheel]
    targets = [target(going, part, number, view, rims) for part, number in numbered.items()]
    side = radius + MARGIN_PX * 0.45
    carried = [(shows, carrier) for shows, carrier in going.train.hands if carrier in {t.arbor for t in parts}]
    # Leaders run beneath the dial's figures and the hands.
    face = figures.dial(going, view, radius)
    stack: list[Figure] = [replace(face, words=())]
    stack += figures.toothed(going, parts, view)
    stack += _post(going, view)
    stack.append(_construction(going, parts, view))
    stack += balloons(targets, middle[0] - side, middle[0] + side, middle[1] - 0.7 * radius, middle[1] + 0.7 * radius)
    stack.append(Figure(None, None, face.at, words=face.words))
    stack += [figures.hand(going, shows, carrier, view, HANDS[shows] * radius) for shows, carrier in sorted(carried)]
    box = (middle[0] - radius - MARGIN_PX, middle[1] - radius - 8, 2 * (radius + MARGIN_PX), 2 * radius + 16)
    said = ", ".join(f"{t.title.lower()} {t.gear.teeth} {wording.say('parts.' + t.noun)}" for t in parts)
    sheet = Sheet(
        "motion-work",
        wording.say("drawings.motion_work.title", name=going.name),
        wording.say("drawings.motion_work.desc", parts=said[:1].upper() + said[1:] + ".", hours=work.dial_hours),
        box,
        tuple(stack),
        beat_ms=float(going.train.beat_s * 1000),
        scrub_s=3600.0 * work.dial_hours,
        speed=300.0,
        classes="on-dial",
    )
    return Plate(sheet, ("count", "turns", "period", "sense"), part_rows(going, wording, numbered, back=False))


def hour_arbor(going: Going) -> str:
    """The arbor in the middle of the dial: the one that carries the hour hand."""
    return next(carrier for shows, carrier in going.train.hands if shows == "hours")


def in_order(going: Going, parts: list[Toothing]) -> list[Toothing]:
    """As the minute hand drives them."""
    order = {arbor.id: i for i, arbor in enumerate(going.train.arbors)}
    return sorted(parts, key=lambda t: (order[t.arbor], not t.wheel))


def target(going: Going, part: str, number: int, view: View, rims: list[Rim], most_mm: float = math.inf) -> Target:
    """Where a balloon's leader ends: near the roots of a wheel's teeth, no further out than `most_mm`."""
    toothing = next(t for t in going.plan.toothings if t.id == part)
    radius = min(most_mm, toothing.gear.root_mm * (0.93 if toothing.wheel else 0.75))
    found = spots(going.plan.centres[toothing.arbor], radius, EDGES.get(part, 2.0), toothing.level, rims)
    at, *others = (figures.px_at(view, spot) for spot in found)
    return Target(part, number, at, tuple(others))


def _post(going: Going, view: View) -> list[Figure]:
    """The end of the post that minute wheel and pinion turn on; nothing where there are none."""
    if MINUTE not in going.plan.centres:
        return []
    end = Shape(circle(going.plan.arbor_mm[MINUTE] * view.scale), "steel arbor")
    return [Figure(None, None, figures.px_at(view, going.plan.centres[MINUTE]), shapes=(end,))]


def _construction(going: Going, parts: list[Toothing], view: View) -> Figure:
    shapes = [
        Shape(circle(t.gear.pitch_mm * view.scale, figures.px_at(view, going.plan.centres[t.arbor]), 1), "construction pitch")
        for t in parts
    ]
    for one in going.plan.sized:
        if one.pair.key == ("motion_work",):
            a, b = (figures.px_at(view, going.plan.centres[name]) for name in (one.pair.driver, one.pair.driven))
            shapes.append(Shape(line(*a, *b, places=1), "construction centres"))
    return Figure(None, None, shapes=tuple(shapes), classes="constructions")
