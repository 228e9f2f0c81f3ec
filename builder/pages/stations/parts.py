"""The tree of parts: every part with what it does, what turns it and what it turns, what it is made of, and how it wears."""

from __future__ import annotations

from collections.abc import Iterator

from builder.drawing.sheet import Figure
from builder.going.parts_tree import Drive, Node, Tree, tree
from builder.going.parts_tree.rule import rule
from builder.ground.wording import Wording
from builder.pages.shown import Context, Shown

PAGES = {
    "power": ("winding", "ratchet"),
    "train": ("train-front", "train-back", "train-line"),
    "escapement": ("escapement",),
    "oscillator": ("oscillator",),
    "motion_work": ("motion-work", "setting", "keyless"),
    "side_view": ("side-view", "stack"),
    "taking_down": ("taking-down", "taking-down-dial", "taking-down-front", "taking-down-back"),
}
"""Which page shows which drawings of parts."""
OPEN_DEPTH = 1
"""Assemblies stand open, what is below them closed."""


def context(shown: Shown, wording: Wording) -> Context:
    """Every movement has parts."""
    going = shown.going
    made = tree(going)
    told = Told(made, _seen(shown), wording)
    side = "side-view" in shown.plates
    return {
        "title": f"{going.name}: {wording.say('pages.stations.parts').lower()}",
        "front": shown.plate("train-front"),
        "side": shown.plate("side-view") if side else None,
        "tree": [told.node(node, 0) for node in made.root.inner],
        "rule": _rule(shown, made, wording),
    }


def _rule(shown: Shown, made: Tree, wording: Wording) -> Context:
    """The rule about wheels and pinions with its exceptions in this movement."""
    found = rule(shown.going, made)
    lists = {"wheels": found.wheels, "pinions": found.pinions}
    named = [
        wording.say(f"parts_tree.rule.{key}", names=", ".join(f"{name.lower()} {count}" for name, count in parts))
        for key, parts in lists.items()
        if parts
    ]
    return {"lists": named, "exceptions": [wording.say(f"parts_tree.rule.{key}", **facts) for key, facts in found.exceptions]}


def _seen(shown: Shown) -> dict[str, list[str]]:
    """Pages by the parts that their drawings show."""
    found: dict[str, list[str]] = {}
    for page, slugs in PAGES.items():
        if page == "power" and "power-flow" not in shown.plates:
            continue
        there = {part for slug in slugs if slug in shown.plates for part in _parts(shown.plates[slug].sheet.figures)}
        for part in there:
            found.setdefault(part, []).append(page)
    return found


def _parts(figures: tuple[Figure, ...]) -> Iterator[str]:
    for figure in figures:
        if figure.part:
            yield figure.part
        yield from _parts(figure.inner)


class Told:
    """Nodes in words."""

    def __init__(self, made: Tree, seen: dict[str, list[str]], wording: Wording) -> None:
        self.tree, self.seen, self.wording = made, seen, wording
        self.names = {node.id: self._name(node) for node in made.root.walk()}

    def node(self, node: Node, depth: int) -> Context:
        """One part and all below it."""
        kind, say = f"parts_tree.kinds.{node.kind}", self.wording.say
        other = node.other
        worn = other.worn if other else say(f"{kind}.worn") if f"{kind}.worn" in self.wording else None
        return {
            "id": node.id,
            "name": self.names[node.id],
            "drawn": node.drawn,
            "open": depth < OPEN_DEPTH,
            "does": other.does if other else say(f"{kind}.does"),
            "worn": worn,
            "material": other.material if other else node.material and say(f"parts_tree.materials.{node.material}"),
            "count": node.count and say(f"parts_tree.nouns.{node.count[1]}", count=node.count[0]),
            "driven_by": self._drives(self.tree.driven_by(node.id), by=True),
            "drives": self._drives(self.tree.driving(node.id), by=False),
            "seen": [
                {"href": f"{page.replace('_', '-')}.html", "label": say(f"pages.stations.{page}")}
                for page in self.seen.get(node.id, [])
            ],
            "inner": [self.node(each, depth + 1) for each in node.inner],
        }

    def _name(self, node: Node) -> str:
        key = f"parts_tree.kinds.{node.kind}.name"
        name = self.wording.say(key, title=node.title) if key in self.wording else node.title or node.id
        if node.kind == "setting-wheel" and "setting-wheel-2" in self.tree.nodes:
            return self.wording.say("parts_tree.page.number", name=name, number=node.id.rsplit("-", 1)[1])
        return name

    def _drives(self, drives: list[Drive], by: bool) -> list[Context]:
        """The other part of each, and how."""
        say, made = self.wording.say, []
        for drive in drives:
            other = drive.driver if by else drive.driven
            how = say(f"parts_tree.page.{drive.when}", how=say(f"parts_tree.how.{drive.how}"))
            made.append({"id": other, "name": self.names[other], "how": how})
        return made
