"""A movement's questions with their drawings, as the XML in which question banks of Moodle and its like take them in.

The format: Moodle's documentation, 'Moodle XML format'; what each kind of question has in it: its importers' source.
"""

from __future__ import annotations

import argparse
import base64
import html
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import groupby
from xml.etree.ElementTree import Element, SubElement, indent, tostring  # nosec B405 # writes only

from builder.packs.chosen import place_option
from builder.packs.error import PackError
from builder.packs.film import Told
from builder.packs.quiz import Item, asked, category, counted, credit, decimal, pictured, tolerance
from builder.packs.quiz_picture import Paint, Picture, drawn, pixels, vectors
from builder.packs.stock import Made, Stock

HELP = "the questions with their drawings for the question bank of a learning platform, as Moodle XML"
TYPES = {"choice": "multichoice", "number": "numerical", "match": "matching", "order": "ordering"}


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command can be told."""
    parser.add_argument(
        "--pictures", choices=("png", "svg"), help="what the drawings are (default: png where the pictures extra is installed)"
    )
    place_option(parser)


def make(stock: Stock, options: argparse.Namespace, told: Told) -> Made:
    """The file. Raises PackError: PNG is asked for, and what makes pictures is not installed."""
    items = pictured(asked(stock), stock.wording)
    form = options.pictures or "png"
    try:
        pictures = _pictures(stock, items, pixels if form == "png" else vectors, told)
    except PackError:
        if options.pictures:
            raise
        form, pictures = "svg", _pictures(stock, items, vectors, told)
    data = Bank(stock, pictures).written(items)
    return Made(f"{stock.slug}.moodle.xml", data, f"{counted(items)} Drawings: {form.upper()}.")


Pictures = dict[tuple[str, str | None], Picture]
"""Drawing and part marked in it → the picture."""


def _pictures(stock: Stock, items: Sequence[Item], way: Callable[[Stock], Paint], told: Told) -> Pictures:
    paint, made = way(stock), Pictures()
    wanted = list(dict.fromkeys((item.drawing, item.mark) for item in items if item.drawing))
    for n, (drawing, mark) in enumerate(wanted, 1):
        made[drawing, mark] = drawn(stock, drawing, mark, paint)
        told(n, len(wanted))
    return made


@dataclass(frozen=True)
class Bank:
    """The file while it is written."""

    stock: Stock
    pictures: Pictures

    def written(self, items: Sequence[Item]) -> bytes:
        """UTF-8 with its declaration."""
        quiz = Element("quiz")
        for kind, own in groupby(items, lambda item: item.kind):
            head = SubElement(quiz, "question", type="category")
            _text(SubElement(head, "category"), category(self.stock, kind))
            _html(head, "info", _paragraph(credit(self.stock)))
            for item in own:
                self._question(quiz, item)
        indent(quiz, " ")
        return b'<?xml version="1.0" encoding="UTF-8"?>\n' + tostring(quiz, "utf-8") + b"\n"

    def _question(self, quiz: Element, item: Item) -> None:
        node = SubElement(quiz, "question", type=TYPES[item.form])
        _text(SubElement(node, "name"), item.title)
        picture = self.pictures[item.drawing, item.mark] if item.drawing else None
        shown = f'<p><img src="@@PLUGINFILE@@/{picture.name}" alt="{html.escape(picture.alt)}"></p>' if picture else ""
        asking = _html(node, "questiontext", _paragraph(item.text) + shown)
        if picture:
            file = SubElement(asking, "file", name=picture.name, path="/", encoding="base64")
            file.text = base64.b64encode(picture.data).decode("ascii")
        _html(node, "generalfeedback", _paragraph(item.feedback))
        for name, value in (
            ("defaultgrade", "1"), ("penalty", "0.3333333"), ("hidden", "0"), ("idnumber", f"{self.stock.slug}.{item.key}"),
        ):  # fmt: skip
            SubElement(node, name).text = value
        WRITERS[item.form](self.stock, node, item)
        _text(SubElement(SubElement(node, "tags"), "tag"), item.kind)


def _choice(stock: Stock, node: Element, item: Item) -> None:
    for name, value in (("single", "true"), ("shuffleanswers", "true"), ("answernumbering", "none")):
        SubElement(node, name).text = value
    for n, answer in enumerate(item.answers):
        given = _html(node, "answer", _paragraph(answer.text), fraction="0" if n else "100")
        _html(given, "feedback", _paragraph(answer.why if n else stock.wording.say("questions.page.right")))


def _number(stock: Stock, node: Element, item: Item) -> None:
    for n, (answer, figure) in enumerate(zip(item.answers, item.figures, strict=True)):
        given = SubElement(node, "answer", fraction="0" if n else "100", format="moodle_auto_format")
        _text(given, decimal(figure))
        _html(given, "feedback", _paragraph(answer.why if n else stock.wording.say("questions.page.right")))
        SubElement(given, "tolerance").text = decimal(tolerance(item, figure))


def _match(stock: Stock, node: Element, item: Item) -> None:
    SubElement(node, "shuffleanswers").text = "true"
    for asked_of, belongs in item.pairs:
        _text(SubElement(_html(node, "subquestion", _paragraph(asked_of)), "answer"), belongs)


def _order(stock: Stock, node: Element, item: Item) -> None:
    """Every step in its place is counted, so that one slip does not cost all."""
    for name, value in (
        ("layouttype", "VERTICAL"), ("selecttype", "ALL"), ("selectcount", str(len(item.answers))),
        ("gradingtype", "RELATIVE_TO_CORRECT"), ("showgrading", "SHOW"), ("numberingstyle", "none"),
    ):  # fmt: skip
        SubElement(node, name).text = value
    for n, step in enumerate(item.answers, 1):
        _html(node, "answer", _paragraph(step.text), fraction=str(n))


WRITERS = {"choice": _choice, "number": _number, "match": _match, "order": _order}


def _text(node: Element, text: str) -> Element:
    SubElement(node, "text").text = text
    return node


def _html(node: Element, name: str, text: str, **attributes: str) -> Element:
    return _text(SubElement(node, name, attributes | {"format": "html"}), text)


def _paragraph(text: str) -> str:
    return f"<p>{html.escape(text, quote=False)}</p>"
