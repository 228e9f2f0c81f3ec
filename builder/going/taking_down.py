"""The order in which a movement is taken down, worked out from what lies in the way of what; putting together is its reverse.

A piece can leave when nothing lies in its way, nothing fastens it, and no rule of safety asks for something else first. Of the
pieces that can leave, the one whose turn is earliest by the bench's habit leaves. Where each of some pieces waits for another
of them, as wheels that lie over one another by turns, they are lifted out together.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from builder.going.axes import Laid
from builder.going.going import Going
from builder.going.piece import Piece
from builder.going.pieces import Pieces, pieces
from builder.going.solids import Solid, in_the_way, on_the_way_out
from builder.parts.source.weight import Weight

STAGES = (
    "power", "pendulum", "hands", "dial", "motion work", "outside", "balance", "pallets", "plate", "train", "apart",
)  # fmt: skip
"""The bench's habit: the dial side first, then oscillator and escapement, then the plates, then the train."""

ALONG = {"front": 1, "back": -1}

UNHURRIED = ("keyless", "crown-wheel")
"""Outside the plates, off before them by habit alone: nothing is hurt if they come off later."""

LET_DOWN = "let-down"
"""The step that takes no piece off: the spring is let down."""


@dataclass(frozen=True)
class Step:
    """One step: what comes off, all together, and what had to leave just before it."""

    id: str
    pieces: tuple[Piece, ...]
    stage: str
    freed_by: tuple[str, ...] = ()
    """Pieces, already off, that held it directly: not those that only held these."""

    @property
    def parts(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(part for piece in self.pieces for part in piece.parts))


@dataclass(frozen=True)
class TakingDown:
    """All steps in order, with the pieces they are about."""

    laid: Laid
    pieces: Pieces
    steps: tuple[Step, ...]

    @property
    def putting_together(self) -> tuple[Step, ...]:
        """The same steps from the last to the first."""
        return self.steps[::-1]


@lru_cache(maxsize=8)
def taking_down(going: Going) -> TakingDown | None:
    """The order of work; None for a movement without plates."""
    plates = going.movement.plates
    if plates is None:
        return None
    laid = Laid(going, plates)
    found = pieces(laid)
    steps = [*_ordered(laid, found), *_apart(found)]
    if not isinstance(going.movement.source, Weight):
        steps.insert(0, Step(LET_DOWN, (), "power"))
    return TakingDown(laid, found, tuple(steps))


def held_by(piece: Piece, others: Iterable[Piece]) -> tuple[str, ...]:
    """Which of the others hold a piece: what fastens it, and what lies in its way."""
    return tuple(
        other.id
        for other in others
        if other.id != piece.id and (other.id in piece.held_by or any(_blocks(other, moving, piece) for moving in piece.solids))
    )


def _blocks(other: Piece, moving: Solid, piece: Piece) -> bool:
    if piece.way == "down":
        return False
    # pallets slide out between the teeth of the escape wheel that they span, and a cylinder stands between two of them
    spans = piece.way == "aside" or (piece.id == "balance" and "pallets" in piece.parts)
    met = [solid for solid in other.solids if not (spans and solid.part == "escape-wheel")]
    if piece.way == "aside":
        return any(on_the_way_out(moving, solid, piece.direction) for solid in met)
    return any(in_the_way(moving, solid, ALONG[piece.way]) for solid in met)


def _ordered(laid: Laid, found: Pieces) -> list[Step]:
    left = _by_habit(laid, found.off)
    names = {piece.id for piece in left}
    first = {piece.id: (frozenset(held_by(piece, left)) | _safety(piece, left)) & names for piece in left}
    steps: list[Step] = []
    while left:
        here = {piece.id for piece in left}
        group = _freed(left, {piece.id: first[piece.id] & here for piece in left})
        steps.append(Step(group[0].id, tuple(group), group[0].stage, _directly(group, first)))
        left = [piece for piece in left if piece not in group]
    return steps


def _directly(group: list[Piece], first: dict[str, frozenset[str]]) -> tuple[str, ...]:
    """What held a group, without what held only that."""
    held = frozenset().union(*(first[piece.id] for piece in group)) - {piece.id for piece in group}
    return tuple(sorted(name for name in held if not any(name in first[other] for other in held - {name})))


def _freed(left: list[Piece], waits: dict[str, frozenset[str]]) -> list[Piece]:
    """The first piece that waits for nothing; else the smallest set of pieces that wait for no other."""
    for piece in left:
        if not waits[piece.id]:
            return [piece]
    closed = [_closed(piece.id, waits) for piece in left]
    smallest = min(closed, key=len)
    return [piece for piece in left if piece.id in smallest]


def _closed(name: str, waits: dict[str, frozenset[str]]) -> frozenset[str]:
    """A piece with all that it waits for, directly or through others."""
    found, new = frozenset({name}), frozenset({name})
    while new:
        new = frozenset().union(*(waits[each] for each in new)) - found
        found |= new
    return found


def _by_habit(laid: Laid, off: tuple[Piece, ...]) -> list[Piece]:
    """Earlier stages first; in the train the pallets first, then from the escape arbor down to the source; else as listed."""
    train = {name: n for n, name in enumerate(["pallets", *reversed([arbor.id for arbor in laid.movement.arbors])])}
    listed = {piece.id: n for n, piece in enumerate(off)}

    def turn(piece: Piece) -> tuple[int, int]:
        own = train.get(piece.id, len(train)) if piece.stage == "train" else listed[piece.id]
        return STAGES.index(piece.stage), own

    return sorted(off, key=turn)


def _safety(piece: Piece, off: list[Piece]) -> frozenset[str]:
    """Rules that no geometry tells: weight and pendulum leave first of all; what can leave before the plates are loosened, such
    as a balance, pallets with a cock of their own, a stem or a chain, does."""
    first = {other.id for other in off if other.stage == "power"}
    if piece.stage not in ("power", "pendulum"):
        first |= {other.id for other in off if other.stage == "pendulum"}
    if piece.id == "pillar-pins":
        first |= {other.id for other in off if other.stage in ("outside", "balance", "pallets") and other.id not in UNHURRIED}
    return frozenset(first) if piece.stage != "power" else frozenset()


def _apart(found: Pieces) -> list[Step]:
    """What comes off pieces that are out, in the order in which it is listed once its way is free."""
    steps = []
    left = list(found.apart)
    while left:
        waits = {each.id: frozenset(held_by(each, [o for o in left if o.of == each.of])) for each in left}
        group = _freed(left, waits)
        steps.append(Step(f"{group[0].of}/{group[0].id}", tuple(group), "apart"))
        left = [piece for piece in left if piece not in group]
    return steps
