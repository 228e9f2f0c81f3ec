"""A part of the tree, and what turns what."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from builder.movement.model import OtherPart

How = Literal["mesh", "arbor", "square", "friction", "spring", "push", "pull", "impulse", "carries", "hand"]
"""By teeth; fixed on one arbor or in one piece; on a square, along which it may slide; by friction; by a spring's force; by a
push; by a cord or chain; by the escapement's push; a hand on what carries it; by a person's hand."""

When = Literal["going", "winding", "setting"]

Noun = Literal["teeth", "leaves", "arms", "turns", "screws", "coils", "arbors"]


@dataclass(frozen=True)
class Node:
    """A part, or what belongs to one. Its id is its anchor, and the name under which drawings know it where they do."""

    id: str
    kind: str
    """Names what the wording says of it."""
    title: str | None = None
    """Its name in this movement; None where its kind has one for all."""
    drawn: bool = True
    """Whether drawings may show it under its id; a feature of a part is shown with the part."""
    material: str | None = None
    """A word of the wording, or None where what it is made of goes without saying."""
    count: tuple[int, Noun] | None = None
    inner: tuple[Node, ...] = ()
    other: OtherPart | None = None
    """The file's own entry, for a part that the kinds do not know of."""

    def walk(self) -> Iterator[Node]:
        """Itself and all below it."""
        yield self
        for node in self.inner:
            yield from node.walk()


@dataclass(frozen=True)
class Drive:
    """One part turns or pushes another."""

    driver: str
    driven: str
    how: How
    when: When = "going"


def part(id_: str, kind: str | None = None, *inner: Node, **more: object) -> Node:
    """A part that drawings may show; its kind is its id where not said."""
    return Node(id_, kind or id_, inner=tuple(inner), **more)  # type: ignore[arg-type]


def group(id_: str, *inner: Node, title: str | None = None) -> Node:
    """An assembly: several parts that do one thing together."""
    return Node(id_, id_, title, drawn=False, inner=tuple(inner))


def features(of: str, *kinds: str) -> tuple[Node, ...]:
    """What belongs to a part and has no drawing of its own."""
    return tuple(Node(_joined(of.split("-"), kind.split("_")), kind, drawn=False) for kind in kinds)


def _joined(of: list[str], kind: list[str]) -> str:
    """Both in one anchor, words that end the one and begin the other said once: balance and balance rim are balance-rim."""
    shared = next(n for n in range(len(kind), -1, -1) if of[len(of) - n :] == kind[:n])
    return "-".join([*of, *kind[shared:]])
