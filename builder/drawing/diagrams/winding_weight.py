"""The winding of a weight-driven movement: drum from the front and from the side, and the whole fall at true scale."""

from __future__ import annotations

from builder.drawing.path import View
from builder.drawing.source.drum import Drum, Side
from builder.drawing.source.fall import Fall
from builder.drawing.source.hold import hold
from builder.drawing.source.run import Run
from builder.drawing.source.sized import great_wheel, names, say, teeth_said, wound_from_back
from builder.drawing.source.views import Named, Riding, Spot, Views, group, put
from builder.going.going import Going
from builder.ground.wording import Wording
from builder.ground.words import figure
from builder.parts.source.weight import Weight

PLAN_PX = 420.0
"""Across the great wheel."""
GAP_PX = 54.0
FALL_PX = 640.0
"""From the drum's axis to the weight's foot when run down, at true scale."""
RULE_PX = 44.0
"""For the rule beside the fall."""
DISC_PX = 50.0
"""From what hangs to the balloons that ride with it."""
APART_PX = 72.0
"""Between two of those."""


def weight(going: Going, run: Run, wording: Wording) -> Views | None:
    """None where the drum was not measured."""
    source = going.movement.source
    assert isinstance(source, Weight)
    each, pull, diameter = source.fall_per_turn_mm, source.pull_radius_mm, source.drum_diameter_mm
    if each is None or pull is None or diameter is None:
        return None
    wheel = great_wheel(going)
    view = View(PLAN_PX / 2 / wheel.gear.tip_mm, wound_from_back(going.movement))
    held = hold(going, run.sense)
    drum = Drum(source, diameter, pull, wheel, run, held, view, source.square_mm or 0.16 * diameter, names(wording))
    half, low = PLAN_PX / 2, PLAN_PX / 2 + 40.0
    side = drum.side(low, going.movement.plates.thickness_mm if going.movement.plates else 0.05 * diameter)
    beside = (half + GAP_PX - side.left, 0.0)
    line = beside[0] + side.right + GAP_PX
    small = Fall(drum, each * run.turns, 1.0)
    fall = Fall(drum, each * run.turns, FALL_PX / small.whole_mm)
    hung = (line + GAP_PX + RULE_PX + fall.half_px, -half + 1.1 * pull * fall.scale)
    figures = (*drum.front(low), group(side.figures, beside), group(fall.figures(going, wording), hung))
    return Views(
        figures,
        (-half - 12, -1.07 * half, hung[0] + fall.half_px + DISC_PX + 36, hung[1] + FALL_PX + 12),
        (line,), low + 100, (-half + 8, line - 112), _named(drum, fall, wording, beside, side, hung),
        lambda left: say(wording, "sunk", sunk=float(each * (run.turns - left))),
        {"smaller": figure(view.scale / fall.scale, 2)},
    )  # fmt: skip


def _named(drum: Drum, fall: Fall, wording: Wording, beside: Spot, side: Side, hung: Spot) -> tuple[Named, ...]:
    """From what hangs to what is wound."""
    source, px = drum.source, fall.scale
    disc = hung[0] + fall.half_px + DISC_PX
    axis = put((fall.x_px + 0.6 * fall.pulley_mm * px, fall.first_mm * px), hung)
    middle_mm = fall.first_mm + fall.neck_mm + 0.6 * fall.weight_mm[1]
    body = put((fall.x_px + 0.3 * fall.weight_mm[0] * px, middle_mm * px), hung)
    heavy = "" if source.mass_kg is None else say(wording, "mass", mass=f"{source.mass_kg:g}")
    thick = "" if source.cord_mm is None else say(wording, "thick", thick=f"{source.cord_mm:g}")
    named = [Named("weight", "weight", body, Riding((disc, body[1]), fall.sinking), heavy)]
    if fall.pulley_mm:
        named.append(Named("pulley", "pulley", axis, Riding((disc, body[1] - APART_PX), fall.sinking)))
    named.append(Named("cord", "cord", put((drum.hangs * drum.pull_mm * px, 0.75 * fall.first_mm * px), hung), 0, thick))
    sizes = {
        "drum": say(wording, "across", diameter=drum.diameter_mm),
        "ratchet-wheel": teeth_said(wording, drum.held.teeth) if drum.held else "",
        "click": "",
        drum.wheel.id: teeth_said(wording, drum.wheel.gear.teeth),
        "winding-square": say(wording, "flats", across=drum.square_mm),
    }
    for part, said in sizes.items():
        if part in side.spots:
            key = "great-wheel" if part == drum.wheel.id else part
            named.append(Named(part, key, put(side.spots[part], beside), 0, said))
    return tuple(named)
