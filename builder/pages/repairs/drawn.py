"""The drawings of a repair: both sides moving under one player, and the movement with the parts that were worked on marked."""

from __future__ import annotations

from dataclasses import replace

from markupsafe import Markup

from builder.drawing.balloons import Target, balloons
from builder.drawing.diagrams import oscillator, train_plan
from builder.drawing.path import circle
from builder.drawing.sheet import Figure, Shape, Sheet
from builder.going.going import Going
from builder.going.parts_tree import Tree
from builder.going.repair import Repaired
from builder.ground.wording import Wording
from builder.pages.repairs.said import Said
from builder.pages.shown import Context, Shown

ROOM = 20_000
"""Bytes that other states of winding may take in a drawing of this page."""
RING_PX = 17.0
PIVOTS = "-pivots"
"""How anchors of pivots end."""


def running(repaired: Repaired, said: Said, wording: Wording) -> Context | None:
    """Oscillator before and after for one player: in every state of winding where there is room for that, else in the one that
    is told of. None where no beat is solved."""
    sheets = [
        _moving(going, side, said.shown, wording) for side, going in (("before", repaired.before), ("after", repaired.after))
    ]
    before, after = sheets
    if before is None or after is None:
        return None
    names = dict.fromkeys((*before.states, *after.states))
    states = {name: {**before.states.get(name, {}), **after.states.get(name, {})} for name in names}
    return {
        "sheet": replace(before, slug="repair-running", states=states),
        "sides": [
            {"label": said.say(f"page.{side}_caption"), "svg": Markup(sheet.svg())}  # nosec B704 # sheet.py escapes all
            for side, sheet in (("before", before), ("after", after))
        ],
    }


def _moving(going: Going, side: str, told: str, wording: Wording) -> Sheet | None:
    """The oscillator under ids of its own."""
    drawn = {winding.name: oscillator.draw(going.at(winding), wording) for winding in going.windings}
    sheets = {name: replace(plate.sheet, slug=f"{side}-oscillator") for name, plate in drawn.items() if plate is not None}
    if not sheets:
        return None
    whole = next(iter(sheets.values())).with_states(sheets)
    return whole if sum(len(str(state)) for state in whole.states.values()) < ROOM else only(sheets[told], told)


def only(sheet: Sheet, state: str) -> Sheet:
    """The drawing without what is shown in other states."""
    kept = tuple(_in_state(figure, state) for figure in sheet.figures if figure.state in (None, state))
    return replace(sheet, figures=kept, states={})


def _in_state(figure: Figure, state: str) -> Figure:
    inner = tuple(_in_state(each, state) for each in figure.inner if each.state in (None, state))
    return replace(figure, inner=inner, state=None)


def marked(shown: Shown, repaired: Repaired, said: Said) -> tuple[Sheet, list[int]]:
    """The movement from the front, standing, the parts of each finding marked and numbered as in the list.

    A pivot, which is not seen in the drawing by itself, has a ring round its place; a mainspring is where the first wheel is.
    With the numbers of the findings whose parts are not seen.
    """
    plan = shown.plates["train-front"].sheet
    places = _Places(plan, said.tree, shown.going.train.path[0])
    by_finding = [places.of(finding.anchors(said.seen)) for finding in repaired.repair.findings]
    named = {part for parts, _ in by_finding for part in parts}
    figures = tuple(
        replace(figure, classes=f"{figure.classes} marked".strip()) if figure.part in named else figure
        for figure in plan.figures
        if figure.classes not in ("balloon", "constructions")
    )
    rings = dict.fromkeys(spot for _, spots in by_finding for spot in spots)
    ring = Figure(None, None, shapes=tuple(Shape(circle(RING_PX, at, 1), "chosen wire") for at in rings))
    targets = []
    for n, (parts, spots) in enumerate(by_finding, 1):
        at = [*spots, *(places.at[part] for part in parts if part in places.at)]
        targets += [Target(f"finding-{n}", n, at[0])] if at else []
    left, top, width, height = plan.box
    margin = train_plan.MARGIN_PX * 0.55
    numbers = balloons(targets, left + margin, left + width - margin, top + 32, top + height - 32)
    text = ", ".join(f"{n} {said.title(finding)}" for n, finding in enumerate(repaired.repair.findings, 1))
    unseen = [n for n, (parts, spots) in enumerate(by_finding, 1) if not parts and not spots]
    sheet = replace(
        plan, slug="repair-map", title=said.say("page.map_title"), desc=said.say("page.map_desc", text=text), states={},
        figures=(*figures, ring, *(replace(figure, part=None, classes="balloon marked") for figure in numbers)),
    ).stopped()  # fmt: skip
    return sheet, unseen


class _Places:
    """Where the parts of the tree are seen in a drawing."""

    def __init__(self, sheet: Sheet, made: Tree, first: str) -> None:
        self.made = made
        self.instead = {"mainspring": f"{first}-wheel".replace("_", "-"), "crutch": "pallets", "hairspring": "balance"}
        self.at = {figure.part: figure.at for figure in sheet.figures if figure.part and figure.classes != "balloon"}
        self.above = {inner.id: node for node in made.root.walk() for inner in node.inner}

    def of(self, anchors: tuple[str, ...]) -> tuple[list[str], list[tuple[float, float]]]:
        """(names of the parts to mark, places of pivots to ring). A plate is marked where nothing else of a finding is seen."""
        parts: list[str] = []
        spots: list[tuple[float, float]] = []
        for anchor in anchors:
            seen = self._seen(anchor)
            if anchor.endswith(PIVOTS) and seen:
                spots.append(self.at[seen[0]])
            else:
                parts += seen
        if spots or len(parts) > 1:
            parts = [part for part in parts if part != "plates"]
        return list(dict.fromkeys(parts)), list(dict.fromkeys(spots))

    def _seen(self, anchor: str) -> list[str]:
        """Its own name, those of what is in it, or of what is in the part that it belongs to; or what it goes with."""
        node = self.made.nodes.get(anchor)
        if node is self.made.root:
            return []  # a finding on the whole marks nothing
        while node is not None and (node.drawn or node.id == anchor):  # above a part there are only groups
            inside = [each.id for each in node.walk() if each.id in self.at]
            if inside:
                return inside if node.id == anchor else inside[:1]
            node = self.above.get(node.id)
        return [name for name in (self.instead.get(anchor),) if name in self.at]
