"""What drives the great wheel, in plan: the drum of a weight; a fusee's cone, its barrel and the line between them.

A bare mainspring would hide the wheel that it drives: it has a drawing of its own.
"""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np

from builder.drawing.figures import barrel_cover, px_at
from builder.drawing.moves import STANDING, arbor_move
from builder.drawing.path import View, circle, number
from builder.drawing.sheet import Figure, Move, Shape
from builder.drawing.source.chain import running_d
from builder.drawing.source.sized import names
from builder.going.going import Going
from builder.going.placed import Point
from builder.going.source_heights import BARREL_PIVOT, FLANGE, barrel_place, body
from builder.ground.wording import Wording
from builder.parts.source.chained import Chained
from builder.parts.source.fusee import Fusee
from builder.parts.source.weight import Weight

Bodies = dict[str, tuple[Point, float]]
"""Part → (its centre, its radius), mm; in the order of the power."""


def bodies(going: Going) -> Bodies:
    """Barrel and fusee, or a drum; nothing where the source is a bare spring, a going barrel or not measured."""
    source, whole = going.movement.source, body(going.movement, going.plan)
    place = barrel_place(going.movement, going.plan)
    if whole is None:
        return {}
    round_it = {whole.part: (going.plan.centres[source.arbor], whole.outer_mm)}
    if isinstance(source, Weight):
        return round_it
    if isinstance(source, Fusee) and source.chained is not None and source.barrel is not None and place is not None:
        return {"barrel": (place, source.barrel.outside_mm / 2)} | round_it
    return {}


def source_figures(going: Going, wording: Wording, view: View) -> list[Figure]:
    """The bodies, each under the name of its part, and the line between barrel and fusee once a state of winding."""
    called, found, source = names(wording), bodies(going), going.movement.source
    if "drum" in found:
        flange = found["drum"][1] * view.scale
        return [_turning(going, "drum", called["drum"], flange, Shape(circle(flange / FLANGE), "detail"), view)]
    if "barrel" not in found:
        return []
    assert isinstance(source, Fusee) and source.chained is not None
    return [
        _turning(going, "fusee", called["fusee"], found["fusee"][1] * view.scale, _groove(going, source, view), view),
        *_barrel(going, source, found["barrel"][0], called, view),
        *_running(going, source, found["barrel"][0], called["chain"], view),
    ]


def _turning(going: Going, part: str, label: str, reach_px: float, mark: Shape, view: View) -> Figure:
    """A body of revolution on the great arbor, with what is to be seen on it."""
    arbor = going.movement.source.arbor
    move = arbor_move(going.motion, going.train, arbor, view, reach_px)
    shaft = Shape(circle(going.plan.arbor_mm[arbor] * view.scale), "steel arbor")
    shapes = (Shape(circle(reach_px), "brass"), mark, shaft)
    return Figure(part, label, px_at(view, going.plan.centres[arbor]), moves=(move,), shapes=shapes)


def _chained(source: Fusee) -> Chained:
    assert source.chained is not None, "only what is measured is drawn"
    return source.chained


def _groove(going: Going, source: Fusee, view: View) -> Shape:
    """The groove's floor seen along the arbor, from the large end in, as the line lies on it: quarter turns as arcs."""
    cone, sense = _chained(source).cone, going.train[source.arbor].sense
    turns = np.linspace(0.0, cone.turns, max(2, round(4 * cone.turns) + 1))
    radius, angle = cone.radius_mm(turns) - (source.line.thickness_mm / 2 if source.line else 0.0), sense * 2 * math.pi * turns
    ends = view.px(np.stack((radius * np.cos(angle), radius * np.sin(angle)), axis=-1))
    spots = [f"{number(x, 1)} {number(y, 1)}" for x, y in ends]
    bends = [number(r * view.scale, 1) for r in (radius[1:] + radius[:-1]) / 2]
    sweep = int((sense < 0) != view.back)
    return Shape(f"M{spots[0]}" + "".join(f"A{r} {r} 0 0 {sweep} {to}" for r, to in zip(bends, spots[1:], strict=True)), "groove")


def _barrel(going: Going, source: Fusee, place: Point, called: dict[str, str], view: View) -> tuple[Figure, Figure]:
    """The closed barrel, going round as fast as the line runs in this state, and the end of its arbor, which stands.

    Neglected: the rate grows as the line climbs the cone. The drawing of the winding has that.
    """
    barrel, chained, at = source.barrel, _chained(source), px_at(view, place)
    assert barrel is not None
    shapes = (
        Shape(circle(barrel.outside_mm / 2 * view.scale), "brass"),
        *barrel_cover(barrel.inside_diameter_mm / 2 * view.scale),
    )
    move = STANDING
    if going.motion.wheel_rad[-1] != 0.0:
        line = chained.line_state(going.winding.turns_left if going.winding else chained.cone.turns)
        ratio = Fraction(line.fusee_radius_mm) / Fraction(line.barrel_radius_mm)
        hours = going.train[source.arbor].hours_per_turn / ratio
        move = Move(
            "rotate", ("0", number(view.turn_deg(going.train[source.arbor].sense * 360), 0)), (0.0, 1.0), round(3_600_000 * hours)
        )
    arbor = Shape(circle(BARREL_PIVOT * barrel.arbor_diameter_mm * view.scale), "steel arbor")
    return (
        Figure("barrel", called["fusee-barrel"], at, moves=(move,), shapes=shapes),
        Figure("barrel-arbor", called["barrel-arbor"], at, shapes=(arbor,)),
    )


def _running(going: Going, source: Fusee, place: Point, label: str, view: View) -> list[Figure]:
    """The line from fusee to barrel as it leaves the cone in each state."""
    chained, fusee = _chained(source), np.array(going.plan.centres[source.arbor])
    states: list[tuple[str | None, float]] = [(winding.name, winding.turns_left) for winding in going.windings]
    drawn = []
    for name, left in states or [(None, chained.cone.turns)]:
        line = chained.line_state(left)
        radii, thick = (line.fusee_radius_mm, line.barrel_radius_mm), source.line.thickness_mm if source.line else 0.0
        d = running_d(going.train[source.arbor].sense, fusee, np.array(place), radii, thick, view)
        drawn.append(Figure("chain", label, shapes=(Shape(d, "steel detail"),), state=name))
    return drawn
