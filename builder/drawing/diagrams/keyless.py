"""The keyless work in its two states: crown in, it winds; crown out, it sets the hands. Seen from the dial's side."""

from __future__ import annotations

import cmath
import math
from fractions import Fraction
from functools import lru_cache

from builder.drawing.balloons import Target, balloons
from builder.drawing.keyless import levers, stem
from builder.drawing.keyless.layout import CLUTCH_PX, PULL_PX, SLIDE_PX, TURN_MS, Layout, Placed
from builder.drawing.keyless.marks import ROOM_PX, Mark, free
from builder.drawing.keyless.outline import VIEW, px
from builder.drawing.path import circle, number
from builder.drawing.shapes import crossed_wheel, rounded_box
from builder.drawing.sheet import Figure, Move, Shape, Sheet
from builder.drawing.table import Plate, Row
from builder.going.going import Going
from builder.ground.wording import Wording
from builder.parts.motion_work import MinuteAndHour

STATES = ("crown-in", "crown-out")
"""The page's choice and the classes of what is seen in it; the first is drawn where nothing is chosen."""
WINDOW_PX = (-100.0, 34.0)
"""The opening in the plate in which clutch and winding pinion lie."""
CROSSED_TEETH = 24
"""A brass wheel of so many teeth has arms; keyless wheels are solid."""


def layout(going: Going) -> Layout | None:
    """None without keyless work, ratchet or motion work with a minute wheel."""
    movement = going.movement
    work, ratchet = movement.motion_work, movement.source.ratchet
    if movement.keyless is None or ratchet is None or not isinstance(work, MinuteAndHour):
        return None
    return Layout(movement.keyless, work, ratchet.teeth)


def draw(going: Going, wording: Wording) -> Plate | None:
    """None where the file says nothing of keyless work."""
    laid = layout(going)
    if laid is None:
        return None
    names = _names(laid, wording)
    numbers = {part: n for n, part in enumerate(names, 1)}
    marked = _marked(laid)
    stack = []
    for state in STATES:
        drawn = (*_stack(laid, names, state == STATES[1]), *_balloons(marked[state], numbers))
        stack.append(Figure(None, None, inner=drawn, classes=state))
    counts = _counts(laid)
    sheet = Sheet(
        "keyless",
        wording.say("keyless.title", name=going.name),
        wording.say("keyless.desc", wheels=", ".join(f"{names[part].lower()} {count}" for part, count in counts.items())),
        _box(laid, [mark for marks in marked.values() for mark in marks.values()]),
        tuple(stack),
        scrub_s=0.0,
    )
    return Plate(sheet, ("count", "does"), tuple(_row(numbers[part], part, names[part], counts, wording) for part in names))


def _row(number_: int, part: str, name: str, counts: dict[str, int], wording: Wording) -> Row:
    count = f"{counts[part]} {wording.say('parts.teeth')}" if part in counts else ""
    return Row(number_, part, name, {"count": count, "does": wording.say(f"keyless.does.{_key(part)}")})


def _names(laid: Layout, wording: Wording) -> dict[str, str]:
    """Every part in the order of the power, first winding, then setting, with its name."""
    setting = [placed.part for placed in laid.before if _key(placed.part) == "setting-wheel"]
    first = ["crown", "stem", "winding-pinion", "sliding-clutch", "crown-wheel", "ratchet-wheel"]
    order = [*first, "setting-lever", "yoke", "yoke-spring", *setting, "minute-wheel", "cannon-pinion"]
    several = len(setting) > 1
    return {
        part: wording.say(f"keyless.names.{_key(part)}") + (f" {part.rsplit('-', 1)[1]}" if several and part in setting else "")
        for part in order
    }


def _key(part: str) -> str:
    return "setting-wheel" if part.startswith("setting-wheel") else part


def _counts(laid: Layout) -> dict[str, int]:
    found = {"winding-pinion": laid.keyless.winding_pinion, "sliding-clutch": laid.keyless.clutch}
    return {**found, **{placed.part: placed.gear.teeth for placed in (*laid.behind, *laid.before)}}


def _stack(laid: Layout, names: dict[str, str], out: bool) -> list[Figure]:
    """All of it in one state, back to front."""
    first, *others = laid.before
    return [
        *(_wheel(placed, names, moves=not out) for placed in laid.behind),
        Figure(None, None, shapes=(Shape(_plate(laid), "veil"), Shape(_window(laid), "window"))),
        *(_wheel(placed, names, moves=out) for placed in reversed(others)),
        stem.stem(laid, out, names["stem"]),
        _wheel(first, names, moves=out),
        stem.winding_pinion(laid, out, names["winding-pinion"]),
        stem.clutch(laid, out, names["sliding-clutch"]),
        levers.yoke_spring(laid.levers, out, names["yoke-spring"]),
        levers.yoke(laid.levers, out, names["yoke"]),
        levers.setting_lever(laid.levers, out, names["setting-lever"]),
        stem.crown(out, names["crown"]),
        stem.crown_end(),
    ]


def _wheel(placed: Placed, names: dict[str, str], moves: bool) -> Figure:
    gear = placed.gear
    hub = max(9.0, 0.16 * gear.root_mm)
    arms = 0 if placed.material == "steel" or gear.teeth < CROSSED_TEETH else 4
    shapes = [Shape(crossed_wheel(gear.outline(4e-3), gear.root_mm, gear.module_mm, arms, hub, VIEW), f"{placed.material} wheel")]
    if placed.part == "ratchet-wheel":
        shapes += [Shape(circle(0.42 * gear.root_mm), "steel detail"), Shape(rounded_box(17, 17, 2), "steel arbor")]
    else:
        shapes.append(Shape(circle(hub * 0.62), "steel arbor"))
    if placed.material == "steel" and placed.part != "ratchet-wheel":  # held by a screw
        shapes.append(Shape(f"M{number(-hub * 0.5)} 0h{number(hub)}", "detail"))
    move: tuple[Move, ...] = ()
    if moves:
        exact = Fraction(TURN_MS) / abs(placed.turns)
        move = (
            Move(
                "rotate", ("0", number(VIEW.turn_deg(math.copysign(360, placed.turns)))), (0.0, 1.0), round(exact), exact_ms=exact
            ),
        )
    turned = VIEW.turn_deg(math.degrees(placed.phase_rad))
    return Figure(placed.part, names[placed.part], px(placed.at), turned, move, tuple(shapes))


def _plate(laid: Layout) -> str:
    """The plate over crown wheel and ratchet wheel, its opening left out."""
    low, high = _reach(laid.behind)
    left, right, top, foot = (number(v) for v in (low.real - 30, high.real + 30, -high.imag - 30, -low.imag + 30))
    return f"M{left} {top}V{foot}H{right}V{top}z{_window(laid)}"


def _window(laid: Layout) -> str:
    """Drawn the other way round, so that it is a hole in the plate."""
    left, right, half = (number(v) for v in (*WINDOW_PX, laid.pinion_radius + 8))
    return f"M{left}-{half}H{right}V{half}H{left}z"


@lru_cache(maxsize=16)
def _marked(laid: Layout) -> dict[str, dict[str, Mark]]:
    """Where the balloons stand in each state; it is the same in every state of winding."""
    return {state: free(_tips(laid, state == STATES[1]), _taken(laid)) for state in STATES}


def _tips(laid: Layout, out: bool) -> dict[str, complex]:
    """Where each balloon's leader ends."""
    lever, pull, slide = laid.levers, PULL_PX if out else 0.0, -SLIDE_PX if out else 0.0
    found = {
        "crown": complex(sum(stem.CROWN_PX) / 2 + pull, 0.8 * stem.CROWN_RADIUS_PX),
        "stem": complex(116.0 + pull, 4.0),
        "winding-pinion": complex(8.0, 0.85 * laid.pinion_radius),
        "sliding-clutch": complex(CLUTCH_PX[1] - 9 + slide, 0.85 * laid.clutch_radius),
        "setting-lever": lever.lever_at,
        "yoke": lever.yoke_at,
        "yoke-spring": lever.yoke_at + levers.SPRING_FOOT_PX,
    }
    for placed in (*laid.behind, *laid.before):
        seen = {"crown-wheel": -80.0, "ratchet-wheel": 40.0}.get(placed.part)
        away = math.radians(seen) if seen is not None else _outwards(laid, placed)
        found[placed.part] = placed.at + cmath.rect(0.86 * placed.gear.root_mm, away)
    return found


def _outwards(laid: Layout, placed: Placed) -> float:
    """Direction from a wheel away from all the others, rad."""
    others = [one.at for one in (*laid.behind, *laid.before) if one is not placed]
    return cmath.phase(sum((placed.at - at) / abs(placed.at - at) ** 2 for at in others))


def _taken(laid: Layout) -> list[tuple[complex, float]]:
    """Circles on which no balloon may lie: wheels, stem and crown, levers."""
    lever = laid.levers
    wheels = [(placed.at, placed.reach) for placed in (*laid.behind, *laid.before)]
    along = [(complex(x, 0.0), laid.pinion_radius) for x in range(-130, int(stem.CROWN_PX[0]), 40)]
    crowns = [
        (complex(x, 0.0), 1.25 * stem.CROWN_RADIUS_PX) for x in (sum(stem.CROWN_PX) / 2, stem.CROWN_PX[1] + PULL_PX, stem.END_PX)
    ]
    turning = [(lever.lever_at, 34.0), (lever.yoke_at, 20.0), ((lever.lever_at + lever.yoke_at) / 2, 30.0)]
    feet = [(lever.lever_at + levers.FOOT_PX * part, 12.0) for part in (0.7, 1.0)]
    spring = [(lever.yoke_at + levers.SPRING_FOOT_PX + at, 14.0) for at in (0j, 10 + 34j, 40 + 58j)]
    return [*wheels, *along, *crowns, *turning, *feet, *spring]


def _balloons(marks: dict[str, Mark], numbers: dict[str, int]) -> list[Figure]:
    made: list[Figure] = []
    for part, mark in sorted(marks.items(), key=lambda item: numbers[item[0]]):
        (x, y), tip = px(mark.at), px(mark.tip)
        made += balloons([Target(part, numbers[part], tip)], x, x, y, y)
    return made


def _reach(placed: tuple[Placed, ...]) -> tuple[complex, complex]:
    """Lower left and upper right of wheels."""
    low = complex(min(p.at.real - p.reach for p in placed), min(p.at.imag - p.reach for p in placed))
    return low, complex(max(p.at.real + p.reach for p in placed), max(p.at.imag + p.reach for p in placed))


def _box(laid: Layout, marks: list[Mark]) -> tuple[float, float, float, float]:
    """All wheels, both crowns and every balloon, with a little air."""
    low, high = _reach((*laid.behind, *laid.before))
    xs = [low.real, stem.END_PX + 1.3 * stem.CROWN_RADIUS_PX, *(m.at.real + s * ROOM_PX for m in marks for s in (-1, 1))]
    ys = [high.imag, low.imag, laid.levers.yoke_at.imag - 20, *(m.at.imag + s * ROOM_PX for m in marks for s in (-1, 1))]
    left, right, top, foot = min(xs) - 6, max(xs) + 6, max(ys) + 6, min(ys) - 6
    return left, -top, right - left, top - foot
