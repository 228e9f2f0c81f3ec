"""The stack on the arbor that carries the hands: drawn apart along its axis, the front on top, each part in its order."""

from __future__ import annotations

from builder.drawing.balloons import Target
from builder.drawing.diagrams.side_view import name_of
from builder.drawing.path import number
from builder.drawing.sheet import Figure, Shape, Sheet
from builder.drawing.side import Side
from builder.drawing.source.column import balloon, column
from builder.drawing.table import Plate, Row
from builder.drawing.unrolled import Unrolled
from builder.going.axes import Laid
from builder.going.going import Going
from builder.going.piece import Piece
from builder.going.pieces import Pieces, pieces
from builder.going.solids import Ring, Solid
from builder.going.solids import Sheet as Cut
from builder.going.source_pieces import source_pieces
from builder.ground.wording import Wording

LONG_PX = 620.0
"""All parts together, end to end."""
WIDE_PX = 520.0
"""No part is drawn wider."""
GAP_PX = 36.0
MARGIN_PX = 110.0
SLEEVE = {"hand-pin", "hand-collet", "minute-hand", "hour-hand", "seconds-hand", "hour-wheel", "cannon-pinion", "tension-spring"}


def draw(going: Going, wording: Wording) -> Plate | None:
    """None without plates, or where no arbor carries a cannon pinion."""
    if going.movement.plates is None:
        return None
    laid = Laid(going, going.movement.plates)
    if laid.cannon_on is None:
        return None
    found = pieces(laid)
    items = _items(laid, found)
    side = _side(laid, items)
    offsets = _offsets(side, items)
    order = [*(part for part, _ in items[1:-1][::-1]), items[-1][0]]
    steps = {part: n for n, part in enumerate(order, 1)}
    kept = sorted(
        dict.fromkeys(s.part for s in items[0][1]), key=lambda part: -max(s.high_mm for s in items[0][1] if s.part == part)
    )
    numbers = {part: n for n, part in enumerate([*order[:-1], *kept, order[-1]], 1)}
    right = side.view.scale * side.high_mm
    stack = [_axis(side, items, offsets)]
    stack += [_item(side, part, solids, offsets[part], numbers, steps.get(part), right) for part, solids in items]
    tops = [_extent(side, solids)[0] + offsets[part] for part, solids in items]
    bottoms = [_extent(side, solids)[1] + offsets[part] for part, solids in items]
    top, bottom = min(tops) - 34, max(bottoms) + 34
    named = [name_of(laid, wording, part) for part in numbers]
    say = wording.say
    sheet = Sheet(
        "stack",
        say("side.stack.title", name=going.name),
        say("side.stack.desc", parts=", ".join(name.lower() for name in named)),
        (-right - 24, top, 2 * right + 24 + MARGIN_PX, bottom - top),
        tuple(stack),
        classes="side",
    )
    rows = tuple(
        Row(n, part, name_of(laid, wording, part), {"does": say(f"side.stack.does.{_kind(laid, part)}")})
        for part, n in numbers.items()
    )
    return Plate(sheet, ("does",), rows)


def _kind(laid: Laid, part: str) -> str:
    """Which sentence tells what a part does here."""
    if part == f"{laid.cannon_on}-wheel".replace("_", "-"):
        return "loose-wheel" if any(s.part == "spring-washer" for s in pieces(laid)[laid.cannon_on or ""].solids) else "wheel"
    for own in ("arbor", "pinion"):
        if part == f"{laid.cannon_on}-{own}".replace("_", "-"):
            return own
    if part == "cannon-pinion":
        return f"cannon-{laid.clutch.kind.replace('_', '-')}" if laid.clutch else "cannon"
    if part == "escape-wheel" or (part not in SLEEVE and any(t.id == part for t in laid.plan.toothings)):
        return "wheel"
    if any(s.part == part for piece in _of_the_source(laid) for s in piece.solids):
        return "source"
    return part


def _of_the_source(laid: Laid) -> list[Piece]:
    """What the source brings to the arbor, where it is the one that carries the hands."""
    off, apart = source_pieces(laid)
    return [*off, *apart] if laid.cannon_on == laid.movement.source.arbor else []


def _items(laid: Laid, found: Pieces) -> list[tuple[str, list[Solid]]]:
    """(part, its solids) from the arbor outwards, the back plate last. The arbor keeps its pinion, and its wheel where that is
    fixed to it."""
    arbor = laid.cannon_on
    assert arbor is not None
    own = list(found[arbor].solids)
    loose = ["centre-bush", f"{arbor}-wheel".replace("_", "-"), "spring-washer", "clutch-collet"]
    if not any(s.part == "spring-washer" for s in own):
        loose = []
    kept = [s for s in own if s.part not in loose]
    items = [(f"{arbor}-arbor".replace("_", "-"), kept)]
    items += [(part, [s for s in own if s.part == part]) for part in loose]
    front = [s for s in _plate(found, "front-plate") if isinstance(s.region, Cut)]
    items.append(("front-plate", front))
    sleeves = [s for piece in found.off if piece.id != arbor for s in piece.solids if s.part in SLEEVE and _central(laid, s)]
    parts = sorted(dict.fromkeys(s.part for s in sleeves), key=lambda part: min(s.low_mm for s in sleeves if s.part == part))
    items += [(part, [s for s in sleeves if s.part == part]) for part in parts]
    items.append(("back-plate", [s for s in _plate(found, "back-plate") if isinstance(s.region, Cut)]))
    return items


def _plate(found: Pieces, name: str) -> tuple[Solid, ...]:
    return found[name].solids


def _central(laid: Laid, solid: Solid) -> bool:
    at = laid.plan.centres[laid.cannon_on or ""]
    return isinstance(solid.region, Ring) and abs(solid.region.at[0] - at[0]) + abs(solid.region.at[1] - at[1]) < 1e-6


def _side(laid: Laid, items: list[tuple[str, list[Solid]]]) -> Side:
    """A line with one axis, scaled so that all parts end to end, and the widest wheel, find room."""
    at = laid.plan.centres[laid.cannon_on or ""]
    long = sum(max(s.high_mm for s in solids) - min(s.low_mm for s in solids) for _, solids in items)
    wheels = [
        s.region.outer_mm for _, solids in items for s in solids if isinstance(s.region, Ring) and not s.part.endswith("-hand")
    ]
    wide = 1.15 * max(wheels)
    scale = min(LONG_PX / long, WIDE_PX / 2 / wide)
    view = Unrolled({(round(at[0], 6), round(at[1], 6)): 0.0}, {}, laid.plan.centres, scale, 1)
    return Side(laid, view, -wide, wide)


def _extent(side: Side, solids: list[Solid]) -> tuple[float, float]:
    """Top and bottom (px) of a part in its place, the front upwards."""
    return side.view.x(max(s.high_mm for s in solids)), side.view.x(min(s.low_mm for s in solids))


def _offsets(side: Side, items: list[tuple[str, list[Solid]]]) -> dict[str, float]:
    """How far each part is drawn from its place, px: upwards past the one before it, the back plate downwards."""
    offsets = {items[0][0]: 0.0}
    free, foot = _extent(side, items[0][1])
    for part, solids in items[1:-1]:
        top, bottom = _extent(side, solids)
        offsets[part] = min(0.0, free - GAP_PX - bottom)
        free = top + offsets[part]
    part, solids = items[-1]
    offsets[part] = max(0.0, foot + GAP_PX - _extent(side, solids)[0])
    return offsets


def _item(
    side: Side, part: str, solids: list[Solid], offset: float, numbers: dict[str, int], step: int | None, right: float
) -> Figure:
    """One part, or the arbor with all that it keeps, with balloons at the right."""
    drawn = Figure(None, None, turned_deg=90.0, inner=tuple(side.figures(Piece(part, tuple(solids), "front", "apart"))))
    targets = []
    for each in dict.fromkeys(s.part for s in solids):
        own = _widest(side, solids, each)
        targets.append(Target(each, numbers[each], (0.92 * _reach(side, own) * side.view.scale, side.view.x(own.middle_mm))))
    top, bottom = _extent(side, solids)
    x = right + MARGIN_PX * 0.55
    if len(targets) == 1:
        discs = balloon(targets[0].part, targets[0].number, targets[0].at, (x, targets[0].at[1]))
    else:
        discs = column(targets, x, top, bottom)
    data = (("step", str(step)), ("away", f"0 {number(offset)}"), ("keep", "yes")) if step else ()
    return Figure(None, None, (0.0, offset), inner=(drawn, *discs), data=data, classes="item")


def _widest(side: Side, solids: list[Solid], part: str) -> Solid:
    return max((s for s in solids if s.part == part), key=lambda s: (_reach(side, s), s.thickness_mm))


def _reach(side: Side, solid: Solid) -> float:
    """How far a solid is drawn from the axis, mm."""
    return min(solid.region.outer_mm, side.high_mm) if isinstance(solid.region, Ring) else side.high_mm


def _axis(side: Side, items: list[tuple[str, list[Solid]]], offsets: dict[str, float]) -> Figure:
    ends = [end + offsets[part] for part, solids in items for end in _extent(side, solids)]
    return Figure(None, None, shapes=(Shape(f"M0 {number(min(ends) - 20, 1)}V{number(max(ends) + 20, 1)}", "axis"),))
