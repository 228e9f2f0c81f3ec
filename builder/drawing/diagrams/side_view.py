"""The movement from the side, in section along its train: every arbor, wheel and plate at its height."""

from __future__ import annotations

from builder.drawing.balloons import Target, balloons
from builder.drawing.sheet import Figure, Shape, Sheet, Words
from builder.drawing.side import Side
from builder.drawing.table import Plate, Row
from builder.drawing.unrolled import bare_extent, unrolled
from builder.going.axes import Laid, pillar_mm
from builder.going.going import Going
from builder.going.piece import Piece
from builder.going.pieces import Pieces, pieces
from builder.going.solids import Outline, Ring, Solid
from builder.going.solids import Sheet as Cut
from builder.ground import words
from builder.ground.wording import Wording

MARGIN_PX = 96.0
"""Room for the balloons at either side."""
COLUMNS = ("from_to", "thick", "endshake", "known")
FINE_MM = 12.0
"""Movements thinner than this are measured to hundredths."""
UNNUMBERED = ("pillar-pins", "dial-feet", "balance-cup", "minute-post", "great-key", "ratchet-screw", "balance-staff", "cord")


def draw(going: Going, wording: Wording) -> Plate | None:
    """None for a movement without plates."""
    if going.movement.plates is None:
        return None
    laid = Laid(going, going.movement.plates)
    found = pieces(laid)
    side = side_of(laid, found)
    stack = [figure for piece in painted(found) for figure in side.figures(piece)]
    numbered = _numbered(laid, found)
    left, right = edges(side, found)
    top, bottom = side.view.y(side.high_mm), side.view.y(side.low_mm)
    targets = [Target(part, n, anchor(side, found, part)) for part, n in numbered.items()]
    stack = [axes(side, left, right), *stack]
    stack += balloons(targets, left - 0.55 * MARGIN_PX, right + 0.55 * MARGIN_PX, top + 44, bottom - 18)
    say = wording.say
    ends = (
        Words(left - MARGIN_PX + 8, top - 18, say("side.front"), "label", "start"),
        Words(right + MARGIN_PX - 8, top - 18, say("side.back"), "label", "end"),
    )
    stack.append(Figure(None, None, words=ends))
    desc = say("side.view.desc", name=going.name, arbors=_arbors_named(laid))
    if side.view.raised != 1:
        desc += " " + say("side.view.raised", times=f"{side.view.raised:g}")
    sheet = Sheet(
        "side-view",
        say("side.view.title", name=going.name),
        desc,
        (left - MARGIN_PX, top - 42, right - left + 2 * MARGIN_PX, bottom - top + 54),
        tuple(stack),
        classes="side",
    )
    return Plate(sheet, COLUMNS, tuple(_row(laid, found, wording, part, n) for part, n in numbered.items()))


def side_of(laid: Laid, found: Pieces) -> Side:
    """The line with room for a pillar beyond the outermost wheel at either end."""
    view = unrolled(laid, found)
    low, high = bare_extent(view, found)
    more = 5.5 * pillar_mm(laid.plates)
    return Side(laid, view, low - more, high + more)


def painted(found: Pieces) -> list[Piece]:
    """Pieces back to front: what stays, then from the source's arbor up to what lies nearest the hand."""
    return [found.stays, *reversed(found.off)]


def edges(side: Side, found: Pieces) -> tuple[float, float]:
    """Left and right edge (px) of all that is drawn."""
    solids = [s for piece in (*found.off, found.stays) for s in piece.solids if s.part not in ("bob", "rating-nut")]
    return side.view.x(max(s.high_mm for s in solids)), side.view.x(min(s.low_mm for s in solids))


def axes(side: Side, left: float, right: float) -> Figure:
    """A thin line along each axis."""
    d = "".join(f"M{left - 12:.1f} {side.view.y(u):.1f}H{right + 12:.1f}" for u in sorted(set(side.view.along.values())))
    return Figure(None, None, shapes=(Shape(d, "axis"),))


def anchor(side: Side, found: Pieces, part: str) -> tuple[float, float]:
    """Where the leader to a part ends: on a wheel's rim, in the middle of what is small, on the part of a plate that is whole."""
    solids = [s for piece in (*found.off, found.stays) for s in piece.solids if s.part == part]
    solid = max(solids, key=lambda s: s.region.outer_mm if isinstance(s.region, Ring) and part.endswith("-hand") else 0.0)
    x = side.view.x(solid.middle_mm)
    if isinstance(solid.region, Cut):
        return x, side.view.y(side.sheet_mm(part)[1] - (0.9 if part == "dial" else 0.35) * pillar_mm(side.laid.plates))
    if part == "pillars":
        return x, side.view.y(side.low_mm + 2.2 * pillar_mm(side.laid.plates))
    if isinstance(solid.region, Outline):
        low, high = side.view.reach(solid)
        low = max(low, side.low_mm)
        return x, side.view.y(low + (0.97 if part == "pallets" else 0.5) * (high - low))
    u, outer, inner = side.view.axis(solid.region.at), solid.region.outer_mm, solid.region.inner_mm
    if part.endswith("-hand"):
        return x, side.view.y(min(u + 0.6 * outer, side.high_mm - 4))
    share = 0.93 if solid.look == "teeth" else 0.55 if inner <= 0 else (inner + 0.6 * (outer - inner)) / outer
    return x, side.view.y(u + share * outer)


def _numbered(laid: Laid, found: Pieces) -> dict[str, int]:
    """Parts along the power path, then plates, then the dial side outwards."""
    train = [piece for arbor in laid.movement.arbors for piece in found.off if piece.id == arbor.id]
    rest = [piece for piece in found.off if piece not in train]
    before = [piece for piece in rest if piece.stage in ("hands", "dial", "motion work")]
    others = [piece for piece in rest if piece not in before]
    ordered = [*train, *others, found.stays, *reversed(before)]
    parts = [part for piece in ordered for part in piece.parts if part not in UNNUMBERED and not part.endswith("-arbor")]
    seen = [part for part in dict.fromkeys(parts) if part not in ("bob", "rating-nut", "front-plate", "back-plate", "pillars")]
    plates = ["front-plate", "back-plate", "pillars"]
    cut = next((n for n, part in enumerate(seen) if part in before[-1].parts), len(seen)) if before else len(seen)
    return {part: n for n, part in enumerate([*seen[:cut], *plates, *seen[cut:]], 1)}


def name_of(laid: Laid, wording: Wording, part: str) -> str:
    """A part's name: its wheel's title, or its own wording."""
    title = next((t.title for t in laid.plan.toothings if t.id == part), None)
    if title is not None:
        return title
    for key in (f"side.names.{part}", f"parts.{part}"):
        if key in wording:
            return wording.say(key)
    arbor = part.removesuffix("-arbor")
    return wording.say("side.arbor_of", name=laid.train[arbor.replace("-", "_")].title)


def _row(laid: Laid, found: Pieces, wording: Wording, part: str, number: int) -> Row:
    solids = [s for piece in (*found.off, found.stays) for s in piece.solids if s.part == part]
    low, high = _span(laid, part, solids)
    arbor = next((piece.id for piece in found.off if part in piece.parts and piece.id in laid.heights.endshake_mm), None)
    places = 2 if laid.heights.between_mm < FINE_MM else 1
    span = laid.heights.spans.get(part)
    known = span.measured if span else part in ("front-plate", "back-plate", "pillars") and "between" in laid.heights.measured
    cells = {
        "from_to": wording.say("side.from_to", low=signed(low, places), high=signed(high, places)),
        "thick": f"{high - low:.{places}f}",
        "endshake": f"{laid.heights.endshake_mm[arbor]:.2f}" if arbor else "",
        "known": wording.say("side.measured" if known else "side.estimated"),
    }
    return Row(number, part, name_of(laid, wording, part), cells)


def signed(value: float, places: int) -> str:
    """A height with a true minus sign."""
    return f"{value:.{places}f}".replace("-", words.MINUS)


def _span(laid: Laid, part: str, solids: list[Solid]) -> tuple[float, float]:
    if part in laid.heights.spans:
        span = laid.heights[part]
        return span.low_mm, span.high_mm
    return min(s.low_mm for s in solids), max(s.high_mm for s in solids)


def _arbors_named(laid: Laid) -> str:
    return ", ".join(laid.train[name].title.lower() for name in laid.train.path)
