"""Pieces in plan as they lie on the bench, nearest the eye last: true forms where there are any, else rings and outlines."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from builder.drawing import figures, shapes
from builder.drawing.escapement import escapement_figures
from builder.drawing.oscillator import balance_figures
from builder.drawing.path import View, circle, closed, opened
from builder.drawing.sheet import Figure, Shape, stopped
from builder.drawing.side import CLASSES
from builder.going.axes import Laid, pillar_mm, posts_mm
from builder.going.going import Going
from builder.going.piece import Piece
from builder.going.placed import Toothing
from builder.going.solids import Outline, Ring, Sheet, Solid
from builder.parts.clutch import BowSpring
from builder.parts.oscillator.balance import Balance
from builder.parts.source.fusee import Fusee
from builder.parts.source.open_spring import OpenSpring

Layer = tuple[float, str, Figure]
"""(height of its upper face towards the eye, the piece that it belongs to, how it is drawn)."""

TEN_PAST_TEN = {"hours": 304.0, "minutes": 48.0, "seconds": 0.0}
"""Hands stand at eight minutes past ten, clear of one another: degrees clockwise from 12."""
NOT_SEEN = (
    "pallet-arbor",
    "balance-staff",
    "crutch",
    "suspension",
    "pendulum-rod",
    "bob",
    "rating-nut",
    "dial-feet",
    "hairspring",
    "roller",
)
"""Parts that lie under others of their piece, or that are drawn with them."""


def layers(laid: Laid, pieces: list[Piece], view: View) -> list[Layer]:
    """All layers of these pieces, the lowest first."""
    found = [layer for piece in pieces for layer in _layers(laid, piece, view)]
    return sorted(found, key=lambda layer: layer[0])


def _layers(laid: Laid, piece: Piece, view: View) -> list[Layer]:
    special = {t.id: t for t in laid.plan.toothings}
    escapement = {figure.part: figure for figure in escapement_figures(laid.going, view)}
    made: list[Layer] = []
    for part in piece.parts:
        own = [s for s in piece.solids if s.part == part]
        top = max(_height(s, view) for s in own)
        if part in NOT_SEEN:
            continue
        if part in special:
            drawn = [_toothing(laid.going, special[part], view)]
            top = max(_height(s, view) for s in own if s.look in ("teeth", "leaves"))
        elif part in ("escape-wheel", "pallets") and part in escapement:
            drawn = [escapement[part]]
        elif part == "balance" and isinstance(laid.movement.oscillator, Balance):
            drawn = balance_figures(laid.going, laid.movement.oscillator, view)
        elif part.endswith("-hand"):
            drawn = [_hand(laid, part, view)]
        elif part == "dial":
            radius = laid.movement.dial.diameter_mm / 2 if laid.movement.dial else 30.0
            drawn = [figures.dial(laid.going, view, radius * view.scale)]
        else:
            made += [(_height(s, view), piece.id, figure) for s in own if (figure := _plain(laid, s, view)) is not None]
            continue
        made += [(top + 1e-4 * n, piece.id, stopped(figure, 0.0)) for n, figure in enumerate(drawn)]
    return made


def _toothing(going: Going, part: Toothing, view: View) -> Figure:
    """A wheel with the gap round it in one, since it leaves as one; a pinion."""
    drawn = figures.toothing(going, part, view)
    return replace(drawn, shapes=(*figures.ring(going, part, view).shapes, *drawn.shapes)) if part.wheel else drawn


def _height(solid: Solid, view: View) -> float:
    """How near the eye a solid's upper face is."""
    return -solid.low_mm if view.back else solid.high_mm


def _plain(laid: Laid, solid: Solid, view: View) -> Figure | None:
    """A solid as it is: a plate in outline with its holes, a ring, an outline."""
    region = solid.region
    kind = CLASSES.get(solid.material, solid.material)
    if isinstance(region, Sheet):
        return _plate(laid, solid, region, view)
    if isinstance(region, Outline):
        return Figure(solid.part, None, shapes=(Shape(closed(view.px(region.points_mm), 1), kind),))
    at = figures.px_at(view, region.at)
    if solid.part == "tension-spring" and isinstance(laid.clutch, BowSpring):
        wide = (laid.clutch.sized(2 * region.inner_mm).width_mm or 4.0) * view.scale
        leaf = shapes.rounded_box(2 * region.outer_mm * view.scale, wide, 0.3 * wide)
        return Figure(solid.part, None, at, shapes=(Shape(leaf + circle(region.inner_mm * view.scale), kind),))
    if solid.part == "mainspring" and isinstance(laid.movement.source, OpenSpring):
        return _open_spring(laid, solid, region, view)
    if solid.part == "fusee" and isinstance(laid.movement.source, Fusee):
        groove = laid.movement.source.groove_mm(13)
        grooves = "".join(circle(float(r) * view.scale) for _, r in groove[::2]) if groove is not None else ""
        return Figure(solid.part, None, at, shapes=(Shape(circle(region.outer_mm * view.scale), kind), Shape(grooves, "detail")))
    look = "arbor" if solid.look == "shaft" else "solid"
    bore = region.inner_mm if solid.look != "shaft" else 0.0
    d = circle(region.outer_mm * view.scale) + (circle(bore * view.scale) if bore else "")
    return Figure(solid.part, None, at, shapes=(Shape(d, f"{kind} {look}"),))


def _plate(laid: Laid, solid: Solid, region: Sheet, view: View) -> Figure:
    plates = laid.plates
    x, y = figures.px_at(view, plates.centre_mm)
    width, height = plates.width_mm * view.scale, (plates.height_mm or plates.width_mm) * view.scale
    outline = circle(width / 2) if plates.shape == "round" else shapes.rounded_box(width, height, 0.035 * min(width, height))
    holes = ""
    for hole in region.holes:
        hx, hy = figures.px_at(view, hole.at)
        holes += circle(hole.radius_mm * view.scale, (hx - x, hy - y))
    tenons = ""
    if solid.part == f"{laid.loose}-plate":
        for post in posts_mm(plates):
            px, py = figures.px_at(view, post)
            tenons += circle(0.5 * pillar_mm(plates) * view.scale, (px - x, py - y))
    drawn = [Shape(outline + holes, "plate")]
    if tenons:
        drawn.append(Shape(tenons, "brass"))
    return Figure(solid.part, None, (x, y), shapes=tuple(drawn))


def _hand(laid: Laid, part: str, view: View) -> Figure:
    shows = {"minute-hand": "minutes", "hour-hand": "hours", "seconds-hand": "seconds"}[part]
    carrier = dict(laid.train.hands)[shows]
    size = laid.movement.dial.diameter_mm / 2 if laid.movement.dial else 30.0
    length = {"minutes": 0.9, "hours": 0.6, "seconds": 0.22}[shows] * size * view.scale
    drawn = figures.hand(laid.going, shows, carrier, view, length)
    return Figure(part, None, drawn.at, TEN_PAST_TEN[shows] * (-1 if view.back else 1), shapes=drawn.shapes)


def _open_spring(laid: Laid, solid: Solid, region: Ring, view: View) -> Figure:
    """The spring let down, its outer end towards its pillar."""
    source = laid.movement.source
    assert isinstance(source, OpenSpring)
    coils = source.coils(0.0)
    at = figures.px_at(view, region.at)
    if coils is None:
        return Figure(solid.part, None, at, shapes=(Shape(circle(region.outer_mm * view.scale), "blued wire"),))
    turn = math.radians(source.pillar_deg)
    c, s = math.cos(turn), math.sin(turn)
    points = coils.points(0.2) @ np.array([[c, s], [-s, c]])
    return Figure(solid.part, None, at, shapes=(Shape(opened(view.px(points), 1), "blued wire"),))
