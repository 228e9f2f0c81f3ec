"""Drawings to print and write on: balloons with other numbers, or with the names of their parts beside them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from builder.drawing.balloons import RADIUS_PX
from builder.drawing.sheet import Figure, Sheet, Words

LETTER_PX = 13.0
"""Mean width of a letter of a printed name (paper.css has its size)."""
GAP_PX = 8.0


def retold(sheet: Sheet, slug: str, title: str, desc: str) -> Sheet:
    """The same drawing standing still, under another name."""
    return replace(sheet.stopped(), slug=slug, title=title, desc=desc, beat_ms=None, states={})


def renumbered(sheet: Sheet, numbers: Mapping[str, int]) -> Sheet:
    """Each balloon with the number that its part is given. KeyError for a balloon whose part has none."""

    def numbered(figure: Figure) -> Figure:
        (disc,) = figure.inner
        return replace(figure, inner=(replace(disc, words=(replace(disc.words[0], text=str(numbers[figure.part or ""])),)),))

    return _balloons(sheet, numbered)


def named(sheet: Sheet, names: Mapping[str, str], numbers: bool = True) -> Sheet:
    """The name of its part beside each balloon, outside of the drawing; with `numbers` off, in the balloon's place."""
    left, top, width, height = sheet.box
    middle = left + width / 2
    room = 2 * GAP_PX + LETTER_PX * max((len(name) for name in names.values()), default=0)

    def beside(figure: Figure) -> Figure:
        (disc,) = figure.inner
        (x, y), name = disc.at, names[figure.part or ""]
        way, anchor = (-1, "end") if x < middle else (1, "start")
        shift = GAP_PX + (RADIUS_PX if numbers else 0.0)
        words = Words(x + way * shift, y, name, "label printed", anchor)  # type: ignore[arg-type]
        return replace(figure, inner=(disc,) if numbers else (), words=(words,))

    made = _balloons(sheet, beside)
    return replace(made, box=(left - room, top, width + 2 * room, height))


def _balloons(sheet: Sheet, changed: Callable[[Figure], Figure]) -> Sheet:
    return replace(sheet, figures=tuple(changed(figure) if figure.classes == "balloon" else figure for figure in sheet.figures))
