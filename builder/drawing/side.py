"""Pieces in section along the unrolled line: wheels with rim and arms, pinions and arbors whole, plates and boxes hatched.

What is cut is hatched, as in any section; arbors, pinions, pivots and hands are shown whole, as the standards for technical
drawings have it (ISO 128: shafts, rivets and arms are not cut lengthwise).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from builder.drawing import side_details, side_source
from builder.drawing.hatching import box_d, broken_below, hatched
from builder.drawing.path import line, number
from builder.drawing.sheet import Figure, Shape
from builder.drawing.side_frame import SideFrame
from builder.drawing.unrolled import HANGING
from builder.going.piece import Piece
from builder.going.pivots import pivots
from builder.going.solids import Outline, Ring, Sheet, Solid
from builder.going.swing_pieces import STAFF
from builder.parts.oscillator.balance import Balance
from builder.parts.teeth.gear import Gear

HOLE = 0.78
"""Length of a pivot's hole by how far the pivot reaches into the plate: its end stands in the oil sink."""
ARMS = 0.62
"""Thickness of a wheel's arms by that of its rim (as drawn)."""

CLASSES = {
    "brass": "brass", "steel": "steel", "nickel silver": "nickel", "blued": "blued", "ruby": "ruby", "silvered": "silvered",
    "plate": "plate", "wood": "wood", "iron": "iron", "lead": "iron", "cast_iron": "iron",
}  # fmt: skip

AT_THE_ENDS = ("pillars", "pillar-pins", "dial-feet")
"""Parts that stand beside the line, drawn once at either end of it."""
FEET_INSET = 12.0
"""How far a foot of the dial is drawn from the end of the line, by its radius."""


@dataclass(frozen=True)
class Side(SideFrame):
    """Draws pieces and their solids in a section."""

    def figures(self, piece: Piece) -> list[Figure]:
        """One figure for each drawn part of a piece, in order."""
        if piece.id == "weight":
            return [Figure("weight", None, shapes=(side_source.hanging_cord(self),))] if side_source.cord_mm(self) else []
        if piece.id == "chain":
            shape = side_source.chain(self)
            return [Figure("chain", None, shapes=(shape,))] if shape else []
        made = []
        for part in piece.parts:
            own = [solid for solid in piece.solids if solid.part == part]
            shapes = tuple(self._ends(own[0]) if part in AT_THE_ENDS else self._all(own))
            if shapes:
                made.append(Figure(part, None, shapes=shapes))
            if part == "ratchet-wheel" and (click := side_details.click(self, own[0])):
                made.append(Figure("click", None, shapes=(click,)))
        return made

    def _all(self, solids: list[Solid]) -> Iterator[Shape]:
        for solid in solids:
            if isinstance(solid.region, Ring) and not self.view.knows(solid.region.at):
                continue
            yield from self._shapes(solid, CLASSES.get(solid.material, solid.material))

    def _shapes(self, solid: Solid, kind: str) -> Iterator[Shape]:
        """A solid as shapes, back to front."""
        region, span = solid.region, (solid.low_mm, solid.high_mm)
        if isinstance(region, Sheet):
            yield from self._sheet(solid, region, kind)
        elif isinstance(region, Outline):
            yield from self._outline(solid, kind)
        elif solid.part == "tension-spring":
            yield self._bow(solid, region, kind)
        elif solid.part == "balance-staff" and self.laid.heights["balance"].low_mm > 0:
            yield self._coned(solid, region, kind)
        elif solid.part in ("balance-screw", "balance-cup"):
            yield from side_details.cup(self, solid, region, self._staff_mm())
        elif solid.part.endswith("-hand"):
            yield self._hand(solid, region, kind)
        elif solid.look == "leaves":
            yield from self._leaves(solid, region, kind)
        elif solid.look == "teeth":
            yield from self._wheel(solid, region, kind)
        elif solid.part == "mainspring":
            yield from side_source.coils(self, solid, region)
        elif solid.part == "hairspring" and kind == "blued":
            yield self._hairspring(solid, region)
        elif solid.part == "drum":
            yield from side_source.drum(self, solid, region)
        elif solid.part == "fusee":
            yield side_source.fusee(self, solid, region)
        elif solid.look == "cut":
            yield from hatched(self.bands(region, span), kind, solid.part)
        else:
            boxes = self.bands(region, span)
            yield Shape("".join(box_d(box) for box in boxes), f"{kind} {'arbor' if solid.look == 'shaft' else 'solid'}")
            yield from self._square(solid, region)

    def _outline(self, solid: Solid, kind: str) -> Iterator[Shape]:
        low, high = self.view.reach(solid)
        span = (solid.low_mm, solid.high_mm)
        if solid.part == "suspension":
            yield from side_details.suspension(self, solid)
        elif solid.part in HANGING and low < self.low_mm:
            if high > self.low_mm and solid.part not in ("bob", "rating-nut"):
                yield Shape(broken_below(self.box((self.low_mm, high), span)), f"{kind} arbor")
        elif solid.look == "cut":
            yield from hatched([self.box((low, high), span)], kind, solid.part)
        else:
            yield Shape(box_d(self.box((low, high), span)), f"{kind} {'arbor' if solid.look == 'shaft' else 'pallet'}")

    def _ends(self, solid: Solid) -> Iterator[Shape]:
        """Pillars, pins and feet, one at each end of the line for all of them."""
        assert isinstance(solid.region, Ring)
        if solid.part == "pillars":
            yield from side_details.pillar(self, solid)
        elif solid.part == "pillar-pins":
            yield from side_details.pillar_pin(self, solid, solid.region)
        else:
            radius = solid.region.outer_mm
            start, end = self.sheet_mm("dial")  # a dial may end before the plates do
            places = (
                max(self.low_mm + FEET_INSET * radius, start + 3 * radius),
                min(self.high_mm - FEET_INSET * radius, end - 3 * radius),
            )
            for u in places:
                box = self.box((u - radius, u + radius), (solid.low_mm, solid.high_mm))
                yield Shape(box_d(box), f"{CLASSES[solid.material]} pillar")

    def _sheet(self, solid: Solid, region: Sheet, kind: str) -> Iterator[Shape]:
        """A plate or the dial between its holes, with an oil sink outside each pivot's hole."""
        low, high = self.sheet_mm(solid.part)
        known = [hole for hole in region.holes if self.view.knows(hole.at)]
        holes = [(self.view.axis(hole.at) - hole.radius_mm, self.view.axis(hole.at) + hole.radius_mm) for hole in known]
        holes = sorted([*holes, *side_details.pillar_holes(self, solid.part)])
        edges = [low]
        for start, end in holes:
            if start > edges[-1]:
                edges += [start, end]
            else:
                edges[-1] = max(edges[-1], end)
        edges.append(high)
        span = (solid.low_mm, solid.high_mm)
        boxes = [self.box((a, b), span) for a, b in zip(edges[::2], edges[1::2], strict=True) if b > a]
        yield from hatched(boxes, kind, solid.part)
        sinks = [self._sink(*each, solid) for each in self._sinks(solid)]
        if sinks:
            yield Shape("".join(sinks), "sink")

    def _sinks(self, solid: Solid) -> list[tuple[float, float, float]]:
        """(place on the line, pivot's radius, depth) of the sinks of pivots that end within a plate, outside them."""
        found = []
        for at, radius, end in pivots(self.laid, solid.part):
            if radius < 0.6 * solid.thickness_mm and solid.low_mm < end < solid.high_mm and self.view.knows(at):
                into = solid.high_mm - end if solid.part == "back-plate" else end - solid.low_mm
                found.append((self.view.axis(at), radius, solid.thickness_mm - HOLE * into))
        return found

    def _sink(self, u: float, radius: float, deep: float, plate: Solid) -> str:
        out, way = (plate.low_mm, 1) if plate.part == "back-plate" else (plate.high_mm, -1)
        x0, x1 = self.view.x(out), self.view.x(out + way * deep)
        wide = max(2.6 * radius, 0.55 * deep)
        ys = [self.view.y(u + k) for k in (wide, 1.1 * radius, -1.1 * radius, -wide)]
        (a, b), (y0, y1, y2, y3) = (number(x, 1) for x in (x0, x1)), (number(y, 1) for y in ys)
        return f"M{a} {y0}Q{b} {y0} {b} {y1}V{y2}Q{b} {y3} {a} {y3}z"

    def _gear(self, part: str) -> tuple[float, float, int, Gear | None]:
        """(root, rim's inner radius, arms, gear) of a toothed part."""
        draft = self.laid.plan.draft
        if part == "escape-wheel" and draft is not None:
            return draft.root_mm, 0.84 * draft.root_mm, 4, None
        found = next((t for t in self.laid.plan.toothings if t.id == part), None)
        if found is None:
            return 0.0, 0.0, 0, None
        return (
            found.gear.root_mm,
            found.gear.root_mm - max(1.9 * found.gear.module_mm, 0.055 * found.gear.root_mm),
            found.arms,
            found.gear,
        )

    def _wheel(self, solid: Solid, region: Ring, kind: str) -> Iterator[Shape]:
        """Teeth whole, rim and hub cut, arms between them whole and thinner."""
        root, rim, arms, _ = self._gear(solid.part)
        root = root or 0.88 * region.outer_mm
        span, at, inner = (solid.low_mm, solid.high_mm), region.at, region.inner_mm
        hub = max(2.1 * inner, 0.13 * root)
        teeth = self.bands(Ring(at, region.outer_mm, root), span)
        if not arms or rim < 1.6 * hub:
            yield Shape("".join(box_d(box) for box in teeth), f"{kind} toothed")
            yield from hatched(self.bands(Ring(at, root, inner), span), kind, solid.part)
            return
        thin = solid.thickness_mm * (1 - ARMS) / 2
        arm = self.bands(Ring(at, rim, hub), (solid.low_mm + thin, solid.high_mm - thin))
        yield Shape("".join(box_d(box) for box in (*arm, *teeth)), f"{kind} toothed")
        yield from hatched([*self.bands(Ring(at, root, rim), span), *self.bands(Ring(at, hub, inner), span)], kind, solid.part)
        yield from side_details.collet(self, solid, region)

    def _leaves(self, solid: Solid, region: Ring, kind: str) -> Iterator[Shape]:
        """A pinion whole, with the edges of the leaves that face the eye; a bored one cut."""
        span, at = (solid.low_mm, solid.high_mm), region.at
        root, _, _, gear = self._gear(solid.part)
        bored = solid.part in ("cannon-pinion", "minute-pinion") and 0 < region.inner_mm < root
        if bored:
            yield Shape("".join(box_d(box) for box in self.bands(Ring(at, region.outer_mm, root), span)), f"{kind} toothed")
            yield from hatched(self.bands(Ring(at, root, region.inner_mm), span), kind, solid.part)
            return
        left, top, right, bottom = self.box((self.view.axis(at) - region.outer_mm, self.view.axis(at) + region.outer_mm), span)
        yield Shape(box_d((left, top, right, bottom)), f"{kind} pinion")
        count = gear.teeth if gear else 8
        middle, half = (top + bottom) / 2, (bottom - top) / 2
        edges = [
            middle + half * math.sin(2 * math.pi * (k + 0.25) / count + way * 0.2 * math.pi / count)
            for k in range(count)
            for way in (-1, 1)
            if math.cos(2 * math.pi * (k + 0.25) / count) > 0
        ]
        yield Shape("".join(f"M{number(left, 1)} {number(y, 1)}H{number(right, 1)}" for y in edges), "detail")

    def _hairspring(self, solid: Solid, region: Ring) -> Shape:
        """One short line for each coil above and below the staff."""
        oscillator = self.laid.movement.oscillator
        count = round(oscillator.hairspring.coils) if isinstance(oscillator, Balance) else 10
        u, d = self.view.axis(region.at), ""
        for k in range(count):
            radius = region.inner_mm + (region.outer_mm - region.inner_mm) * (k + 0.5) / count
            for way in (1, -1):
                d += line(
                    self.view.x(solid.low_mm),
                    self.view.y(u + way * radius),
                    self.view.x(solid.high_mm),
                    self.view.y(u + way * radius),
                    1,
                )
        return Shape(d, "blued wire")

    def _bow(self, solid: Solid, region: Ring, kind: str) -> Shape:
        """A bent leaf: flat on the plate about the arbor, its ends up against the cannon pinion."""
        u, thin = self.view.axis(region.at), min(0.6, 0.2 * solid.thickness_mm)
        x0, x1, t = self.view.x(solid.low_mm), self.view.x(solid.high_mm), thin * self.view.scale * self.view.raised
        n, d = number, ""
        for way in (1, -1):
            y0, y1, y2 = (self.view.y(u + way * r) for r in (region.inner_mm, 2.2 * region.inner_mm, region.outer_mm))
            d += (
                f"M{n(x0, 1)} {n(y0, 1)}V{n(y1, 1)}Q{n(x0, 1)} {n((y1 + y2) / 2, 1)} {n(x1 + t, 1)} {n(y2, 1)}H{n(x1, 1)}"
                f"Q{n(x0 - t, 1)} {n((y1 + y2) / 2, 1)} {n(x0 - t, 1)} {n(y1, 1)}V{n(y0, 1)}z"
            )
        return Shape(d, f"{kind} solid")

    def _staff_mm(self) -> float:
        """Radius of a balance staff between cups."""
        oscillator = self.laid.movement.oscillator
        return STAFF * oscillator.diameter_mm if isinstance(oscillator, Balance) else 0.0

    def _coned(self, solid: Solid, region: Ring, kind: str) -> Shape:
        """A staff with coned ends, which run in the cups of two screws."""
        u, r = self.view.axis(region.at), region.outer_mm
        tip = 1.4 * r
        x = [number(self.view.x(z), 1) for z in (solid.low_mm - tip, solid.low_mm, solid.high_mm, solid.high_mm + tip)]
        low, middle, high = (number(self.view.y(u + k * r), 1) for k in (1, 0, -1))
        return Shape(f"M{x[0]} {middle}L{x[1]} {low}H{x[2]}L{x[3]} {middle}L{x[2]} {high}H{x[1]}z", f"{kind} arbor")

    def _hand(self, solid: Solid, region: Ring, kind: str) -> Shape:
        """Upwards from its boss, tapering, broken off at the drawing's edge."""
        u, half = self.view.axis(region.at), solid.thickness_mm / 2
        boss = region.outer_mm <= 3.0 * region.inner_mm + 1e-9 or region.outer_mm < 0.1 * (self.high_mm - self.low_mm)
        if boss:
            return Shape("".join(box_d(box) for box in self.bands(region, (solid.low_mm, solid.high_mm))), f"{kind} solid")
        end = min(u + region.outer_mm, self.high_mm)
        x0, x1 = self.view.x(solid.low_mm), self.view.x(solid.low_mm + half)
        n = number
        y0, y1 = self.view.y(u + region.inner_mm), self.view.y(end)
        return Shape(
            f"M{n(x0, 1)} {n(y0, 1)}V{n(y1, 1)}H{n(x1, 1)}L{n(self.view.x(solid.high_mm), 1)} {n(y0, 1)}z", f"{kind} solid"
        )

    def _square(self, solid: Solid, region: Ring) -> Iterator[Shape]:
        """The diagonals that mark the flats of the winding square."""
        source = self.laid.movement.source
        if region.inner_mm > 0 or solid.part != f"{source.arbor}-arbor".replace("_", "-"):
            return
        square = self.laid.shaft(source.arbor).square
        if square == "front" and solid.high_mm > self.laid.heights.front_mm:
            span = (self.laid.heights.front_mm + 0.35 * (solid.high_mm - self.laid.heights.front_mm), solid.high_mm)
        elif square == "back" and solid.low_mm < self.laid.back_mm:
            span = (solid.low_mm, self.laid.back_mm - 0.2 * (self.laid.back_mm - solid.low_mm))
        else:
            return
        (left, top, right, bottom), n = self.bands(region, span)[0], number
        yield Shape(
            f"M{n(left, 1)} {n(top, 1)}L{n(right, 1)} {n(bottom, 1)}M{n(left, 1)} {n(bottom, 1)}L{n(right, 1)} {n(top, 1)}",
            "detail",
        )
