"""A drawing as it is chosen to be seen: in a state of winding, with a part marked, without labels; and set to any moment."""

from __future__ import annotations

import math
import re
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from xml.etree import ElementTree  # nosec B405 # reads what sheet.py wrote

from builder.drawing.path import number
from builder.drawing.sheet import START_S, Figure, Move, Shape, Sheet
from builder.packs.literal import SVG, Cascade

MOST_UNIT = 2.4
"""Letters grow no further against a small drawing: as drawing.css has it on a narrow screen."""
NUMBER = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)")


@dataclass(frozen=True)
class Look:
    """How a drawing is seen. `mark` is a part's id, `winding` a state's name; times in seconds past twelve."""

    mark: str | None = None
    labels: bool = True
    lines: bool = False
    winding: str | None = None
    time_s: float = START_S
    dark: bool = False
    arms: bool = True


LABELS = frozenset({"balloon", "label"})
"""Classes of what a drawing without labels leaves out, as the style sheet of a drawing's own page does."""


def dressed(sheet: Sheet, look: Look) -> Sheet:
    """The drawing with its part marked, with lines or without labels or arms; dressed again it stays as it is.

    Ids of animations are counted anew: what is left out may have had some. States of winding go by `in_state`, before.
    """
    if not look.arms:
        sheet = without_arms(sheet)
    figures = [_dressed(figure, look) for figure in sheet.figures]
    chosen = ["marking"] * (look.mark is not None) + ["constructed"] * look.lines
    classes = " ".join(dict.fromkeys([*sheet.classes.split(), *chosen]))
    return replace(sheet, figures=tuple(figure for figure in figures if figure is not None), classes=classes)


def _dressed(figure: Figure, look: Look) -> Figure | None:
    own = figure.classes.split()
    if not look.labels and LABELS & set(own):
        return None
    if look.mark is not None and figure.part == look.mark:
        own = list(dict.fromkeys([*own, "marked"]))
    inner = [_dressed(each, look) for each in figure.inner]
    words = tuple(each for each in figure.words if look.labels or not LABELS & set(each.classes.split()))
    kept = tuple(each for each in inner if each is not None)
    return replace(figure, classes=" ".join(own), inner=kept, words=words)


def without_arms(sheet: Sheet) -> Sheet:
    """Wheels as plain discs: turned by a tooth they look as they did, so that a short loop is a whole one."""

    def solid(figure: Figure) -> Figure:
        shapes = figure.shapes
        if any("wheel" in shape.classes.split() for shape in shapes):
            shapes = tuple(replace(shape, d=_rim(shape)) for shape in shapes if shape.classes != "detail")
        return replace(figure, shapes=shapes, inner=tuple(map(solid, figure.inner)))

    return replace(sheet, figures=tuple(map(solid, sheet.figures)))


def _rim(shape: Shape) -> str:
    """A wheel's outline without the openings in it; other shapes as they are."""
    return shape.d.partition("z")[0] + "z" if "wheel" in shape.classes.split() else shape.d


def in_state(sheet: Sheet, name: str | None) -> Sheet:
    """The drawing in one state of winding alone, the first where none is named. KeyError where it has no such state."""
    if not sheet.states:
        return sheet
    name = next(iter(sheet.states)) if name is None else name
    timings = sheet.states[name]
    ids = iter(sheet.moves())

    def posed(figure: Figure) -> Figure | None:
        moves = {move: _timed(move, timings.get(next(ids))) for move in _own(figure)}
        inner = tuple(each for each in [posed(each) for each in figure.inner] if each is not None)
        made = replace(figure, moves=tuple(moves[move] for move in figure.moves), inner=inner, state=None)
        return made if figure.state in (None, name) else None

    kept = [posed(figure) for figure in sheet.figures]
    return replace(sheet, figures=tuple(figure for figure in kept if figure is not None), states={})


def _own(figure: Figure) -> Iterator[Move]:
    """A figure's own moves in the order of their ids."""
    return replace(figure, inner=()).in_order()


def _timed(move: Move, timing: dict[str, str] | None) -> Move:
    if timing is None:
        return move
    values, times = timing["values"].split(";"), timing["keyTimes"].split(";")
    exact = Fraction(timing["ms"]) if "ms" in timing else None
    return replace(
        move,
        values=tuple(values),
        key_times=tuple(map(float, times)),
        dur_ms=int(timing["dur"].removesuffix("ms")),
        exact_ms=exact,
    )


class Posed:
    """A drawing with everything written out, that can be set to any moment.

    `standing`: ids of the animations that do not run, because a screen could not show them calmly; their parts are faint.
    Where the look leaves something out, they are ids of the drawing as `dressed` gives it. `width_px`: in a picture narrower than
    the drawing, lines and letters keep the width and size that they have on a screen.
    """

    def __init__(
        self,
        sheet: Sheet,
        look: Look,
        cascade: Cascade,
        standing: frozenset[str] = frozenset(),
        width_px: float = math.inf,
    ) -> None:
        sheet = dressed(sheet, look)
        self.moves = sheet.moves()
        self.standing, self.start_s = standing, look.time_s
        root = ElementTree.fromstring(sheet.svg(""))  # nosec B314 # see above
        parents = {child: parent for parent in root.iter() for child in parent}
        for node, parent in parents.items():
            if node.get("id") in standing:
                parent.set("class", f"{parent.get('class', '')} fast".strip())
        self.root = cascade.literal(root, "plate", min(max(1.0, sheet.box[2] / width_px), MOST_UNIT))
        self._moving = [
            (parent, node.get("id", ""), node)
            for parent in self.root.iter()
            for node in parent
            if node.get("id", "") in self.moves
        ]
        for parent, _, node in self._moving:
            parent.remove(node)
        self.at(look.time_s)

    def at(self, t_s: float) -> str:
        """The drawing at a moment, as SVG text."""
        for node, id_, _ in self._moving:
            move = self.moves[id_]
            value = between(move, self.start_s if id_ in self.standing else t_s)
            if move.what in ("rotate", "translate"):
                node.set("transform", f"{move.what}({value})")
            else:
                node.set(move.what, value)
        ElementTree.register_namespace("", SVG)
        return ElementTree.tostring(self.root, encoding="unicode")


def between(move: Move, t_s: float) -> str:
    """The value at a moment, between its key frames: angle, place, outline or word."""
    if move.what == "rotate" or move.steps:
        return move.at(t_s)
    part = t_s * 1000 / float(move.exact_ms or move.dur_ms) % 1.0
    index = min(bisect_right(move.key_times, part), len(move.values) - 1) - 1
    start, end = move.key_times[index], move.key_times[index + 1]
    share = (part - start) / (end - start)
    then = iter(NUMBER.findall(move.values[index + 1]))
    return NUMBER.sub(
        lambda found: " " + number(float(found[0]) + (float(next(then)) - float(found[0])) * share, 3), move.values[index]
    ).strip()
