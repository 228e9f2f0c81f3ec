"""Setting lever, its spring, yoke and yoke spring, as they stand with the crown in or out."""

from __future__ import annotations

import cmath
import math

from builder.drawing.keyless.layout import Levers
from builder.drawing.keyless.outline import VIEW, bent, px, rounded, run
from builder.drawing.path import circle
from builder.drawing.sheet import Figure, Shape

ROUND_PX = 7.0
FOOT_PX = complex(128.0, -84.0)
"""Foot of the setting lever's spring, from the lever's screw."""
SPRING_FOOT_PX = complex(-84.0, -14.0)
"""Foot of the yoke spring, from the yoke's screw."""
SPRING_TIP_PX = complex(-24.0, 50.0)
"""Where it presses on the yoke, from the yoke's screw."""


def yoke(levers: Levers, out: bool, label: str) -> Figure:
    """One lever about its screw: its end lies in the clutch's groove, the setting lever's nose presses on its flank."""
    fork, push = levers.fork, levers.push
    flank = push - levers.nose_px
    corners = [
        complex(-15, -13), complex(15, -13), complex(17, 6), flank - 10j, flank + 9j, flank + complex(-12, 22),
        fork + complex(20, -14), fork + complex(6, 4), fork + complex(5, 17), fork + complex(-5, 17), fork + complex(-6, 0),
        complex(-31, 60), complex(-17, 10),
    ]  # fmt: skip
    turned = _turned(rounded(corners, ROUND_PX), levers.yoke_turn if out else 0.0)
    return Figure("yoke", label, px(levers.yoke_at), inner=(turned,))


def yoke_spring(levers: Levers, out: bool, label: str) -> Figure:
    """A wire that presses the yoke, and with it the clutch, towards the winding pinion."""
    tip = SPRING_TIP_PX * cmath.exp(1j * (levers.yoke_turn if out else 0.0))
    curve = bent(SPRING_FOOT_PX, (tip + SPRING_FOOT_PX) / 2 + complex(-16, 30), tip)
    shapes = (Shape(curve, "blued wire blade"), Shape(circle(7, px(SPRING_FOOT_PX)), "steel detail"))
    return Figure("yoke-spring", label, px(levers.yoke_at), shapes=shapes)


def setting_lever(levers: Levers, out: bool, label: str) -> Figure:
    """Pin in the stem's groove, nose on the yoke, stud in one of the two notches of its spring."""
    pin, nose, stud = levers.pin, levers.nose, levers.stud
    corners = [
        nose + complex(-6, -3), nose + complex(1, -7), nose + complex(8, -1), complex(14, -13), stud + complex(6, -7),
        stud + complex(7, 7), complex(16, 12), pin + complex(12, -14), pin + complex(8, 8), pin + complex(-8, 8),
        complex(-14, 12), complex(-14, -6),
    ]  # fmt: skip
    pins = "".join(circle(radius, px(at)) for at, radius in ((pin, 5.0), (stud, 4.5)))
    turned = _turned(rounded(corners, ROUND_PX), levers.lever_turn if out else 0.0, Shape(pins, "steel detail"))
    return Figure("setting-lever", label, px(levers.lever_at), inner=(_notched(levers), turned))


def _notched(levers: Levers) -> Figure:
    """The setting lever's spring about the lever's screw: the stud falls into one of two notches."""
    inside, outside = levers.stud, levers.stud * cmath.exp(1j * levers.lever_turn)
    step = outside - inside
    off = -1j * step / abs(step)
    off = off if (off * inside.conjugate()).real > 0 else -off  # to the far side of the stud
    places = [inside - 0.55 * step, inside + 7 * off, inside + step / 2, outside + 7 * off, outside + 0.6 * step]
    line = run([*places, outside + complex(36, -26), FOOT_PX])
    shapes = (Shape(line, "blued wire blade"), Shape(circle(7, px(FOOT_PX)), "steel detail"))
    return Figure(None, None, shapes=shapes)


def _turned(body: str, turn_rad: float, *more: Shape) -> Figure:
    screw = Shape(circle(8) + "M-5.5-5.5L5.5 5.5", "steel detail")
    shapes = (Shape(body, "steel lever"), screw, *more)
    return Figure(None, None, turned_deg=VIEW.turn_deg(math.degrees(turn_rad)), shapes=shapes)
