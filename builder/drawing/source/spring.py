"""A mainspring seen from the front: bare about its arbor, or in its open barrel."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from builder.drawing.path import View, circle, closed
from builder.drawing.sheet import Figure, Shape
from builder.drawing.source.cut import box_d, changing
from builder.drawing.source.hold import square_d
from builder.drawing.source.run import Run, turned_deg
from builder.drawing.source.strip import Bow, strip
from builder.ground.geometry import Points
from builder.parts.source.barrel import Barrel
from builder.parts.source.coils import Coils

CHORD_PX = 0.05
MOST_BYTES = 56_000
"""Of text for the strip's key frames."""
FINE_PX = 3.0
"""A thinner strip is drawn with finer edges."""
EYE_RAD = 1.55 * math.pi
"""How far the strip's eye goes round its pillar (as drawn)."""
SHOWN_COILS = 0.6
"""A pack of fewer coils is not marked."""
SQUARE = 0.62
"""Winding square across the flats by the arbor's diameter, where it was not measured (as drawn)."""
USUAL_INNER_RAD = math.radians(100)
"""Where the inner end stands in a barrel: a barrel's arbor can be set as one likes."""


@dataclass(frozen=True)
class Sprung:
    """A spring to be drawn: how its coils lie at turns left, and in which direction its ends are when wound."""

    coils_at: Callable[[float], Coils]
    run: Run
    mirrored: bool
    """From the inner end outwards it runs clockwise, seen from the front."""
    outer_rad: float
    inner_rad: float
    bow: Bow | None = None

    @property
    def wound(self) -> Coils:
        return self.coils_at(self.run.turns)

    @property
    def way(self) -> int:
        return -1 if self.mirrored else 1


def in_barrel(coils_at: Callable[[float], Coils], run: Run, turns: float) -> Sprung:
    """The spring of a barrel that turns `turns` in the winding, as the source's arbor does: so coiled that its arbor stands."""
    way = -run.sense
    outer_rad = USUAL_INNER_RAD + way * 2 * math.pi * (coils_at(0.0).count + turns)
    return Sprung(coils_at, run, way < 0, outer_rad, USUAL_INNER_RAD)


def on_pillar(coils_at: Callable[[float], Coils], run: Run, pillar_rad: float, bow: Bow) -> Sprung:
    """An open spring, its outer end on a pillar: so coiled that its arbor drives as the source's arbor turns."""
    way = run.sense
    inner_rad = pillar_rad - way * 2 * math.pi * (coils_at(0.0).count + run.turns)
    return Sprung(coils_at, run, way < 0, pillar_rad, inner_rad, bow)


def open_barrel(barrel: Barrel, view: View) -> tuple[Shape, Shape]:
    """Wall and bottom of a barrel without its cover."""
    wall, floor = circle(barrel.outside_mm / 2 * view.scale), circle(barrel.inside_diameter_mm / 2 * view.scale)
    return Shape(wall, "brass detail"), Shape(floor, "plate floor")


def strip_figure(sprung: Sprung, view: View, label: str, most_bytes: int = MOST_BYTES) -> Figure:
    """The strip about its arbor, the outer end where it is when wound; it stands still, its holder may turn."""
    drawn = strip(sprung.coils_at, sprung.run, view, sprung.mirrored, sprung.bow, most_bytes)
    weight = "detail" if sprung.wound.thickness_mm * view.scale > FINE_PX else "hair"
    move = sprung.run.move("d", drawn.texts, drawn.shares)
    return changing("mainspring", label, f"blued {weight}", move, turned_deg=turned_deg(view, sprung.outer_rad))


def arbor_figure(sprung: Sprung, view: View, names: dict[str, str], part: str, square_mm: float | None) -> Figure:
    """The snailed arbor with the hook for the inner end, turned as when wound; its square where that is on this side."""
    coils = sprung.wound
    outline = _as_lies(coils.arbor_outline(CHORD_PX / view.scale), sprung)
    end = Figure(None, None, shapes=(Shape(circle(0.5 * coils.radii_mm[0] * view.scale), "steel detail"),))
    if square_mm:
        end = Figure("winding-square", names["winding-square"], shapes=(Shape(square_d(square_mm * view.scale), "steel"),))
    hook = Figure("inner-end", names["inner-end"], shapes=(Shape(closed(view.px(_inner_hook(sprung)), 1), "steel hook"),))
    return Figure(part, names[part], shapes=(Shape(closed(view.px(outline), 1), "steel arbor"),), inner=(hook, end))


def _as_lies(points: Points, sprung: Sprung) -> Points:
    """From the frame of `Coils` (outer end on +x) to the front view."""
    z = points[:, 0] + 1j * points[:, 1]
    z = (np.conj(z) if sprung.mirrored else z) * np.exp(1j * sprung.outer_rad)
    return np.stack((z.real, z.imag), axis=-1)


def _inner_hook(sprung: Sprung) -> Points:
    """The arbor's hook: a nose through the hole in the strip's inner end."""
    h, r = sprung.wound.thickness_mm, sprung.wound.radii_mm[0]
    behind = 0.18 * min(1.0, 12 * h / r)
    angles = behind + np.array([-0.5, 0.5, 0.42, -0.3]) * 2.4 * h / r
    radii = np.array([r - 0.6 * h, r - 0.6 * h, r + 0.95 * h, r + 0.95 * h])
    z = radii * np.exp(1j * (sprung.inner_rad + sprung.way * angles))
    return np.stack((z.real, z.imag), axis=-1)


def outer_hook(sprung: Sprung, view: View, label: str) -> Figure:
    """The stud in the barrel's wall that holds the outer end, in the frame of the barrel."""
    coils = sprung.wound
    h, r = coils.thickness_mm, coils.radii_mm[3]
    half, inside, outside = 1.3 * h * view.scale, (r - 1.1 * h) * view.scale, (r + 1.6 * h) * view.scale
    turned = turned_deg(view, sprung.outer_rad - sprung.way * 3.5 * h / r)
    return Figure("outer-end", label, turned_deg=turned, shapes=(Shape(box_d((inside, -half, outside, half)), "steel hook"),))


def pillar_figure(sprung: Sprung, view: View, distance_mm: float, radius_mm: float, label: str) -> Figure:
    """The pillar of an open spring with the eye of the strip round it."""
    h = sprung.wound.thickness_mm
    z = distance_mm * np.exp(1j * sprung.outer_rad)
    x, y = (float(v) for v in view.px(np.array([z.real, z.imag])))
    turn = np.exp(1j * (sprung.outer_rad + sprung.way * np.linspace(0.0, EYE_RAD, 25)))
    ring = np.concatenate([(radius_mm + h) * turn, radius_mm * turn[::-1]])
    eye = Shape(closed(view.px(np.stack((ring.real, ring.imag), axis=-1)), 1), "blued detail")
    return Figure("outer-end", label, (x, y), shapes=(Shape(circle(radius_mm * view.scale), "brass pillar"), eye))


def packs(sprung: Sprung, view: View, turns_left: float, state: str) -> Figure:
    """For one state of winding: how far the pack on the arbor reaches, and where the one on the wall begins."""
    coils = sprung.coils_at(turns_left)
    reach = [coils.radii_mm[1] + coils.thickness_mm / 2] if coils.on_arbor > SHOWN_COILS else []
    reach += [coils.radii_mm[2] - coils.thickness_mm / 2] if coils.on_wall > SHOWN_COILS else []
    return Figure(None, None, shapes=tuple(Shape(circle(r * view.scale), "ghost") for r in reach), state=state)
