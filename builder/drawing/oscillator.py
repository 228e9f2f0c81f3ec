"""The oscillator's parts as measured, swinging as solved: pendulum with its suspension, balance with its hairspring."""

from __future__ import annotations

import math

import numpy as np

from builder.drawing import figures
from builder.drawing.moves import swing
from builder.drawing.path import View, circle, closed, number, opened, smooth
from builder.drawing.sheet import Figure, Move, Shape
from builder.going.going import Going
from builder.going.motion import Motion
from builder.going.swing_pieces import CRUTCH
from builder.ground.constants import MATERIALS
from builder.parts.escapement import DetachedLever
from builder.parts.oscillator.balance import Balance
from builder.parts.oscillator.pendulum import Pendulum
from builder.parts.oscillator.spiral import Spiral

KNOTS = 24
"""Points of the solved strip from knot to knot of its drawing: a quarter of a coil."""
SPRING_SHAPES = 15
"""Shapes of the hairspring over a whole swing, evenly in time."""
GOES_ALONG = 0.25
"""Part of the balance's turn by which the spring's drawing turns as a whole, so that shapes in between are nearly right too: most
of its length is in the outer coils, which hardly turn."""
STUD = 0.6
"""Where the stud stands, by the balance's radius (as drawn)."""
RIM_WIDTH = 0.11
"""Radial width of a rim that was not measured, by the balance's radius (as drawn)."""


def on_the_plan(going: Going, view: View, rim: bool = True) -> list[Figure]:
    """The balance as it lies on the plate, without its hairspring; without `rim` only roller and impulse pin. A pendulum hangs
    behind the back plate and is drawn by itself."""
    oscillator = going.movement.oscillator
    if isinstance(oscillator, Balance) and "balance" in going.plan.centres:
        if rim:
            return [balance_figure(going, oscillator, view)]
        return [roller_figure(going, view)] if going.plan.draft and going.plan.draft.balance else []
    return []


def way(going: Going) -> int:
    """-1 where lever and balance turn against each other, +1 where the pallets are on the oscillator's own arbor or crutch."""
    return -1 if isinstance(going.movement.escapement, DetachedLever) else 1


def turning(going: Going, view: View, radius_px: float, sign: int = 1) -> tuple[Move, ...]:
    """The swing of the oscillator in the plate's frame; nothing where none is solved."""
    motion = going.motion
    if motion.oscillator_rad is None:
        return ()
    return (swing(motion, sign * going.plan.frame.sense * motion.oscillator_rad, view, radius_px),)


def balance_figures(going: Going, balance: Balance, view: View) -> list[Figure]:
    """Balance, hairspring, collet and stud, back to front."""
    at = figures.px_at(view, going.plan.centres["balance"])
    return [balance_figure(going, balance, view), *_hairspring(going, balance, view, at)]


def balance_figure(going: Going, balance: Balance, view: View) -> Figure:
    """Rim, arms, screws and staff over the roller; the balance turns against the lever (see escapement/fork.py)."""
    radius = balance.diameter_mm / 2 * view.scale
    rim = balance.rim.width_mm * view.scale if balance.rim else RIM_WIDTH * radius
    count = balance.screws.count if balance.screws else 0
    screws = [Shape(_screw(radius, rim, 2 * math.pi * (k + 0.5) / count), "brass detail") for k in range(count)]
    staff = Shape(circle(0.035 * radius), "steel arbor")
    shapes_ = (*screws, Shape(_rim(radius, rim, balance.arms), "brass balance"), *_rollers(going, view), staff)
    at = figures.px_at(view, going.plan.centres["balance"])
    return Figure("balance", "Balance", at, moves=turning(going, view, radius, way(going)), shapes=shapes_)


def roller_figure(going: Going, view: View) -> Figure:
    """What of the balance the lever meets."""
    assert going.plan.draft is not None
    reach = max(float(np.max(np.hypot(*drawn.outline_mm.T))) for drawn in going.plan.draft.balance) * view.scale
    at = figures.px_at(view, going.plan.centres["balance"])
    staff = Shape(circle(0.12 * reach), "steel arbor")
    return Figure(
        "balance",
        "Roller and impulse pin",
        at,
        moves=turning(going, view, reach, way(going)),
        shapes=(*_rollers(going, view), staff),
    )


def _rollers(going: Going, view: View) -> tuple[Shape, ...]:
    draft, frame = going.plan.draft, going.plan.frame
    assert draft is not None
    return tuple(
        Shape(closed(view.px(frame.points(drawn.outline_mm)), 2), f"{drawn.material} {drawn.name.replace(' ', '-')}")
        for drawn in draft.balance
    )


def _rim(radius: float, width: float, arms: int) -> str:
    """Rim and arms; openings between them even-odd."""
    inner = radius - width
    hub = max(0.1 * radius, 3.0)
    half = 0.045 * radius
    d = circle(radius)
    count = max(arms, 1) if arms != 1 else 2
    for k in range(count):
        start, end = 2 * math.pi * k / count, 2 * math.pi * (k + 1) / count
        o, i = math.asin(half / inner), math.asin(min(0.95, half / hub))
        points = [
            (inner * math.cos(start + o), inner * math.sin(start + o)), (inner * math.cos(end - o), inner * math.sin(end - o)),
            (hub * math.cos(end - i), hub * math.sin(end - i)), (hub * math.cos(start + i), hub * math.sin(start + i)),
        ]  # fmt: skip
        a, b, c, e = (f"{number(x, 1)} {number(y, 1)}" for x, y in points)
        large = 1 if end - start - 2 * o > math.pi else 0
        big = 1 if end - start - 2 * i > math.pi else 0
        d += f"M{a}A{number(inner, 1)} {number(inner, 1)} 0 {large} 1 {b}L{c}A{number(hub, 1)} {number(hub, 1)} 0 {big} 0 {e}z"
    return d


def _screw(radius: float, rim: float, angle: float) -> str:
    """A screw's head on the rim's edge, seen from the side."""
    half, out = 0.045 * radius, radius + 0.055 * radius
    c, s = math.cos(angle), math.sin(angle)
    corners = [(radius - 0.3 * rim, -half), (out, -half), (out, half), (radius - 0.3 * rim, half)]
    return closed(np.array([(x * c - y * s, x * s + y * c) for x, y in corners]), 1)


def _hairspring(going: Going, balance: Balance, view: View, at: tuple[float, float]) -> list[Figure]:
    """The spring from collet to stud, in its true shape through the swing, and the stud that does not move."""
    radius = balance.diameter_mm / 2
    collet = (balance.hairspring.collet_diameter_mm or balance.diameter_mm / 8) / 2
    # The stud stands at a whole number of half turns from the collet's pinning point as drawn.
    spiral = Spiral(collet, STUD * radius, balance.hairspring.coils)
    motion = going.motion
    if motion.oscillator_rad is None:
        rest = smooth(view.px(spiral.turned(np.zeros(1))[0]), KNOTS)
        return [Figure("hairspring", "Hairspring", at, shapes=(Shape(rest, "blued wire"),))]
    sense = way(going) * going.plan.frame.sense
    turn, shape = _breathing(spiral, motion, sense, view)
    end = STUD * radius * np.array([math.cos(2 * math.pi * spiral.coils), math.sin(2 * math.pi * spiral.coils)])
    x, y = (float(v) for v in view.px(end))
    stud = Figure("stud", "Stud", (at[0] + x, at[1] + y), shapes=(Shape(circle(0.05 * radius * view.scale), "steel"),))
    ring = Shape(circle(collet * view.scale), "brass collet")
    spring = Figure("hairspring", "Hairspring", at, moves=(turn, shape), shapes=(Shape(shape.values[0], "blued wire"),))
    return [spring, Figure(None, None, at, shapes=(ring,)), stud]


def _breathing(spiral: Spiral, motion: Motion, sense: int, view: View) -> tuple[Move, Move]:
    """The strip drawn in a frame that turns by a part of the balance's angle."""
    assert motion.oscillator_rad is not None
    angles = sense * motion.oscillator_rad
    radius_px = spiral.outer_mm * view.scale
    turn = swing(motion, GOES_ALONG * angles, view, radius_px)
    levels = _levels(angles, SPRING_SHAPES)
    points = spiral.turned(levels)
    texts = []
    for level, one in zip(levels, points, strict=True):
        c, s = math.cos(-GOES_ALONG * level), math.sin(-GOES_ALONG * level)
        texts.append(smooth(view.px(one @ np.array([[c, s], [-s, c]])), KNOTS))
    times, values = _crossings(motion.times, angles, levels, texts)
    return turn, Move("d", values, times, round(motion.period_ms), exact_ms=motion.period_ms)


def _levels(angles: np.ndarray, count: int) -> np.ndarray:
    """Angles from one turning point to the other, (count,), evenly in time: a swing is nearly a sine."""
    low, high = float(np.min(angles)), float(np.max(angles))
    if low == high:
        return np.full(2, low)
    phase = np.linspace(-math.pi / 2, math.pi / 2, count)
    levels = (low + high) / 2 + (high - low) / 2 * np.sin(phase)
    levels[0], levels[-1] = low, high
    return levels


def _crossings(
    times: np.ndarray, angles: np.ndarray, levels: np.ndarray, texts: list[str]
) -> tuple[tuple[float, ...], tuple[str, ...]]:
    """When the balance passes each level, and the shape there, over the period."""
    if levels[0] == levels[-1]:
        return (0.0, 1.0), (texts[0], texts[0])
    nearest = lambda angle: texts[int(np.argmin(np.abs(levels - angle)))]  # noqa: E731
    found = [(0.0, nearest(angles[0]))]
    for k in range(len(angles) - 1):
        a, b = angles[k], angles[k + 1]
        passed = [level for level in levels if min(a, b) <= level <= max(a, b)] if a != b else []
        for level in sorted(passed, reverse=bool(b < a)):
            t = float(times[k] + (times[k + 1] - times[k]) * (level - a) / (b - a))
            if t - found[-1][0] > 1e-6 and t < 1 - 1e-6:
                found.append((t, nearest(level)))
    found.append((1.0, nearest(angles[-1])))
    return tuple(t for t, _ in found), tuple(text for _, text in found)


def pendulum_figures(going: Going, pendulum: Pendulum, view: View) -> list[Figure]:
    """Suspension, rod, bob and nut, about the point where the spring is held (at the origin of the view)."""
    hung = pendulum.hung(float(going.train.beats_per_hour))
    px = view.scale
    centre = hung.centre_m * 1000
    axis = hung.hanging.pivot_m * 1000
    strip = pendulum.suspension.length_mm if pendulum.suspension else 0.0
    rod_half = max((pendulum.rod.width_mm or pendulum.rod.diameter_mm or 4.0) / 2 * px, 1.2)
    bottom = (strip + pendulum.rod.length_mm) * px
    up = -axis * px  # the figure's origin is the apparent axis
    rod_kind = "wood" if pendulum.rod.material == "wood" else "brass" if pendulum.rod.material == "brass" else "steel"
    bob_kind = "brass" if pendulum.bob.shape == "lenticular" or pendulum.bob.material == "brass" else "iron"
    n = number
    top = up + strip * px
    rod = f"M{n(-rod_half)} {n(top)}h{n(2 * rod_half)}V{n(up + bottom)}h{n(-2 * rod_half)}z"
    nut_y = up + (centre + bob_half_mm(pendulum)) * px
    nut_half, nut_tall = max(4 * rod_half, 6.0), max(5 * px, 7.0)
    nut = f"M{n(-nut_half)} {n(nut_y)}h{n(2 * nut_half)}v{n(nut_tall)}h{n(-2 * nut_half)}z"
    bob = _bob(pendulum, px, up + centre * px)
    moves = turning(going, view, centre * px)
    swinging = Figure(
        "pendulum", "Pendulum", moves=moves,
        inner=(
            Figure("pendulum-rod", "Rod", shapes=(Shape(rod, rod_kind),)),
            Figure("bob", "Bob", shapes=(Shape(bob, bob_kind),)),
            Figure("rating-nut", "Rating nut", shapes=(Shape(nut, "brass"),)),
            *_crutch(going, rod_half, px),
        ),
    )  # fmt: skip
    chops_half = max(10.0, 4 * rod_half)
    chops = Shape(f"M{n(-chops_half)} {n(up - 16)}h{n(2 * chops_half)}v16h{n(-2 * chops_half)}z", "brass")
    made = [Figure("suspension", "Suspension", shapes=(chops,)), swinging]
    if pendulum.suspension is not None:
        made.append(_strip(going, pendulum, hung.body.weight_n, axis, view))
    return made


def _crutch(going: Going, rod_half: float, px: float) -> list[Figure]:
    """Down from the pallet arbor before the rod, with its foot about the rod; it turns with the pendulum, for the pallet arbor is
    in line with the axis. As long as it is from the side; without plates its length is not known."""
    plates = going.movement.plates
    if plates is None:
        return []
    long = CRUTCH * (plates.height_mm or plates.width_mm) * px
    half, n = max(0.3 * rod_half, 1.5), number
    aside, foot = rod_half + 2 * half, 2.5 * half
    d = f"M{n(-half)} 0h{n(2 * half)}V{n(long - foot)}H{n(aside)}v{n(foot)}H{n(-aside)}v{n(-foot)}H{n(-half)}z"
    return [Figure("crutch", "Crutch", shapes=(Shape(d, "steel"),))]


def bob_half_mm(pendulum: Pendulum) -> float:
    """Half the bob's height as seen from the front."""
    bob = pendulum.bob
    return (bob.height_mm if bob.shape == "cylinder" and bob.height_mm else bob.diameter_mm) / 2


def _bob(pendulum: Pendulum, px: float, y: float) -> str:
    bob = pendulum.bob
    r = bob.diameter_mm / 2 * px
    if bob.shape == "cylinder":
        h = bob_half_mm(pendulum) * px
        return f"M{number(-r)} {number(y - h)}h{number(2 * r)}v{number(2 * h)}h{number(-2 * r)}z"
    return circle(r, (0.0, y))


def _strip(going: Going, pendulum: Pendulum, weight_n: float, axis_mm: float, view: View) -> Figure:
    """The suspension spring bent by the swing: y' = theta (1 − cosh((l − s)/b) / cosh(l/b)), b = √(E I / weight).

    A strip under the pull of the weight, clamped above (beam theory, small angles); it runs on into the rod's own line.
    """
    strip = pendulum.suspension
    assert strip is not None
    second_m4 = strip.strips * strip.width_mm * strip.thickness_mm**3 / 12 * 1e-12
    young = MATERIALS[strip.material].young_pa or MATERIALS["steel"].young_pa or 2e11
    b = math.sqrt(young * second_m4 / weight_n) * 1000
    s = np.linspace(0.0, strip.length_mm, 9)
    with np.errstate(over="ignore"):
        run = s - b * (np.tanh(strip.length_mm / b) - np.sinh((strip.length_mm - s) / b) / np.cosh(strip.length_mm / b))
    motion = going.motion
    angles = np.zeros(2) if motion.oscillator_rad is None else going.plan.frame.sense * motion.oscillator_rad
    times = np.array([0.0, 1.0]) if motion.oscillator_rad is None else motion.times

    def drawn(theta: float) -> str:
        return opened(view.px(np.stack((theta * run, axis_mm - s), axis=-1)), 2)

    levels = _levels(angles, 3)
    texts = [drawn(float(level)) for level in levels]
    if motion.oscillator_rad is None:
        return Figure("suspension", None, shapes=(Shape(texts[0], "blued wire"),))
    when, values = _crossings(times, angles, levels, texts)
    move = Move("d", values, when, round(motion.period_ms), exact_ms=motion.period_ms)
    return Figure("suspension", None, moves=(move,), shapes=(Shape(values[0], "blued wire"),))
