"""The motion work in plan: cannon pinion, minute wheel and pinion, hour wheel, and the hands they carry."""

from __future__ import annotations

import numpy as np

from builder.drawing import figures
from builder.drawing.balloons import Target, balloons
from builder.drawing.diagrams.train_plan import MARGIN_PX, part_rows
from builder.drawing.path import View, circle, line
from builder.drawing.sheet import Figure, Shape, Sheet
from builder.drawing.table import Plate
from builder.going.going import Going
from builder.going.placed import DIAL_SIDE, Toothing
from builder.ground.wording import Wording

SIDE_PX = 700.0
ROOM = 1.12
"""The hour circle is drawn this much larger than the wheels reach, far smaller than it is, so that they can be seen."""


def draw(going: Going, wording: Wording) -> Plate | None:
    """None for a movement without motion work."""
    work = going.movement.motion_work
    if work is None:
        return None
    parts = [t for t in going.plan.toothings if t.level >= DIAL_SIDE]
    parts.sort(key=lambda t: t.level)
    centre = np.array(going.plan.centres[_hour_arbor(going)])
    reach = max(float(np.hypot(*(np.array(going.plan.centres[t.arbor]) - centre))) + t.gear.tip_mm for t in parts)
    view = View(SIDE_PX / 2 / (reach * ROOM * 1.25))
    radius = SIDE_PX / 2
    middle = figures.px_at(view, (float(centre[0]), float(centre[1])))
    stack: list[Figure] = [figures.dial(going, view, radius)]
    stack += [figures.toothing(going, part, view) for part in parts]
    carried = [(shows, carrier) for shows, carrier in going.train.hands if carrier in {t.arbor for t in parts}]
    lengths = {"hours": 0.62 * radius, "minutes": 0.9 * radius, "seconds": 0.3 * radius}
    for shows, carrier in sorted(carried):
        stack.append(figures.hand(going, shows, carrier, view, lengths[shows]))
    stack.append(_construction(going, parts, view))
    numbered = {t.id: n for n, t in enumerate(_in_order(going, parts), 1)}
    targets = [Target(part, n, _edge(going, part, view)) for part, n in numbered.items()]
    side = radius + MARGIN_PX * 0.45
    stack += balloons(targets, middle[0] - side, middle[0] + side, middle[1] - 0.7 * radius, middle[1] + 0.7 * radius)
    box = (middle[0] - radius - MARGIN_PX, middle[1] - radius - 8, 2 * (radius + MARGIN_PX), 2 * radius + 16)
    said = ", ".join(f"{t.title.lower()} {t.gear.teeth} {wording.say('parts.' + t.noun)}" for t in _in_order(going, parts))
    sheet = Sheet(
        "motion-work",
        wording.say("drawings.motion_work.title", name=going.name),
        wording.say("drawings.motion_work.desc", parts=said[:1].upper() + said[1:] + ".", hours=work.dial_hours),
        box,
        tuple(stack),
        beat_ms=float(going.train.beat_s * 1000),
        scrub_s=43200.0,
        speed=300.0,
    )
    return Plate(sheet, ("count", "turns", "period", "sense"), part_rows(going, wording, numbered, back=False))


def _hour_arbor(going: Going) -> str:
    return next(carrier for shows, carrier in going.train.hands if shows == "hours")


def _in_order(going: Going, parts: list[Toothing]) -> list[Toothing]:
    order = {arbor.id: i for i, arbor in enumerate(going.train.arbors)}
    return sorted(parts, key=lambda t: (order[t.arbor], not t.wheel))


def _edge(going: Going, part: str, view: View) -> tuple[float, float]:
    toothing = next(t for t in going.plan.toothings if t.id == part)
    x, y = going.plan.centres[toothing.arbor]
    angle = {"cannon-pinion": 2.4, "minute-wheel": -0.7, "minute-pinion": 0.9, "hour-wheel": 3.6}.get(part, 2.0)
    radius = toothing.gear.root_mm * (0.93 if toothing.wheel else 0.75)
    return figures.px_at(view, (x + radius * float(np.cos(angle)), y + radius * float(np.sin(angle))))


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
