"""The source as pieces: great arbor with drum, spring or fusee; a barrel and what is in it; weight, chain, ratchet."""

from __future__ import annotations

from dataclasses import replace

from builder.going.axes import SHOULDER, Laid, into_mm
from builder.going.heights import Span
from builder.going.piece import Piece, Way
from builder.going.placed import DIAL_SIDE, Point
from builder.going.shafts import shaft_solids, toothed_solids
from builder.going.solids import Ring, Solid, over
from builder.going.source_heights import BARREL_PIVOT, FLOOR, barrel_place, body
from builder.parts.source.barrel import Barrel
from builder.parts.source.fusee import Fusee
from builder.parts.source.going_barrel import GoingBarrel
from builder.parts.source.open_spring import OpenSpring
from builder.parts.source.weight import Weight


def source_pieces(laid: Laid) -> tuple[list[Piece], list[Piece]]:
    """(pieces of the movement, pieces that come apart once the first are out)."""
    source = laid.movement.source
    if isinstance(source, GoingBarrel):
        return _going_barrel(laid, source)
    arbor = source.arbor
    solids = [*shaft_solids(laid, arbor), *toothed_solids(laid, arbor), *_beside(laid)]
    keyed = _from_the_arbor(laid, solids, arbor)
    off = [Piece(arbor, (*solids, *(s for piece in keyed if piece.id == "great-key" for s in piece.solids)), laid.loose, "train")]
    apart: list[Piece] = []
    if isinstance(source, Weight):
        off.insert(0, Piece("weight", (), "down", "power"))
        apart += keyed
    elif isinstance(source, OpenSpring):
        apart.append(Piece("mainspring", tuple(s for s in solids if s.part == "mainspring"), "front", "apart", of=arbor))
    elif isinstance(source, Fusee):
        apart += keyed
        barrel, inside = _fusee_barrel(laid, source)
        off += barrel
        apart += inside
    return off, apart


def _beside(laid: Laid) -> list[Solid]:
    """What lies on the great arbor beside its wheel."""
    heights, arbor = laid.heights, laid.movement.source.arbor
    at = laid.plan.centres[arbor]
    radius = laid.shaft(arbor).radius_mm
    found = body(laid.movement, laid.plan)
    made = []
    if found is not None and found.part in heights.spans:
        span = heights[found.part]
        core = radius
        if isinstance(laid.movement.source, OpenSpring) and laid.movement.source.arbor_diameter_mm:
            core = laid.movement.source.arbor_diameter_mm / 2
            made.append(Solid(f"{arbor}-arbor".replace("_", "-"), Ring(at, core), span.low_mm, span.high_mm, "steel", "shaft"))
        material = "blued" if found.part == "mainspring" else "brass"
        made.append(Solid(found.part, Ring(at, found.outer_mm, core), span.low_mm, span.high_mm, material, "cut"))
    if "ratchet-wheel" in heights.spans:
        span = heights["ratchet-wheel"]
        ratchet = laid.movement.source.ratchet
        outer = (ratchet.radius_mm if ratchet else None) or 0.4 * laid.plan.of(arbor, "wheel").gear.tip_mm
        made.append(Solid("ratchet-wheel", Ring(at, outer, radius), span.low_mm, span.high_mm, "steel", "teeth"))
    return made


def _from_the_arbor(laid: Laid, solids: list[Solid], arbor: str) -> list[Piece]:
    """The great wheel, held on drum or fusee by a key that slides over a groove in the arbor."""
    wheels = [s for s in solids if s.look == "teeth" and s.part != "ratchet-wheel"]
    others = [s for s in solids if s.part in ("drum", "fusee")]
    if not wheels or not others:
        return []
    wheel, radius = wheels[0], laid.shaft(arbor).radius_mm
    back = wheel.middle_mm < others[0].middle_mm
    thick = 0.4 * wheel.thickness_mm
    low = wheel.low_mm - thick if back else wheel.high_mm
    key = Solid("great-key", Ring(laid.plan.centres[arbor], 2.0 * radius, radius), low, low + thick, "brass")
    way: Way = "back" if back else "front"
    return [
        Piece("great-key", (key,), way, "apart", of=arbor),
        Piece(f"{arbor}-wheel".replace("_", "-"), (wheel,), way, "apart", ("great-key",), of=arbor),
    ]


def _going_barrel(laid: Laid, source: GoingBarrel) -> tuple[list[Piece], list[Piece]]:
    """The barrel, whose wheel is cut on its rim, and the ratchet outside the plate."""
    arbor, wheels, shaft = source.arbor, toothed_solids(laid, source.arbor), shaft_solids(laid, source.arbor)
    if source.barrel is None or "barrel" not in laid.heights.spans:
        return [Piece(arbor, (*shaft, *wheels), laid.loose, "train")], []
    at, span = laid.plan.centres[arbor], laid.heights["barrel"]
    wheel = next(solid for solid in wheels if solid.look == "teeth")
    tip = laid.plan.of(arbor, "wheel").gear.tip_mm
    rim = replace(wheel, region=Ring(at, tip, source.barrel.outside_mm / 2))
    cover_at: Way = "back" if wheel.middle_mm > span.middle_mm else "front"
    shaft = [replace(solid, part="barrel-arbor") for solid in shaft]
    box, inside = _box(source, source.barrel, at, span, cover_at, shaft, wheel.part)
    whole = Piece(arbor, (*box, rim, *(s for piece in inside for s in piece.solids)), laid.loose, "train")
    return [*_ratchet_outside(laid, at, source), whole], [replace(piece, of=arbor) for piece in inside]


def keyless_pieces(laid: Laid) -> list[Piece]:
    """Stem, what lies under the dial, and the crown wheel. No file says where they lie, so that they fill nothing."""
    if laid.movement.keyless is None:
        return []
    under = Piece("keyless", (), "front", "outside", ("stem", "dial"))
    return [Piece("stem", (), "aside", "outside"), under, Piece("crown-wheel", (), laid.winding, "outside")]


def _ratchet_outside(laid: Laid, at: Point, source: GoingBarrel) -> list[Piece]:
    """The ratchet wheel of a going barrel lies outside the plate, on the winding side, under its screw."""
    if "ratchet-wheel" not in laid.heights.spans or source.barrel is None or source.ratchet is None:
        return []
    span = laid.heights["ratchet-wheel"]
    outer = source.ratchet.radius_mm or 0.3 * source.barrel.outside_mm
    ring = Ring(at, outer, laid.shaft(source.arbor).pivot_mm)
    wheel = Solid("ratchet-wheel", ring, span.low_mm, span.high_mm, "steel", "teeth")
    tall = 0.6 * span.thickness_mm
    head = span.high_mm if laid.winding == "front" else span.low_mm - tall
    screw = Solid("ratchet-screw", Ring(at, 0.35 * outer), head, head + tall, "steel")
    return [Piece("ratchet", (wheel, screw), laid.winding, "outside")]


def _box(
    source: GoingBarrel | Fusee, barrel: Barrel, at: Point, span: Span, cover_at: Way, shaft: list[Solid], part: str
) -> tuple[list[Solid], list[Piece]]:
    """(wall and bottom; cover, arbor and spring that come out of it, on the side of the cover)."""
    low, high = span.low_mm, span.high_mm
    wall, room = barrel.outside_mm / 2, barrel.inside_diameter_mm / 2
    floor = FLOOR * barrel.inside_diameter_mm
    core, hole = barrel.arbor_diameter_mm / 2, max(_widest(shaft), 0.2 * barrel.arbor_diameter_mm)
    ends = [(low, low + floor), (high - floor, high)]
    lid, bottom = ends if cover_at == "back" else ends[::-1]
    inner = (low + floor, high - floor)
    solids = [
        Solid(part, Ring(at, wall, room), low, high, "brass", "cut"),
        Solid(part, Ring(at, room, hole), *bottom, "brass", "cut"),
    ]
    made = []
    if barrel.cover != "none":
        made.append(Piece("cover", (Solid("cover", Ring(at, room, hole), *lid, "brass", "cut"),), cover_at, "apart"))
    strip = source.spring.height_mm if source.spring else 0.9 * (inner[1] - inner[0])
    middle = (inner[0] + inner[1]) / 2
    coils = Solid("mainspring", Ring(at, room, core), middle - strip / 2, middle + strip / 2, "blued", "cut")
    body = Solid("barrel-arbor", Ring(at, core), *inner, "steel", "shaft")
    made.append(Piece("barrel-arbor", (body, *shaft), cover_at, "apart"))
    made.append(Piece("mainspring", (coils,), cover_at, "apart", ("barrel-arbor",)))
    return solids, made


def _widest(shaft: list[Solid]) -> float:
    return max((s.region.outer_mm for s in shaft if isinstance(s.region, Ring)), default=0.0)


def _fusee_barrel(laid: Laid, source: Fusee) -> tuple[list[Piece], list[Piece]]:
    """The barrel between the plates, its arbor with the set-up ratchet outside one of them, and the chain."""
    place = barrel_place(laid.movement, laid.plan)
    if place is None or source.barrel is None or "barrel" not in laid.heights.spans:
        return [], []
    heights = laid.heights
    pivot = BARREL_PIVOT * source.barrel.arbor_diameter_mm
    into = into_mm(pivot, heights.plate_mm)
    thick = 0.6 * heights.plate_mm
    ring = Ring(place, 0.35 * source.barrel.inside_diameter_mm, pivot)
    work = [Ring(laid.plan.centres[t.arbor], t.gear.tip_mm) for t in laid.plan.toothings if t.level >= DIAL_SIDE]
    front = not any(over(replace(ring, inner_mm=0.0), wheel) for wheel in work)  # on the other plate where the motion work lies
    low, high = (-into, heights.front_mm + 1.5 * thick) if front else (laid.back_mm - 1.5 * thick, heights.between_mm + into)
    shaft = [
        Solid("barrel-arbor", Ring(place, pivot), low, 0.0, "steel", "shaft"),
        Solid("barrel-arbor", Ring(place, SHOULDER * pivot), 0.0, heights.between_mm, "steel", "shaft"),
        Solid("barrel-arbor", Ring(place, pivot), heights.between_mm, high, "steel", "shaft"),
    ]
    box, inside = _box(source, source.barrel, place, heights["barrel"], "front", shaft, "barrel")
    near = heights.front_mm if front else laid.back_mm - thick
    ratchet = Solid("set-up-ratchet", ring, near, near + thick, "steel", "teeth")
    whole = (*box, *(s for piece in inside for s in piece.solids))
    return [
        Piece("chain", (), "aside", "outside"),
        Piece("set-up-ratchet", (ratchet,), "front" if front else "back", "outside", ("chain",)),
        Piece("barrel", whole, laid.loose, "train", ("chain",)),
    ], [replace(piece, of="barrel") for piece in inside]
