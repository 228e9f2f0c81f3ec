"""What comes off a movement in one piece at the bench: the solids that it fills, the way that it leaves, what fastens it.

Built from plan and heights alone; radii of pipes, cocks and squares that no file gives follow common practice (no source).
Left out: screws, click springs and the feet of cocks; and the tilt of a pallet arbor whose crutch is threaded through the back
plate. A balance's lower pivot is drawn in the front plate, where many movements have a cock or a potence of its own.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from builder.going.axes import PLAY, Laid, feet_mm, pillar_mm, posts_mm
from builder.going.dial_pieces import hands, motion_work, post_solid
from builder.going.piece import Piece
from builder.going.shafts import clutch_solids, shaft_solids, toothed_solids
from builder.going.solids import Hole, Outline, Ring, Sheet, Solid, on_the_way_out
from builder.going.source_pieces import keyless_pieces, source_pieces
from builder.going.swing_pieces import (
    OPENING,
    balance_pieces,
    front_cup,
    on_the_staff,
    pallet_arbor_mm,
    pallet_pieces,
    pendulum_solids,
)

WAYS_DEG = (0, 15, -15, 30, -30, 45, -45, 60, -60)
"""How far a piece that leaves sideways may turn from the straight way out, tried in turn."""
DIAL_HOLE = 1.3
"""Radius of a hole in the dial by that of what passes through it."""


@dataclass(frozen=True)
class Pieces:
    """All that comes off, the plate with its pillars that stays, and what comes off pieces that are already out."""

    off: tuple[Piece, ...]
    stays: Piece
    apart: tuple[Piece, ...]
    """A barrel's cover, arbor and spring; a great wheel's key."""

    def __getitem__(self, name: str) -> Piece:
        return next(piece for piece in (*self.off, *self.apart, self.stays) if piece.id == name)


def pieces(laid: Laid) -> Pieces:
    """Every piece of a movement that has plates."""
    source, apart = source_pieces(laid)
    source_arbor = laid.movement.source.arbor
    arbors = [
        Piece(
            arbor.id,
            (*shaft_solids(laid, arbor.id), *toothed_solids(laid, arbor.id), *_clutch(laid, arbor.id)),
            laid.loose,
            "train",
        )
        for arbor in laid.movement.arbors
        if arbor.id != source_arbor
    ]
    pendulum = pendulum_solids(laid)
    swinging = [Piece("pendulum", tuple(pendulum), "back", "pendulum", ("weight",))] if pendulum else []
    before = [*hands(laid), *motion_work(laid)]
    pillars = [
        Solid("pillars", Ring(at, pillar_mm(laid.plates)), 0.0, laid.heights.between_mm, "brass", "shaft")
        for at in posts_mm(laid.plates)
    ]
    standing = [*pillars, *(solid for piece in (*arbors, *source) for solid in piece.solids)]
    swung = [_way_out(laid, piece, standing) for piece in (*balance_pieces(laid), *pallet_pieces(laid))]
    others = [*swinging, *before, *keyless_pieces(laid), *swung, *arbors, *source]
    shown = [solid for piece in others for solid in piece.solids]
    dial = _dial(laid, shown)
    front, back = _plates(laid, [*shown, *(solid for piece in dial for solid in piece.solids)])
    loose, fixed = (front, back) if laid.loose == "front" else (back, front)
    stays = Piece(fixed[0].part, (*fixed, *pillars), laid.loose, "stays")
    off = [*others, *dial, _pins(laid), Piece(loose[0].part, tuple(loose), laid.loose, "plate", ("pillar-pins",))]
    return Pieces(tuple(off), stays, tuple(apart))


def _way_out(laid: Laid, piece: Piece, standing: list[Solid]) -> Piece:
    """A piece that leaves sideways, turned as little as need be to pass pillars and arbors; where no way is free it stays until
    the plate is off."""
    if piece.way != "aside":
        return piece
    for degrees in WAYS_DEG:
        turn = math.radians(degrees)
        c, s = math.cos(turn), math.sin(turn)
        x, y = piece.direction
        way = (c * x - s * y, s * x + c * y)
        met = (on_the_way_out(a, b, way) for a in piece.solids for b in standing if b.part != "escape-wheel")
        if not any(met):
            return replace(piece, direction=way)
    return replace(piece, way=laid.loose, stage="train")


def _clutch(laid: Laid, arbor: str) -> list[Solid]:
    return clutch_solids(laid) if arbor == laid.cannon_on else []


def _dial(laid: Laid, shown: list[Solid]) -> list[Piece]:
    """The dial with holes for pipes, arbors and winding square."""
    if "dial" not in laid.heights.spans:
        return []
    span = laid.heights["dial"]
    holes = _holes(shown, span.low_mm, span.high_mm, DIAL_HOLE)
    solid = Solid("dial", Sheet(holes), span.low_mm, span.high_mm, "silvered", "cut")
    feet = [
        Solid("dial-feet", Ring(at, 0.5 * pillar_mm(laid.plates)), laid.heights.between_mm, span.low_mm, "brass", "shaft")
        for at in feet_mm(laid.plates)
    ]
    return [Piece("dial", (*feet, solid), "front", "dial")]


def _pins(laid: Laid) -> Piece:
    """Pins, nuts or screws that hold the loose plate on its pillars."""
    heights = laid.heights
    thick = 0.7 * heights.plate_mm
    low = heights.front_mm if laid.loose == "front" else laid.back_mm - thick
    radius = 0.8 * pillar_mm(laid.plates)
    solids = tuple(Solid("pillar-pins", Ring(at, radius), low, low + thick, "steel") for at in posts_mm(laid.plates))
    return Piece("pillar-pins", solids, laid.loose, "plate")


def _plates(laid: Laid, shown: list[Solid]) -> tuple[list[Solid], list[Solid]]:
    """(front plate with what is fixed to it, back plate)."""
    heights, centres = laid.heights, laid.plan.centres
    low, high = heights.between_mm, heights.front_mm
    fixed = [solid for solid in (post_solid(laid), front_cup(laid)) if solid is not None]
    front = Solid("front-plate", Sheet(_holes([*shown, *fixed], low, high, PLAY)), low, high, "plate", "cut")
    holes = _holes(shown, laid.back_mm, 0.0, PLAY)
    if laid.style == "pendulum" and "pallets" in centres:
        holes += (Hole(centres["pallets"], OPENING * pallet_arbor_mm(laid)),)
    if "balance" in heights.spans and heights["balance"].high_mm < 0 and laid.plan.draft is not None:
        turning = "pallets" if on_the_staff(laid) else "roller"  # a cylinder comes out through the plate as rollers do
        rollers = [s.region.points_mm for s in shown if s.part == turning and isinstance(s.region, Outline)]
        reach = max((float(((points - centres["balance"]) ** 2).sum(axis=1).max()) ** 0.5 for points in rollers), default=0.0)
        holes += (Hole(centres["balance"], 1.1 * reach),)
    back = Solid("back-plate", Sheet(holes), laid.back_mm, 0.0, "plate", "cut")
    return [front, *fixed], [back]


def _holes(shown: list[Solid], low_mm: float, high_mm: float, play: float) -> tuple[Hole, ...]:
    """A hole for each round solid that stands in a plate or passes through it: the widest at each place."""
    found: dict[tuple[float, float], float] = {}
    for solid in shown:
        if isinstance(solid.region, Ring) and solid.low_mm < high_mm - 1e-6 and solid.high_mm > low_mm + 1e-6:
            at = solid.region.at
            found[at] = max(found.get(at, 0.0), play * solid.region.outer_mm)
    return tuple(Hole(at, radius) for at, radius in found.items())
