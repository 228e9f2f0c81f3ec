"""A pallet's face, new and worn: a pit where the teeth rub it, as long as the contact is, as deep as it was measured.

The pit is even over the contact and runs out over its ends; a real one is seldom so even. The wheel goes on until its tooth lies
in the pit.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np

from builder.drawing.path import Points
from builder.drawing.sheet import Figure
from builder.drawing.worn.pair import HEIGHT_PX, WIDTH_PX, Lens, Pair, sheet
from builder.ground import words
from builder.ground.geometry import arc, turned
from builder.ground.wording import Wording
from builder.parts.escapement.action import Action, Piece
from builder.parts.escapement.draft import Draft, Drawn
from builder.parts.escapement.shape import Edge
from builder.parts.finding.condition import PalletWear

LOOKS = 240
"""Points along a contact."""
RUN_OUT = 0.18
"""Part of the contact's length over which the pit runs out at each end."""
AROUND = 2.6
"""Lengths of the contact that the drawing is high."""
NEAR = 2e-3
"""Of the wheel's radius: what lies so near to a touch has been rubbed."""
HALVINGS = 24


def draw(slug: str, name: str, draft: Draft, action: Action, wear: PalletWear, wording: Wording) -> Pair | None:
    """None where no tooth comes to that face. `name` is the part in words."""
    rubbed, piece = _rubbed(draft, action, wear)
    if piece is None or len(rubbed) < 2:
        return None
    theta = (piece.start_rad + piece.end_rad) / 2
    low, high = (f(turned(rubbed, theta), axis=0) for f in (np.min, np.max))
    long, middle = max(float(np.max(high - low)), 0.04 * draft.tip_mm), (low + high) / 2
    lens = Lens((float(middle[0]), float(middle[1])), min(HEIGHT_PX, WIDTH_PX) / (AROUND * long))
    outlines = [(each.material, _fine(turned(outline, theta), lens)) for each, outline in _bodies(draft, wear)]
    outlines = [(material, outline) for material, outline in outlines if lens.sees(outline, 1.0).any()]
    touched = turned(rubbed[:: max(1, len(rubbed) // LOOKS)], theta)
    pitted = [(material, _pitted(outline, touched, wear.depth_mm, NEAR * draft.tip_mm, lens)) for material, outline in outlines]
    changed = [after for (_, before), (_, after) in zip(outlines, pitted, strict=True) if not np.array_equal(before, after)]
    phi = float(piece.wheel_rad(theta))
    further = _further_rad(draft, phi, changed, wear.depth_mm, lens)
    ghosts = tuple(
        Figure(None, None, shapes=(lens.shape(_in_sight(lens, before), "ghost"),))
        for (_, before), (_, after) in zip(outlines, pitted, strict=True)
        if not np.array_equal(before, after)
    )
    made = []
    for side, bodies, turn, over in (("new", outlines, phi, ()), ("worn", pitted, phi + further, ghosts)):
        parts = [_part(lens, "escape-wheel", draft.wheel.material, _wheel(draft, turn))]
        parts += [_part(lens, "pallets", material, outline) for material, outline in bodies]
        made.append(sheet(slug, side, "pallet", lens, (*parts, *over), wording, name))
    facts = {"depth": f"{wear.depth_mm:.3g}", "further": words.figure(math.degrees(further), 2)}
    new, worn = made
    return Pair(new, worn, facts)


def _wheel(draft: Draft, phi: float) -> Points:
    """The wheel's outline about the pallet arbor."""
    return turned(draft.wheel.outline_mm, phi) - np.array([0.0, draft.centre_mm])


def _bodies(draft: Draft, wear: PalletWear) -> list[tuple[Drawn, Points]]:
    """What is drawn of the pallets. A round pin is drawn finely and alone: the lever that carries it would cover it."""
    if wear.face != "pin":
        return [(each, each.outline_mm) for each in draft.pallets]
    found = []
    for pin in (spot for spot in draft.surfaces[wear.pallet].spots if spot.radius_mm > 0):
        rings = (each for each in draft.pallets if np.ptp(np.hypot(*(each.outline_mm - pin.at_mm).T)) < 0.2 * pin.radius_mm)
        found += [(each, arc(pin.at_mm, pin.radius_mm, 0.0, math.tau, 1e-4 * pin.radius_mm)[:-1]) for each in rings]
    return found


def _part(lens: Lens, part: str, material: str, points_mm: Points) -> Figure:
    return Figure(part, None, shapes=(lens.shape(_in_sight(lens, points_mm), material),))


def _in_sight(lens: Lens, points: Points) -> Points:
    """What lies far out of sight is drawn with fewer points."""
    near = lens.sees(points, 3.0)
    kept = near | np.roll(near, 1) | np.roll(near, -1) | (np.arange(len(points)) % 40 == 0)
    return points[kept]


def _rubbed(draft: Draft, action: Action, wear: PalletWear) -> tuple[Points, Piece | None]:
    """Where teeth touch that face, points about the pallet arbor at theta = 0 (N, 2), and the longest of these contacts."""
    edges = [(edge.name, _along(edge, 1e-3 * draft.tip_mm)) for edge in draft.surfaces[wear.pallet].edges]
    found, longest, length = [np.zeros((0, 2))], None, 0.0
    for piece in (*action.up.pieces, *action.down.pieces):
        if piece.pallet != wear.pallet or piece.touch_mm is None:
            continue
        theta = np.linspace(piece.start_rad, piece.end_rad, LOOKS)
        at = np.stack([touch(theta) for touch in piece.touch_mm], axis=-1) - np.array([0.0, draft.centre_mm])
        at = turned(at, -theta)
        if wear.face != "pin":
            at = at[[_nearest(point, edges) == wear.face for point in at] if edges else []]
        found.append(at)
        reach = float(np.sum(np.hypot(*np.diff(at, axis=0).T)))
        if reach > length:
            longest, length = piece, reach
    return np.concatenate(found), longest


def _along(edge: Edge, step_mm: float) -> Points:
    """Points on an edge, (N, 2), about a step apart."""
    corners = np.concatenate([edge.points(0.05 * step_mm), edge.end_mm[None, :]])
    steps = np.maximum(np.ceil(np.hypot(*np.diff(corners, axis=0).T) / step_mm), 2).astype(int)
    return np.concatenate([np.linspace(a, b, n) for (a, b), n in zip(pairwise(corners), steps, strict=True)])


def _nearest(point: Points, edges: list[tuple[str, Points]]) -> str:
    """Name of the edge that lies nearest."""
    return min(edges, key=lambda each: float(np.min(np.hypot(*(each[1] - point).T))))[0]


def _fine(outline: Points, lens: Lens) -> Points:
    """The outline with points a px and a half apart (bounded) where it passes through the window, every corner kept."""
    after = np.roll(outline, -1, axis=0)
    step, to_middle = after - outline, np.array(lens.middle_mm) - outline
    share = np.clip(np.sum(to_middle * step, axis=1) / np.maximum(np.sum(step * step, axis=1), 1e-300), 0.0, 1.0)
    seen = np.hypot(*(to_middle - share[:, None] * step).T) * lens.scale < math.hypot(WIDTH_PX, HEIGHT_PX) / 2
    steps = np.where(seen, np.clip(np.ceil(np.hypot(*step.T) * lens.scale / 1.5), 1, 400), 1).astype(int)
    runs = [start + (end - start) * np.arange(n)[:, None] / n for start, end, n in zip(outline, after, steps, strict=True)]
    return np.concatenate(runs)


def _pitted(outline: Points, rubbed: Points, depth_mm: float, near_mm: float, lens: Lens) -> Points:
    """The outline with what has been rubbed moved into the material; outlines run counter-clockwise round it."""
    seen = np.flatnonzero(lens.sees(outline))
    away = np.min(np.hypot(*(outline[seen][:, None, :] - rubbed[None, :, :]).transpose(2, 0, 1)), axis=1)
    touched = seen[away < near_mm]
    if len(touched) < 3:
        return outline
    along = np.roll(outline, -1, axis=0) - np.roll(outline, 1, axis=0)
    inward = np.stack([-along[:, 1], along[:, 0]], axis=-1) / np.maximum(np.hypot(*along.T), 1e-12)[:, None]
    gap = int(np.argmax(np.diff(touched, append=touched[0] + len(outline))))
    run = np.roll(touched, -gap - 1)
    steps = np.hypot(*np.diff(outline[run], axis=0).T)
    share = np.concatenate([[0.0], np.cumsum(steps)]) / max(float(steps.sum()), 1e-12)
    fade = np.minimum(np.minimum(share, 1 - share) / RUN_OUT, 1.0)
    deep = depth_mm * (0.5 - 0.5 * np.cos(math.pi * fade))
    made = outline.copy()
    made[run] += deep[:, None] * inward[run]
    return made


def _further_rad(draft: Draft, phi: float, bodies: list[Points], depth_mm: float, lens: Lens) -> float:
    """How much further the wheel goes before a tooth meets what has worn; 0 where nothing has."""
    if not bodies:
        return 0.0
    around = [(_in_sight(lens, body), body[lens.sees(body, 1.0)]) for body in bodies]
    low, high = 0.0, min(8 * depth_mm / draft.tip_mm, draft.pitch_rad / 2)

    def meets(turn: float) -> bool:
        wheel = _in_sight(lens, _wheel(draft, phi + turn))
        tips = wheel[lens.sees(wheel)]
        return any(bool(_within(tips, body).any() or _within(near, wheel).any()) for body, near in around)

    for _ in range(HALVINGS):
        tried = (low + high) / 2
        low, high = (low, tried) if meets(tried) else (tried, high)
    return low


def _within(points: Points, outline: Points) -> np.ndarray:
    """(N,) which points lie inside a closed outline, by even and odd crossings."""
    (x, y), (ax, ay) = points.T[:, :, None], outline.T[:, None, :]
    bx, by = np.roll(outline, -1, axis=0).T[:, None, :]
    crosses = (ay > y) != (by > y)
    with np.errstate(divide="ignore", invalid="ignore"):
        at = ax + (y - ay) * (bx - ax) / (by - ay)
    return np.asarray((crosses & (x < at)).sum(axis=1) % 2 == 1)
