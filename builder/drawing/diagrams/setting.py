"""Setting the hands: the motion work before the train that goes on by itself, with a line where the train would have the hand.

Every part that follows the hands lies in a group of its own that a reader turns, by its exact ratio; the train does not.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np

from builder.drawing import figures
from builder.drawing.anchors import rim
from builder.drawing.balloons import balloons
from builder.drawing.diagrams.motion_work import hour_arbor, in_order, target
from builder.drawing.diagrams.train_plan import MARGIN_PX, part_rows
from builder.drawing.moves import arbor_move
from builder.drawing.path import View, circle, line, number
from builder.drawing.sheet import Figure, Shape, Sheet
from builder.drawing.table import Plate
from builder.going.going import Going
from builder.going.plan import DIAL_SIDE, Toothing
from builder.ground.wording import Wording
from builder.parts.motion_work import MinuteAndHour

RADIUS_PX = 350.0
"""The hour circle's outer edge."""
OPEN = 0.71
"""The dial is cut away inside this part of its radius, so that what lies behind it is seen."""
LENGTHS = {"hours": 0.6, "minutes": 0.92}
SPEED = 60.0
"""A minute in a second: the train is seen to go on."""


def draw(going: Going, wording: Wording) -> Plate | None:
    """None for a movement without motion work."""
    work = going.movement.motion_work
    if work is None:
        return None
    front = sorted((t for t in going.plan.toothings if t.level >= DIAL_SIDE), key=lambda t: t.level)
    behind = _behind(going, work.on)
    centre = np.array(going.plan.centres[hour_arbor(going)])
    reach = max(float(np.hypot(*(np.array(going.plan.centres[t.arbor]) - centre))) + t.gear.tip_mm for t in front)
    view = View(RADIUS_PX * OPEN * 0.97 / reach)
    middle = figures.px_at(view, (float(centre[0]), float(centre[1])))
    turns = set_turns(going)
    stack = figures.toothed(going, behind, view)
    stack.append(Figure(None, None, middle, shapes=(Shape(circle(RADIUS_PX), "veil"), Shape(_outside(), "ground"))))
    stack.append(_train_line(going, work.on, view))
    stack.append(_open_dial(going, view))
    for figure in figures.toothed(going, front, view):
        stack.append(settable(figure, turns[figure.part]) if figure.part in turns else figure)
    hands = [(shows, carrier) for shows, carrier in going.train.hands if f"{shows.rstrip('s')}-hand" in turns]
    for shows, carrier in sorted(hands):
        drawn = figures.hand(going, shows, carrier, view, LENGTHS[shows] * RADIUS_PX)
        assert drawn.part is not None
        held = shows == ("minutes" if len(hands) > 1 else "hours")
        stack.append(settable(replace(drawn, classes="held" if held else ""), turns[drawn.part]))
    stack.append(_grip(going, view, turns))
    numbered = {t.id: n for n, t in enumerate([*_of_train(behind, work.on), *in_order(going, front)], 1)}
    rims = [rim(t, going.plan.centres[t.arbor], t.level) for t in front if t.wheel]
    within = 0.94 * OPEN * RADIUS_PX / view.scale  # what lies behind is seen through the dial's opening
    targets = [target(going, part, n, view, rims, within) for part, n in numbered.items()]
    side = RADIUS_PX + MARGIN_PX * 0.45
    stack += balloons(targets, middle[0] - side, middle[0] + side, middle[1] - 0.7 * RADIUS_PX, middle[1] + 0.7 * RADIUS_PX)
    box = (middle[0] - RADIUS_PX - MARGIN_PX, middle[1] - RADIUS_PX - 8, 2 * (RADIUS_PX + MARGIN_PX), 2 * RADIUS_PX + 16)
    sheet = Sheet(
        "setting",
        wording.say("setting.drawing.title", name=going.name),
        wording.say("setting.drawing.desc", hand=wording.say(f"setting.drawing.{'hand' if len(hands) > 1 else 'only_hand'}")),
        box,
        tuple(stack),
        scrub_s=3600.0,
        speed=SPEED,
        classes="cropped",
    )
    return Plate(sheet, ("count", "turns", "period", "sense"), part_rows(going, wording, numbered, back=False))


def set_turns(going: Going) -> dict[str, Fraction]:
    """Turns of each part that is set, for one turn of the minute hand (clockwise positive): what hangs on the friction.

    A single hand slips on its dial wheel, and nothing else follows it.
    """
    work = going.movement.motion_work
    if not isinstance(work, MinuteAndHour):
        return {} if work is None else {"hour-hand": Fraction(1, work.dial_hours)}
    minute = -Fraction(work.cannon_leaves, work.minute_wheel_teeth)
    hour = 1 / work.reduction
    turns = {"cannon-pinion": Fraction(1), "minute-wheel": minute, "minute-pinion": minute, "hour-wheel": hour}
    return {**turns, "minute-hand": Fraction(1), "hour-hand": hour}


def settable(figure: Figure, turn: Fraction) -> Figure:
    """The figure with a group about its own centre that a reader turns."""
    moving = replace(figure, part=None, label=None, at=(0.0, 0.0), classes="")
    held = Figure(None, None, turn=turn, inner=(moving,))
    return Figure(figure.part, figure.label, figure.at, inner=(held,), classes=figure.classes)


def _behind(going: Going, on: str) -> list[Toothing]:
    """The arbor of the hands with its neighbours on the power path, back to front."""
    path = going.train.path
    at = path.index(on) if on in path else 0
    near = {*path[max(0, at - 1) : at + 2], on}
    return sorted((t for t in going.plan.toothings if t.level < DIAL_SIDE and t.arbor in near), key=lambda t: t.level)


def _of_train(behind: list[Toothing], on: str) -> list[Toothing]:
    """What of the train is numbered: the wheels on the arbor of the hands."""
    return [t for t in behind if t.arbor == on and t.wheel]


def _train_line(going: Going, on: str, view: View) -> Figure:
    """A line that turns with the arbor of the hands: where the train by itself would have the minute hand.

    Under a single hand it turns with the dial wheel.
    """
    arbor = on if isinstance(going.movement.motion_work, MinuteAndHour) else hour_arbor(going)
    length = OPEN * RADIUS_PX
    shapes = (
        Shape(line(0, 0, 0, -length, places=1), "by-itself"),
        Shape(circle(6, (0.0, 9 - length), 1), "dot"),
    )
    move = arbor_move(going.motion, going.train, arbor, view, length)
    return Figure(None, None, figures.px_at(view, going.plan.centres[arbor]), moves=(move,), shapes=shapes)


def _open_dial(going: Going, view: View) -> Figure:
    """The dial with its middle cut away."""
    whole = figures.dial(going, view, RADIUS_PX)
    disc, *rest = whole.shapes
    return replace(whole, shapes=(replace(disc, d=disc.d + _hole(OPEN * RADIUS_PX)), *rest))


def _hole(radius: float) -> str:
    """A circle drawn the other way round, so that it is left out of what it lies in."""
    r, d = number(radius), number(2 * radius)
    return f"M-{r} 0a{r} {r} 0 1 1 {d} 0a{r} {r} 0 1 1-{d} 0z"


def _outside() -> str:
    """All but the dial, and far beyond the sheet: the train is seen through the dial alone, however wide the page."""
    half, whole = number(5 * RADIUS_PX), number(10 * RADIUS_PX)
    return f"M-{half}-{half}v{whole}h{whole}V-{half}z{_hole(RADIUS_PX)}"


def _grip(going: Going, view: View, turns: dict[str, Fraction]) -> Figure:
    """What a finger takes hold of: a broad line along the hand, seen only by the pointer."""
    shows = "minutes" if "minute-hand" in turns else "hours"
    carrier = next(carrier for what, carrier in going.train.hands if what == shows)
    length = LENGTHS[shows] * RADIUS_PX
    turning = arbor_move(going.motion, going.train, carrier, view, length)
    moving = Figure(None, None, moves=(turning,), shapes=(Shape(line(0, -0.14 * length, 0, -length, places=1), "grip"),))
    held = Figure(None, None, turn=turns[f"{shows.rstrip('s')}-hand"], inner=(moving,))
    return Figure(None, None, figures.px_at(view, going.plan.centres[carrier]), inner=(held,))
