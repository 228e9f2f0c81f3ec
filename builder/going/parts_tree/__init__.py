"""Every part of a movement, from assemblies down to features, computed from its kinds, with the file's own; what turns what."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import cached_property

from builder.going.going import Going
from builder.going.parts_tree import beat, frame, hands, power, train
from builder.going.parts_tree.node import Drive, Node, When
from builder.ground.faults import Complaint, Refused
from builder.movement.model import OtherPart

__all__ = ["Drive", "Node", "Tree", "tree"]


@dataclass(frozen=True)
class Tree:
    """A movement's parts and drives."""

    root: Node
    drives: tuple[Drive, ...]

    @cached_property
    def nodes(self) -> dict[str, Node]:
        """By id, in the order of the tree."""
        return {node.id: node for node in self.root.walk()}

    def __getitem__(self, name: str) -> Node:
        return self.nodes[name]

    def driven_by(self, name: str, when: When | None = None) -> list[Drive]:
        """What turns it."""
        return [drive for drive in self.drives if drive.driven == name and when in (None, drive.when)]

    def driving(self, name: str, when: When | None = None) -> list[Drive]:
        """What it turns."""
        return [drive for drive in self.drives if drive.driver == name and when in (None, drive.when)]


def tree(going: Going) -> Tree:
    """The tree of a movement. Raises Refused where an entry of the file belongs under no part of it."""
    root = Node(
        "movement",
        "movement",
        going.name,
        drawn=False,
        inner=(
            power.power(going),
            train.train(going),
            beat.escapement(going),
            beat.oscillator(going),
            *hands.motion_work(going),
            *hands.dial(going),
            *hands.keyless(going),
            frame.frame(going),
        ),
    )
    root = _unique(root, set())
    drives = [*power.drives(going.movement, train.entry(going)), *train.drives(going), *beat.drives(going), *hands.drives(going)]
    return Tree(_with_others(root, going.movement.parts), tuple(drives))


def _with_others(root: Node, others: tuple[OtherPart, ...]) -> Node:
    """The tree with the file's own parts put where they belong, in the order of the file."""
    found = []
    for index, other in enumerate(others):
        ids = {node.id for node in root.walk()}
        if other.under not in ids:
            listed = ", ".join(sorted(ids))
            advice = "Give the anchor of a part that this movement has, or leave `under` out."
            found.append(Complaint(("parts", index, "under"), other.under, f"one of: {listed}", advice))
            continue
        root = _put(root, other.under, Node(_anchor(other.name, ids), "other", other.name, drawn=False, other=other))
    if found:
        raise Refused(found)
    return root


def _unique(node: Node, taken: set[str]) -> Node:
    """No anchor twice, whatever the file calls its arbors: the first keeps it."""
    anchor, number = node.id, 1
    while anchor in taken:
        number += 1
        anchor = f"{node.id}-{number}"
    taken.add(anchor)
    return replace(node, id=anchor, inner=tuple(_unique(each, taken) for each in node.inner))


def _put(node: Node, under: str, new: Node) -> Node:
    inner = tuple(_put(each, under, new) for each in node.inner)
    return replace(node, inner=(*inner, new) if node.id == under else inner)


def _anchor(name: str, taken: set[str]) -> str:
    """An anchor from a name, with a number where another part has it."""
    plain = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "part"
    plain = plain if plain[0].isalpha() else f"part-{plain}"
    number, anchor = 1, plain
    while anchor in taken:
        number += 1
        anchor = f"{plain}-{number}"
    return anchor
