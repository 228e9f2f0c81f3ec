"""A drawing as a question shows it: its parts numbered, one of them marked where the question is about it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from builder.drawing.sheet import Figure, Sheet
from builder.lessons.question import WORK
from builder.packs.literal import Cascade
from builder.packs.posed import Look, Posed, in_state
from builder.packs.raster import few_colours, png
from builder.packs.stock import Stock

WIDTH_PX = 640
COLOURS = 64
"""Of a PNG: flat colours and their edges; a file of many drawings stays one that a platform takes."""


@dataclass(frozen=True)
class Picture:
    """A file that a question takes along, and what it shows in words that do not give the answer away."""

    name: str
    data: bytes
    alt: str


Paint = Callable[[Sheet, str | None], tuple[str, bytes]]
"""A drawing with a part marked in it → the ending of the file's name, and its bytes."""


def drawn(stock: Stock, drawing: str, mark: str | None, paint: Paint) -> Picture:
    """The picture. Raises PackError where there is no such drawing."""
    plate = stock.plate(drawing)
    alt = stock.wording.say(f"platforms.picture.{'work' if drawing == WORK else 'front'}")
    number = next((row.number for row in plate.rows if row.part == mark), None)
    if number is not None:
        alt = stock.wording.say("platforms.picture.marked", drawing=alt, number=number)
    ending, data = paint(in_state(plate.sheet, None), mark)
    return Picture(f"{stock.slug}-{drawing}{f'-{number}' if number else ''}.{ending}", data, alt)


def pixels(stock: Stock) -> Paint:
    """As PNG. It and its paint raise PackError where what makes pictures is not installed."""
    cascade = Cascade(stock.css)

    def paint(sheet: Sheet, mark: str | None) -> tuple[str, bytes]:
        look = Look(mark=mark)
        return "png", few_colours(png(Posed(sheet, look, cascade).at(look.time_s), WIDTH_PX, cascade.token("--paper")), COLOURS)

    return paint


def vectors(stock: Stock) -> Paint:
    """As SVG: larger files, which want nothing more installed. The part is marked; the others are not drawn paler."""

    def paint(sheet: Sheet, mark: str | None) -> tuple[str, bytes]:
        def marked(figure: Figure) -> Figure:
            own = f"{figure.classes} marked".strip() if mark is not None and figure.part == mark else figure.classes
            return replace(figure, classes=own, inner=tuple(map(marked, figure.inner)))

        seen = replace(sheet, figures=tuple(map(marked, sheet.figures)))
        return "svg", seen.still(stock.wear.style, credit=stock.wear.credit).encode("utf-8")

    return paint
