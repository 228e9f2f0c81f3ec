"""Ratchet wheel, click and click spring, seated: what keeps the winding in."""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass

import numpy as np

from builder.drawing.path import View, circle, closed, number
from builder.drawing.shapes import crossed_wheel
from builder.drawing.sheet import Figure, Shape
from builder.drawing.source.sized import great_wheel
from builder.going.going import Going
from builder.going.placed import Toothing
from builder.ground.geometry import Points, turned
from builder.parts.source.going_barrel import GoingBarrel
from builder.parts.teeth.ratchet import Ratchet

FORM = Ratchet()
SUITING = 0.4
"""Radius of a ratchet that was not measured, by the great wheel's (as drawn)."""
USUAL_CLICK_DEG = 60.0
"""Where the click's screw stands where the file does not say."""
CLICK = 0.7
"""Length of the click by the ratchet's radius (as drawn: the file has none)."""

FOOT, BEND = complex(1.37, -0.87), complex(1.54, -0.26)
"""Where the click spring stands and how it bends, by the ratchet's radius, tooth 0 on +x (as drawn)."""


@dataclass(frozen=True)
class Hold:
    """A ratchet wheel with its click in the space before tooth 0, sized and placed about the ratchet's centre."""

    teeth: int
    tip_mm: float
    held_ccw: bool
    """The click holds it from turning counter-clockwise (seen from the front); it is wound clockwise."""
    click_rad: float
    """Direction to the click's screw, seen from the front."""

    @property
    def length_mm(self) -> float:
        """From the ratchet's tip to the click's screw."""
        return CLICK * self.tip_mm

    @property
    def wound(self) -> int:
        """Sense of winding: +1 counter-clockwise."""
        return -1 if self.held_ccw else 1

    @property
    def screw_mm(self) -> tuple[float, float]:
        """Where the click turns."""
        x, y = self.placed(np.array([FORM.click_pivot(self.tip_mm, self.length_mm, self.held_ccw)]))[0]
        return float(x), float(y)

    @property
    def screw_distance_mm(self) -> float:
        """From the ratchet's centre to the click's screw."""
        return math.hypot(*self.screw_mm)

    @property
    def root_mm(self) -> float:
        """Radius at the bottom of the teeth."""
        return float(np.min(np.hypot(*FORM.outline(self.teeth, self.tip_mm).T)))

    def placed(self, points_mm: Points) -> Points:
        """From the frame of the click's form (tooth 0 on +x) to its place."""
        x, y = FORM.click_pivot(self.tip_mm, self.length_mm, self.held_ccw)
        return turned(points_mm, self.click_rad - math.atan2(y, x))

    def wheel_outline(self) -> Points:
        return self.placed(FORM.outline(self.teeth, self.tip_mm, self.held_ccw))

    def click_outline(self) -> Points:
        """About the ratchet's centre."""
        return self.placed(FORM.click_outline(self.teeth, self.tip_mm, self.length_mm, self.held_ccw))

    @property
    def reach_mm(self) -> float:
        """How far all this reaches from the ratchet's centre: to the foot of the click spring."""
        return (abs(FOOT) + 0.1) * self.tip_mm

    def spring_line(self, lift_rad: float) -> Points:
        """The click spring as drawn (N, 2): from its foot to where it presses on the click's back, which takes it along."""
        pivot, tip = complex(*FORM.click_pivot(self.tip_mm, self.length_mm)), self.tip_mm
        touch = pivot + complex(0.065 * tip, 0.62 * self.length_mm) * cmath.exp(-1j * lift_rad)
        t = np.linspace(0.0, 1.0, 13)
        z = (1 - t) ** 2 * FOOT * tip + 2 * t * (1 - t) * BEND * tip + t * t * touch
        return self.placed(np.stack((z.real, -z.imag if self.held_ccw else z.imag), axis=-1))


def hold(going: Going, sense: int) -> Hold | None:
    """The source's ratchet as the file has it, with radius and direction that suit where it gives none; None without one.

    `sense`: +1 where the source's arbor turns counter-clockwise while it goes, seen from the front. In a going barrel the
    spring turns the barrel that way, and the arbor, held by the ratchet, the other.
    """
    source = going.movement.source
    keys = source.ratchet
    if keys is None:
        return None
    direction = USUAL_CLICK_DEG if keys.click_deg is None else keys.click_deg
    held_ccw = sense < 0 if isinstance(source, GoingBarrel) else sense > 0
    return Hold(keys.teeth, keys.radius_mm or SUITING * great_wheel(going).gear.pitch_mm, held_ccw, math.radians(direction))


def wheel_figure(wheel: Toothing, view: View, held: Hold | None) -> Figure:
    """A great wheel about its centre, one of its arms under the screw of the click that it carries."""
    gear = wheel.gear
    hub = max(0.16 * gear.root_mm, 0.62 * held.tip_mm if held else 0.0)
    body = crossed_wheel(gear.outline(), gear.root_mm, gear.module_mm, wheel.arms, hub, view)
    turned = view.turn_deg(math.degrees(held.click_rad)) if held else 0.0
    turned += 180.0 if view.back else 0.0
    return Figure(wheel.id, f"{wheel.title}, {gear.teeth} {wheel.noun}", turned_deg=turned, shapes=(Shape(body, "brass wheel"),))


def end_on(square_mm: float, view: View, names: dict[str, str]) -> Figure:
    """The winding square from its end."""
    return Figure("winding-square", names["winding-square"], shapes=(Shape(square_d(square_mm * view.scale), "steel"),))


def ratchet_figure(held: Hold, view: View, label: str, at: tuple[float, float] = (0.0, 0.0)) -> Figure:
    """The ratchet wheel about its own centre."""
    return Figure("ratchet-wheel", label, at, shapes=(Shape(closed(view.px(held.wheel_outline())), "steel wheel"),))


def click_figure(held: Hold, view: View, label: str) -> Figure:
    """The click about its screw, which is where the figure stands."""
    screw = np.array(held.screw_mm)
    x, y = (float(v) for v in view.px(screw))
    radius = 0.07 * held.length_mm * view.scale
    body = Shape(closed(view.px(held.click_outline() - screw)), "steel click")
    slot = f"M{number(-0.7 * radius)} {number(0.7 * radius)}L{number(0.7 * radius)} {number(-0.7 * radius)}"
    return Figure("click", label, (x, y), shapes=(body, Shape(circle(radius), "steel detail"), Shape(slot, "detail")))


def spring_d(held: Hold, view: View, lift_rad: float = 0.0) -> str:
    """The click spring's line as one curve of the same points whatever the lift."""
    points = view.px(held.spring_line(lift_rad))
    return "M" + "L".join(f"{number(x, 1)} {number(y, 1)}" for x, y in points)


def spring_foot(held: Hold, view: View) -> Figure:
    """What holds the click spring."""
    x, y = (float(v) for v in view.px(held.spring_line(0.0)[0]))
    return Figure("click-spring", None, (x, y), shapes=(Shape(circle(0.08 * held.length_mm * view.scale), "steel detail"),))


def seated(held: Hold, view: View, names: dict[str, str]) -> tuple[Figure, ...]:
    """Ratchet, click and spring at rest, about the ratchet's centre; `names` by part."""
    line = Figure("click-spring", names["click-spring"], shapes=(Shape(spring_d(held, view), "blued wire blade"),))
    return (
        ratchet_figure(held, view, names["ratchet-wheel"]),
        line,
        spring_foot(held, view),
        click_figure(held, view, names["click"]),
    )


def square_d(across_px: float, corner: float = 0.12) -> str:
    """The winding square, seen from its end, its corners taken off."""
    half, c = across_px / 2, corner * across_px
    points = [(-half + c, -half), (half - c, -half), (half, -half + c), (half, half - c)]
    points += [(half - c, half), (-half + c, half), (-half, half - c), (-half, -half + c)]
    return closed(np.array(points), 1)
