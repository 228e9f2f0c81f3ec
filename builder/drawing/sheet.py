"""One SVG drawing: the only place that knows svgwrite.

A sheet is a stack of parts. A part has a place, a rest turn, its moves, and its shapes. svgwrite runs unchecked
(debug=False), so what it would check is checked here: finite numbers, key times from 0 to 1 rising, as many as values,
whole milliseconds, no centre in a rotation (it would accumulate too).
"""

from __future__ import annotations

import math
import re
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import pairwise
from typing import Literal

import svgwrite
from svgwrite.base import BaseElement
from svgwrite.container import Group

from builder.drawing.path import number

START_S = 36480
"""The moment a drawing opens at: 10 h 08 min past 12, both hands clear of one another and of the figures."""


@dataclass(frozen=True)
class Shape:
    """A path with its classes; `hole` winding is even-odd."""

    d: str
    classes: str
    label: str | None = None


@dataclass(frozen=True)
class Words:
    """Text in a drawing; it never turns."""

    x: float
    y: float
    text: str
    classes: str = "label"
    anchor: Literal["start", "middle", "end"] = "middle"


@dataclass(frozen=True)
class Move:
    """One animation: `values` over `key_times` of `dur_ms`, then again; `sums` adds the last value at each repetition."""

    what: Literal["rotate", "translate", "d", "visibility"]
    values: tuple[str, ...]
    key_times: tuple[float, ...]
    dur_ms: int
    sums: bool = False
    steps: bool = False
    exact_ms: Fraction | None = None
    """The duration where it is no whole number of ms: browsers round `dur`, the player reads this."""

    def __post_init__(self) -> None:
        times = self.key_times
        assert len(times) == len(self.values) >= 2, "as many key times as values"
        assert times[0] == 0 and (self.steps or times[-1] == 1), "key times run from 0 to 1"
        assert all(a < b for a, b in pairwise(times)), "key times rise"
        assert isinstance(self.dur_ms, int) and self.dur_ms > 0, "whole milliseconds"
        assert self.what not in ("rotate",) or all(" " not in v and math.isfinite(float(v)) for v in self.values), "an angle"

    def timing(self) -> dict[str, str]:
        """values, keyTimes, dur (and the exact ms) as they are written."""
        timing = {
            "values": ";".join(self.values),
            "keyTimes": ";".join(number(t, 7) for t in self.key_times),
            "dur": f"{self.dur_ms}ms",
        }
        if self.exact_ms is not None and self.exact_ms != self.dur_ms:
            timing["ms"] = str(self.exact_ms)
        return timing

    def at(self, t_s: float) -> str:
        """The value at a moment: what a browser shows, in double precision."""
        whole, part = divmod(t_s * 1000 / float(self.exact_ms or self.dur_ms), 1.0)
        index = bisect_right(self.key_times, part) - 1
        if self.steps:
            return self.values[index]
        if self.what in ("d", "translate"):  # stills show the nearer key frame
            return self.values[min(index + 1, len(self.values) - 1)]
        start, end = self.key_times[index], self.key_times[index + 1]
        first, last = float(self.values[index]), float(self.values[index + 1])
        value = first + (last - first) * (part - start) / (end - start)
        return f"{(value + whole * float(self.values[-1])) if self.sums else value:.6f}"


@dataclass(frozen=True)
class Figure:
    """A drawn part: where it sits (px), how it is turned at rest (SVG degrees), how it moves, what it looks like."""

    part: str | None
    label: str | None
    at: tuple[float, float] = (0.0, 0.0)
    turned_deg: float = 0.0
    moves: tuple[Move, ...] = ()
    shapes: tuple[Shape, ...] = ()
    inner: tuple[Figure, ...] = ()
    words: tuple[Words, ...] = ()
    classes: str = ""
    state: str | None = None
    """Shown only in this state of winding."""
    turn: Fraction | None = None
    """Where a reader can set the hands: turns of this group, as drawn, for one turn of the minute hand."""
    mark: str | None = None
    """Under this name, after the drawing's own, a link can point at it."""
    data: tuple[tuple[str, str], ...] = ()
    """What a script of its own is told of it: (name, text)."""

    def has_states(self) -> bool:
        """Whether it, or a figure in it, is shown in one state of winding only."""
        return self.state is not None or any(inner.has_states() for inner in self.inner)

    def each(self) -> Iterator[Figure]:
        """Itself and the figures in it."""
        yield self
        for inner in self.inner:
            yield from inner.each()

    def in_order(self) -> Iterator[Move]:
        """Its moves and those of the figures in it, as they are written."""
        yield from (move for move in self.moves if move.what != "d")
        yield from (move for move in self.moves if move.what == "d")
        for inner in self.inner:
            yield from inner.in_order()


@dataclass(frozen=True)
class Credit:
    """Who publishes a drawing and on what terms, for a file that may travel alone."""

    publisher: str
    licence: str
    address: str
    """Where the licence is to be read."""


@dataclass(frozen=True)
class Sheet:
    """A whole drawing. `box` is (left, top, width, height) in px."""

    slug: str
    title: str
    desc: str
    box: tuple[float, float, float, float]
    figures: tuple[Figure, ...]
    beat_ms: float | None = None
    scrub_s: float = 60.0
    speed: float = 1.0
    """Shown seconds per second at first sight."""
    dial_hours: int = 12
    """Hours that the time of day is told in beside it."""
    classes: str = ""
    states: dict[str, dict[str, dict[str, str]]] = field(default_factory=dict)
    """State of winding → id of an animation → its values, key times and duration in that state; the first is the one drawn."""

    def moves(self) -> dict[str, Move]:
        """Every animation by its id."""
        ordered = (move for figure in self.figures for move in figure.in_order())
        return {f"{self.slug}-a{n}": move for n, move in enumerate(ordered, 1)}

    def parts(self) -> set[str]:
        """Ids of all parts in it."""
        return {figure.part for figure in self.each() if figure.part}

    def each(self) -> Iterator[Figure]:
        """Every figure and those in it."""
        return (each for figure in self.figures for each in figure.each())

    def with_states(self, others: dict[str, Sheet]) -> Sheet:
        """This drawing with what moves otherwise in other states; `others` are the same drawing in each of them."""
        own = self.moves()
        states: dict[str, dict[str, dict[str, str]]] = {}
        for name, other in others.items():
            theirs = other.moves()
            assert theirs.keys() == own.keys(), f"{self.slug} moves other parts when {name}"
            states[name] = {key: move.timing() for key, move in theirs.items()}
        same = {key for key in own if all(states[name][key] == own[key].timing() for name in states)}
        states = {name: {key: timing for key, timing in each.items() if key not in same} for name, each in states.items()}
        if len(same) == len(own) and not any(figure.has_states() for figure in self.figures):
            return self  # nothing in it depends on the winding: nothing to choose
        return replace(self, states=states)

    def svg(self, style: str | None = None, credit: Credit | None = None) -> str:
        """The drawing as SVG text. With `style` it stands alone as a file; without, it goes inline on a page."""
        return _Writer(self, style, credit).text()

    def bare(self, margin_px: float) -> Sheet:
        """Without balloons, and without the margins at either side in which they stand."""
        left, top, width, height = self.box
        figures = tuple(figure for figure in self.figures if figure.classes != "balloon")
        return replace(self, figures=figures, box=(left + margin_px, top, width - 2 * margin_px, height))

    def stopped(self, at_s: float = START_S) -> Sheet:
        """The drawing as it stands at one moment: nothing in it moves."""
        return replace(self, figures=tuple(stopped(figure, at_s) for figure in self.figures))

    def still(self, style: str, at_s: float = START_S, credit: Credit | None = None) -> str:
        """The drawing as it stands at one moment, as a file."""
        return self.stopped(at_s).svg(style, credit)


def stopped(figure: Figure, at_s: float) -> Figure:
    """A figure as it stands at one moment."""
    inner = tuple(stopped(each, at_s) for each in figure.inner)
    turned, shapes, words, (x, y) = figure.turned_deg, figure.shapes, figure.words, figure.at
    for move in figure.moves:
        value = move.at(at_s)
        if move.what == "rotate":
            turned += float(value)
        elif move.what == "d":
            shapes = (replace(shapes[0], d=value), *shapes[1:])
        elif move.what == "translate":
            dx, dy = (float(v) for v in value.split())
            x, y = x + dx, y + dy
        elif value == "hidden":
            shapes, words, inner = (), (), ()
    return replace(figure, inner=inner, turned_deg=turned, shapes=shapes, words=words, at=(x, y), moves=())


class _Writer:
    def __init__(self, sheet: Sheet, style: str | None, credit: Credit | None) -> None:
        self.sheet, self.style, self.credit = sheet, style, credit
        self.count = 0

    def text(self) -> str:
        sheet = self.sheet
        head = sheet.slug
        root = svgwrite.Drawing(debug=False)
        root.attribs.clear()
        root.attribs |= {
            "xmlns": "http://www.w3.org/2000/svg",
            "class": f"drawing {sheet.classes}".strip(),
            "viewBox": " ".join(number(v) for v in sheet.box),
            "role": "graphics-document",
            "aria-labelledby": f"{head}-title",
            "aria-describedby": f"{head}-desc",
        }
        if self.style is not None:
            root.attribs["width"], root.attribs["height"] = (number(v, 0) for v in sheet.box[2:])
        root.elements.clear()
        root.add(_text_element("title", sheet.title, id=f"{head}-title"))
        root.add(_text_element("desc", sheet.desc, id=f"{head}-desc"))
        if self.credit is not None:
            root.add(_credited(sheet.title, self.credit))
        if self.style is not None:
            root.add(_text_element("style", self.style))
        for figure in sheet.figures:
            root.add(self._figure(figure))
        text = root.tostring().replace('<?xml version="1.0" encoding="utf-8" ?>\n', "")
        # svgwrite declares namespaces that nothing here uses, and HTML does not know.
        return re.sub(r' xmlns:(ev|xlink)="[^"]*"', "", text, count=2)

    def _figure(self, figure: Figure) -> BaseElement:
        outer = Group(debug=False)
        if figure.part:
            outer.attribs |= {"class": f"part {figure.classes}".strip(), "data-part": figure.part}
        elif figure.classes:
            outer.attribs["class"] = figure.classes
        if figure.state:
            outer.attribs["data-state"] = figure.state
            if self.sheet.states and figure.state != next(iter(self.sheet.states)):
                outer.attribs["class"] = f"{outer.attribs.get('class', '')} off".strip()
        if figure.turn is not None:
            outer.attribs["data-turn"] = str(figure.turn)
        if figure.mark:
            outer.attribs["id"] = f"{self.sheet.slug}-{figure.mark}"
        outer.attribs |= {f"data-{name}": text for name, text in figure.data}
        if figure.label:
            outer.attribs |= {"role": "graphics-symbol", "aria-label": figure.label}
        place = _place(figure)
        holder = outer
        if figure.moves:
            if place:
                still = Group(debug=False)
                still.attribs["transform"] = place
                outer.add(still)
                holder = still
            moving = Group(debug=False)
            moving.attribs["class"] = "m"
            holder.add(moving)
            holder = moving
            for move in figure.moves:
                if move.what in ("rotate", "translate", "visibility"):
                    holder.add(self._animation(move))
        elif place:
            outer.attribs["transform"] = place
        shaping = [move for move in figure.moves if move.what == "d"]
        for index, shape in enumerate(figure.shapes):
            path = _Element("path", {"class": shape.classes, "d": shape.d})
            if shaping and index == 0:
                # Where the reader wants it still and no script leads, the first shape stands in for the moving one.
                holder.add(_Element("path", {"class": f"{shape.classes} still", "d": shape.d}))
                path.attribs["class"] = f"{shape.classes} moving"
                path.add(self._animation(shaping[0]))
            holder.add(path)
        for words in figure.words:
            attributes = {"x": number(words.x), "y": number(words.y), "class": words.classes}
            if words.anchor != "middle":
                attributes["text-anchor"] = words.anchor
            holder.add(_text_element("text", words.text, **attributes))
        for inner in figure.inner:
            holder.add(self._figure(inner))
        return outer

    def _animation(self, move: Move) -> BaseElement:
        self.count += 1
        attributes = {
            "id": f"{self.sheet.slug}-a{self.count}",
            "attributeName": "transform" if move.what in ("rotate", "translate") else move.what,
            **{("data-ms" if key == "ms" else key): text for key, text in move.timing().items()},
            "begin": f"-{START_S}s",
            "repeatCount": "indefinite",
        }
        if move.what in ("rotate", "translate"):
            attributes["type"] = move.what
        if move.sums:
            attributes["accumulate"] = "sum"
        if move.steps:
            attributes["calcMode"] = "discrete"
        return _Element("animateTransform" if "type" in attributes else "animate", attributes)


class _Element(BaseElement):
    def __init__(self, name: str, attributes: dict[str, str]) -> None:
        self.elementname = name
        super().__init__(debug=False)
        self.attribs |= attributes


class _Text(_Element):
    def __init__(self, name: str, text: str, attributes: dict[str, str]) -> None:
        super().__init__(name, attributes)
        self.content = text

    def get_xml(self):  # type: ignore[no-untyped-def]  # svgwrite's own signature has no types
        xml = super().get_xml()
        xml.text = self.content
        return xml


def _text_element(name: str, text: str, **attributes: str) -> _Text:
    return _Text(name, text, attributes)


def _credited(title: str, credit: Credit) -> BaseElement:
    """Title, publisher and licence as other programs read them: RDF with the terms of Dublin Core and of ccREL."""
    work = _Element("cc:Work", {})
    work.add(_text_element("dc:title", title))
    work.add(_text_element("dc:publisher", credit.publisher))
    work.add(_text_element("dc:rights", f"{credit.publisher}, {credit.licence}, {credit.address}"))
    work.add(_Element("cc:license", {"rdf:resource": credit.address}))
    spaces = {
        "rdf": "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
        "dc": "http://purl.org/dc/elements/1.1/",
        "cc": "http://creativecommons.org/ns#",
    }
    rdf = _Element("rdf:RDF", {f"xmlns:{prefix}": name for prefix, name in spaces.items()})
    rdf.add(work)
    metadata = _Element("metadata", {})
    metadata.add(rdf)
    return metadata


def _place(figure: Figure) -> str:
    x, y = (number(v) for v in figure.at)
    place = "" if (x, y) == ("0", "0") else f"translate({x} {y})"
    turned = number(figure.turned_deg % 360, 4)
    return place + ("" if turned == "0" else f"rotate({turned})")
