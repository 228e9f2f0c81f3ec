"""Barrel, chain and fusee from the side, between the plates: the chain runs straight across, and sinks as it is drawn over.

Sizes along the arbors are those of the file where it has them; floors, gaps, flanges and pivots follow common practice (no
source) and carry no weight in any computation.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from builder.drawing.path import closed, number
from builder.drawing.sheet import Figure, Shape
from builder.drawing.source.chain import Chain
from builder.drawing.source.cut import Box, box_d, changing, cut
from builder.drawing.source.hold import Hold
from builder.drawing.source.views import Spot
from builder.going.placed import Toothing
from builder.parts.source.barrel import Barrel


@dataclass(frozen=True)
class ChainSide:
    """Figures back to front, where leaders end, and what it takes up above and below the small end's groove. px."""

    figures: tuple[Figure, ...]
    spots: dict[str, Spot]
    top: float
    bottom: float


def from_the_side(
    chain: Chain, barrel: Barrel, wheel: Toothing, held: Hold | None, names: dict[str, str],
    plate_mm: float, square_mm: float, barrel_long_mm: float,
) -> ChainSide:  # fmt: skip
    """z = 0 where the chain leaves the small end; the winding square above. The fusee's arbor is at x = 0."""
    px = chain.view.scale
    breadth, foot = chain.line.breadth_mm * px, float(chain.height_px(0.0))
    large, small = (r * px for r in chain.ends_mm())
    thick, tip = chain.line.thickness_mm * px, wheel.gear.tip_mm * px
    plate, x_barrel = plate_mm * px, chain.side * chain.apart_mm * px
    flange = (foot - breadth / 2, foot + 1.4 * breadth)
    great = (flange[1] + 0.2 * breadth, flange[1] + 0.2 * breadth + 0.8 * plate)
    barrel_z = (foot / 2 - barrel_long_mm * px / 2, foot / 2 + barrel_long_mm * px / 2)
    inner = (min(barrel_z[0], -2.2 * breadth) - 0.5 * plate, max(barrel_z[1], great[1]) + 0.5 * plate)
    outer = (inner[0] - plate, inner[1] + plate)
    arbor, barrel_arbor = 0.42 * small, 0.42 * barrel.arbor_diameter_mm / 2 * px
    half_square = min(square_mm * px / 2, 0.75 * arbor)
    top, set_up = outer[0] - 0.34 * large, outer[0] - 0.5 * plate
    wide = barrel.outside_mm / 2 * px

    body = [(-small, -1.1 * breadth), (small, -1.1 * breadth)]
    turns = np.linspace(chain.turns, 0.0, 25)
    floor = (chain.radius_mm(turns) - chain.line.thickness_mm / 2) * px
    heights = chain.height_px(turns)
    body += [(float(r), float(z)) for r, z in zip(floor, heights, strict=True)]
    body += [(-float(r), float(z)) for r, z in zip(floor[::-1], heights[::-1], strict=True)]
    edge = sorted((-1.06 * tip * chain.side, x_barrel + 1.12 * wide * chain.side))
    holes = sorted(((0.0, 0.75 * arbor), (x_barrel, 0.8 * barrel_arbor)))
    boxes = [box for z in ((outer[0], inner[0]), (inner[1], outer[1])) for box in _between((edge[0], edge[1]), holes, z)]

    fusee_arbor = _turned(
        0.0, [(outer[0], 0.75 * arbor), (inner[0], arbor), (inner[1], 0.75 * arbor), (outer[1] + 0.3 * plate, 0.0)]
    )
    upper = _turned(
        x_barrel,
        [
            (set_up - 0.3 * plate, 0.8 * barrel_arbor),
            (inner[0], barrel_arbor),
            (inner[1], 0.8 * barrel_arbor),
            (outer[1] + 0.3 * plate, 0.0),
        ],
    )
    lid = (barrel_z[0] + 0.06 * (barrel_z[1] - barrel_z[0]), barrel_z[1] - 0.06 * (barrel_z[1] - barrel_z[0]))
    lines = "".join(f"M{number(x_barrel - wide, 1)} {number(z, 1)}h{number(2 * wide, 1)}" for z in lid)
    square = (-half_square, top, half_square, outer[0])
    cross = f"M{_xy(square[0], square[1])}L{_xy(square[2], square[3])}M{_xy(square[2], square[1])}L{_xy(square[0], square[3])}"
    run = chain.run
    sliding = run.sliding(0.0, foot)
    across = sorted((0.0, x_barrel))
    roots = [r * wheel.gear.root_mm * px for r in (-1, 1)]
    rims = "".join(f"M{number(r, 1)} {number(great[0], 1)}V{number(great[1], 1)}" for r in roots)
    ratchet_wide = 1.9 * barrel_arbor
    figures = [
        Figure("plates", None, shapes=cut(boxes, "plate")),
        Figure("barrel-arbor", names["barrel-arbor"], shapes=(Shape(upper, "steel arbor"),)),
        Figure("set-up-ratchet", names["set-up-ratchet"], shapes=(
            Shape(box_d((x_barrel - ratchet_wide, set_up, x_barrel + ratchet_wide, outer[0] - 0.08 * plate)), "steel"),)),
        Figure("barrel", names["fusee-barrel"], shapes=(
            Shape(box_d((x_barrel - wide, barrel_z[0], x_barrel + wide, barrel_z[1])), "brass"), Shape(lines, "detail"))),
        changing("chain", None, "steel hair", chain.on_barrel_wrap().move(run, chain.on_barrel), (x_barrel, 0.0)),
        Figure(None, None, shapes=(Shape(fusee_arbor, "steel arbor"),)),
        Figure("fusee", names["fusee"], shapes=(Shape(closed(np.array(body), 1), "brass"),)),
        Figure("fusee", None, moves=(chain.grooves(),), shapes=(Shape(chain.grooves().values[0], "groove"),)),
        changing("chain", None, "steel hair", chain.on_fusee_wrap().move(run, lambda left: left), (0.0, foot)),
        Figure("chain", names["chain"], moves=(sliding,), shapes=(
            Shape(box_d((across[0], -breadth / 2, across[1], breadth / 2)), "steel hair"),)),
        Figure("fusee", None, shapes=(
            Shape(box_d((-large - thick, flange[0], large + thick, flange[1])), "brass"),
            Shape(box_d((-0.92 * small, -2.0 * breadth, 0.92 * small, -0.9 * breadth)), "brass"))),
        Figure(wheel.id, names["great-wheel"], shapes=(
            Shape(box_d((-tip, great[0], tip, great[1])), "brass"), Shape(rims, "detail"))),
        Figure("winding-square", names["winding-square"], shapes=(Shape(box_d(square), "steel"), Shape(cross, "detail"))),
        *_axes((0.0, x_barrel), top - 14, outer[1] + 0.3 * plate + 14),
    ]  # fmt: skip
    spots = {
        "winding-square": (0.0, (top + outer[0]) / 2),
        "set-up-ratchet": (x_barrel + chain.side * 0.7 * ratchet_wide, (set_up + outer[0]) / 2),
        "barrel": (x_barrel + chain.side * 0.8 * wide, lid[1] - 8),
        "fusee": (-chain.side * 0.55 * small, -1.4 * breadth),
        wheel.id: (-chain.side * 0.94 * tip, (great[0] + great[1]) / 2),
    }
    if held:
        hidden, more = _hidden(held, px, (flange[1] - 0.7 * breadth, great[0] + 0.5 * (great[1] - great[0])), -chain.side, names)
        figures += hidden
        spots |= more
    return ChainSide(tuple(figures), spots, top - 14, outer[1] + 0.3 * plate + 14)


def _hidden(
    held: Hold, px: float, z: tuple[float, float], side: int, names: dict[str, str]
) -> tuple[list[Figure], dict[str, Spot]]:
    """Ratchet and click inside the fusee's foot: hidden edges, the click turned into the plane."""
    tip, root, screw = held.tip_mm * px, held.root_mm * px, held.screw_distance_mm * px
    boss = 0.16 * held.length_mm * px
    click = tuple(sorted((side * root, side * (screw + boss))))
    shapes = {"ratchet-wheel": (-tip, z[0], tip, z[1]), "click": (click[0], z[0], click[1], z[1])}
    figures = [Figure(part, names[part], shapes=(Shape(box_d(box), "hidden-edge"),)) for part, box in shapes.items()]
    middle = (z[0] + z[1]) / 2
    return figures, {"ratchet-wheel": (side * 0.6 * tip, middle), "click": (side * screw, middle)}


def _turned(x: float, steps: list[tuple[float, float]]) -> str:
    """A turned arbor standing upright: radii from height to height; the last radius is not used."""
    right = [(x + r, z) for (z0, r), (z1, _) in pairwise(steps) for z in (z0, z1)]
    left = [(2 * x - px, z) for px, z in reversed(right)]
    return closed(np.array(right + left), 1)


def _between(edge: tuple[float, float], holes: list[tuple[float, float]], z: tuple[float, float]) -> list[Box]:
    """A plate in section, cut by the holes of arbors (place, radius)."""
    starts = [edge[0], *(x + r for x, r in holes)]
    ends = [*(x - r for x, r in holes), edge[1]]
    return [(a, z[0], b, z[1]) for a, b in zip(starts, ends, strict=True)]


def _axes(places: tuple[float, ...], top: float, bottom: float) -> list[Figure]:
    return [Figure(None, None, shapes=(Shape(f"M{_xy(x, top)}V{number(bottom, 1)}", "axis"),)) for x in places]


def _xy(x: float, y: float) -> str:
    return f"{number(x, 1)} {number(y, 1)}"
