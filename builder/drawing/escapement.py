"""The escapement's parts as drafted, laid on the plate: wheel, pallets, and what the balance carries."""

from __future__ import annotations

import math

from builder.drawing import figures, shapes
from builder.drawing.moves import arbor_move, swing
from builder.drawing.path import View, circle, closed
from builder.drawing.sheet import Figure, Move, Shape
from builder.going.going import Going
from builder.going.placed import Frame
from builder.ground.geometry import Points
from builder.parts.escapement.draft import Drawn

CROSSINGS = 4
PLACES = 2
"""Decimals (px) of what acts: enough that drawn faces touch, and do not enter one another."""
TOUCHING = 5e-5
"""Key frames of wheel and pallets keep to the solution within this part of their reach, so that drawn faces touch."""


def escapement_figures(going: Going, view: View) -> list[Figure]:
    """Escape wheel, pallets and bankings, back to front; nothing where the escapement is only counted."""
    draft, frame = going.plan.draft, going.plan.frame
    if draft is None:
        return []
    escape = going.train.path[-1]
    made = [_wheel(going, view, escape)]
    pallets = tuple(_drawn(each, frame, view) for each in draft.pallets)
    swings: tuple[Move, ...] = ()
    if going.motion.pallet_rad is not None:
        reach = draft.centre_mm * view.scale
        swings = (swing(going.motion, frame.sense * going.motion.pallet_rad, view, reach, TOUCHING * reach),)
    # a cylinder is hollow where the teeth pass: its plugs, and the pivots on them, are above and below
    arbor = () if draft.hollow else (Shape(circle(0.05 * draft.centre_mm * view.scale), "steel arbor"),)
    at = figures.px_at(view, going.plan.centres["pallets"])
    made.append(Figure("pallets", "Pallets", at, moves=swings, shapes=(*pallets, *arbor)))
    for banking in draft.bankings:
        x, y = view.px(frame.points(banking.at_mm[None, :]))[0]
        pin = Shape(circle(banking.radius_mm * view.scale), "brass banking")
        made.append(Figure(None, None, (at[0] + float(x), at[1] + float(y)), shapes=(pin,)))
    return made


def _wheel(going: Going, view: View, escape: str) -> Figure:
    draft, frame = going.plan.draft, going.plan.frame
    assert draft is not None
    outline = frame.points(draft.wheel.outline_mm)
    hub = max(2.0 * going.plan.arbor_mm[escape], 0.15 * draft.root_mm)
    depth = draft.tip_mm - draft.root_mm
    body = shapes.crossed_wheel(outline, draft.root_mm, 0.45 * depth, CROSSINGS, hub, view, PLACES)
    move = arbor_move(going.motion, going.train, escape, view, draft.tip_mm * view.scale, TOUCHING * draft.tip_mm * view.scale)
    return Figure(
        part="escape-wheel",
        label=f"Escape wheel, {going.train.escape_teeth} teeth",
        at=figures.px_at(view, going.plan.centres[escape]),
        turned_deg=view.turn_deg(math.degrees(frame.sense * going.motion.wheel_start_rad)),
        moves=(move,),
        shapes=(
            Shape(body, f"{draft.wheel.material} wheel"),
            Shape(circle(1.4 * going.plan.arbor_mm[escape] * view.scale), "brass collet"),
            Shape(circle(going.plan.arbor_mm[escape] * view.scale), "steel arbor"),
        ),
    )


def _drawn(drawn: Drawn, frame: Frame, view: View) -> Shape:
    outline: Points = frame.points(drawn.outline_mm)
    return Shape(closed(view.px(outline), PLACES), f"{drawn.material} {drawn.name.replace(' ', '-')}")
