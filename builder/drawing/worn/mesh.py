"""Teeth where they meet, new and worn: at their true places by true contact, at the right distance of centres or the worn one.

The driver stands at the same angle in both drawings, its centre at the left, and turns counter-clockwise. What is worn keeps a
dashed outline of what it was.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from builder.drawing.path import Points, circle, line
from builder.drawing.sheet import Figure, Shape
from builder.drawing.worn.pair import HEIGHT_PX, WIDTH_PX, Lens, Pair, sheet
from builder.going.power import mesh_contact
from builder.ground.geometry import polar, turned
from builder.ground.wording import Wording
from builder.parts.finding.condition import Hurt
from builder.parts.teeth.contact import MeshContact
from builder.parts.teeth.gear import Gear, GearPair
from builder.parts.teeth.touch import touch

MODULES_HIGH = 7.5
"""Modules of tooth that a drawing is high."""
CHORD = 3e-4
"""Of the module: finer than a line."""
SPOT_PX = 4.5

Side = Literal["driver", "driven"]
Array = np.ndarray
Harmed = tuple[Hurt, Side]


@dataclass(frozen=True)
class Met:
    """A mesh in one condition: its gears, and how much too far apart their centres are."""

    gears: GearPair
    friction: float
    too_far_mm: float = 0.0

    @property
    def distance_mm(self) -> float:
        """Between the centres."""
        return self.gears.distance_mm + self.too_far_mm

    @property
    def contact(self) -> MeshContact:
        """What it does over a pitch."""
        return mesh_contact(self.gears, self.friction, self.too_far_mm)

    @property
    def touches(self) -> bool:
        """Whether the teeth still reach one another at all."""
        return bool(np.any(self.contact.pairs > 0))

    def stood(self, driver_rad: float, less_rad: float = 0.0) -> tuple[float, complex]:
        """How the driven is turned (counter-clockwise) when the driver's tooth 0 stands there, and the foremost touch (mm).

        `less_rad`: so much less than a whole pair do the teeth 0 push the driven on; another pair may then hold it.
        """
        driver, driven = self.gears.driver, self.gears.driven
        angles = driver_rad + driver.angle_rad * np.arange(-3.0, 4.0)
        one = touch(driver, driven, self.distance_mm, angles)
        exact = driven.half_tooth_rad + (angles + driver.half_tooth_rad) * driver.teeth / driven.teeth
        ahead = np.where(np.isfinite(one.alpha_rad), one.alpha_rad - exact, -np.inf)
        ahead[3] -= less_rad
        most = int(np.argmax(ahead))
        return math.pi - float(exact[3] + ahead[most]), complex(one.point[most])


def draw(
    slug: str,
    what: str,
    names: tuple[str, str, str],
    new: Met,
    worn: Met,
    wording: Wording,
    hurt: Harmed | None = None,
) -> Pair:
    """`names`: the part in words, and ids of driver and driven. `hurt` is one tooth, with the side that it is on."""
    lens = Lens((new.gears.driver.pitch_mm, 0.0), HEIGHT_PX / (MODULES_HIGH * new.gears.driver.module_mm))
    angle = 0.0 if hurt else _seen_at(worn.contact)
    ghost = _ghost(lens, new, angle, "driven" if hurt is None else hurt[1])
    return Pair(
        sheet(slug, "new", what, lens, _figures(lens, names, new, angle, None), wording, names[0]),
        sheet(slug, "worn", what, lens, (*_figures(lens, names, worn, angle, hurt), ghost), wording, names[0]),
    )


def _seen_at(contact: MeshContact) -> float:
    """The driver's angle at which the worn teeth touch furthest before the line of centres."""
    there = np.where(contact.pairs > 0, contact.point_mm.imag, np.inf)
    return float(contact.driver_rad[int(np.argmin(there))])


def _figures(lens: Lens, names: tuple[str, str, str], met: Met, angle: float, hurt: Harmed | None) -> tuple[Figure, ...]:
    """Driver, driven, line of centres and pitch circles, the point of touch."""
    _, driver_id, driven_id = names
    driver, driven = met.gears.driver, met.gears.driven
    turn, point = met.stood(angle, 0.0 if hurt is None else _less_rad(met, hurt[0]))
    of: dict[Side, Hurt | None] = {"driver": None, "driven": None}
    if hurt is not None:
        of[hurt[1]] = hurt[0]
        turn -= _pushed_rad(met, angle, turn, of)
    figures = [
        _gear(lens, _outline(driver, of["driver"], 1), (0.0, 0.0), angle, driver_id),
        _gear(lens, _outline(driven, of["driven"], -1), (met.distance_mm, 0.0), turn, driven_id),
        _lines(lens, met),
    ]
    if hurt is None:
        spot = Shape(circle(SPOT_PX, lens.at(point.real, point.imag), 1), "spot")
        figures.append(Figure(None, None, shapes=(spot,)))
    return tuple(figures)


def _less_rad(met: Met, hurt: Hurt) -> float:
    """How much less a thin tooth pushes the driven on; a missing one not at all."""
    driven = met.gears.driven
    return {"worn": hurt.by_mm / 2 / driven.pitch_mm, "missing": driven.angle_rad, "bent": 0.0}[hurt.harm]


def _pushed_rad(met: Met, driver_rad: float, turn_rad: float, of: dict[Side, Hurt | None]) -> float:
    """How much further on a bent tooth holds the driven: no point of its flank lies in a leaf. 0 where it does not reach."""
    driver, driven = met.gears.driver, met.gears.driven
    flank = driver.flank.points(CHORD * driver.module_mm)
    radius, angle = np.abs(flank), np.angle(flank)
    if of["driver"] is not None and of["driver"].harm != "bent":
        return 0.0
    angle = driver_rad + angle + _bend_rad(driver, radius, of["driver"])
    arm = radius * np.exp(1j * angle) - met.distance_mm
    reach = np.abs(arm)
    inside = (reach < driven.tip_mm) & (reach > driven.root_mm)
    half = driven.flank.half_angle(reach)[0] - _bend_rad(driven, reach, of["driven"])
    # the leaf before the tooth turns clockwise: its back edge stands at turn + half, and the flank must lie behind it
    behind = (np.angle(arm) - turn_rad + driven.angle_rad / 4) % driven.angle_rad - driven.angle_rad / 4
    return float(np.max(np.where(inside, half - behind, 0.0), initial=0.0))


def _bend_rad(gear: Gear, radius_mm: Array, hurt: Hurt | None) -> Array:
    """How far a bent tooth leans at each radius, the way that it turns: from nothing at its root."""
    if hurt is None or hurt.harm != "bent":
        return np.zeros_like(radius_mm)
    return np.asarray(hurt.by_mm / gear.pitch_mm * np.maximum(radius_mm - gear.root_mm, 0.0) / (gear.pitch_mm - gear.root_mm))


def _outline(gear: Gear, hurt: Hurt | None, sense: int) -> Points:
    """Outline (N, 2), tooth 0 hurt if one is; `sense` +1 turns counter-clockwise."""
    outline = gear.outline(CHORD)
    if hurt is None:
        return outline
    each = outline.reshape(gear.teeth, -1, 2).copy()
    radius, angle = np.hypot(*each[0].T), np.arctan2(each[0, :, 1], each[0, :, 0])
    if hurt.harm == "missing":
        radius = np.full_like(radius, gear.root_mm)
    elif hurt.harm == "bent":
        angle = angle + sense * _bend_rad(gear, radius, hurt)
    else:
        thinner = hurt.by_mm / 2 / gear.pitch_mm * np.clip((radius - gear.root_mm) / (gear.pitch_mm - gear.root_mm), 0.0, 1.0)
        angle = np.sign(angle) * np.maximum(np.abs(angle) - thinner, 0.0)
    each[0] = polar(radius, angle)
    return each.reshape(-1, 2)


def _gear(lens: Lens, outline: Points, place: tuple[float, float], turn_rad: float, part: str) -> Figure:
    """The teeth that are in sight, as a piece of the rim."""
    material = "brass" if part.endswith("wheel") else "steel"
    return Figure(part, None, shapes=(lens.shape(_in_sight(lens, outline, place, turn_rad), f"{material} teeth"),))


def _in_sight(lens: Lens, outline: Points, place: tuple[float, float], turn_rad: float) -> Points:
    points = turned(outline, turn_rad) + np.array(place)
    near = np.flatnonzero(lens.sees(points))
    if len(near) == len(points):
        return points
    gap = int(np.argmax(np.diff(near, append=near[0] + len(points))))  # the run may pass the outline's beginning
    run = points[np.roll(near, -gap - 1)]
    return np.concatenate([run, np.array(place) + 0.3 * (run[[-1, 0]] - np.array(place))])


def _lines(lens: Lens, met: Met) -> Figure:
    """Line of centres and pitch circles."""
    y = lens.at(0.0, 0.0)[1]
    shapes = [Shape(line(-WIDTH_PX / 2, y, WIDTH_PX / 2, y, 1), "axis")]
    for gear, x in ((met.gears.driver, 0.0), (met.gears.driven, met.distance_mm)):
        shapes.append(Shape(circle(gear.pitch_mm * lens.scale, lens.at(x, 0.0), 1), "phantom"))
    return Figure(None, None, shapes=tuple(shapes))


def _ghost(lens: Lens, new: Met, angle: float, side: Side) -> Figure:
    """What is worn, as it was and as it would stand."""
    if side == "driver":
        points = _in_sight(lens, new.gears.driver.outline(CHORD), (0.0, 0.0), angle)
    else:
        points = _in_sight(lens, new.gears.driven.outline(CHORD), (new.distance_mm, 0.0), new.stood(angle)[0])
    return Figure(None, None, shapes=(lens.shape(points, "ghost"),))
