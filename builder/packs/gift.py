"""A movement's questions as a text in the GIFT format, which most learning platforms read into their quizzes.

The format: Moodle's documentation, 'GIFT format'. It has no pictures, so that parts to be marked are left out.
"""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator
from itertools import groupby

from builder.packs.chosen import place_option
from builder.packs.film import Told
from builder.packs.quiz import Item, asked, category, counted, credit, decimal, tolerance, worded
from builder.packs.stock import Made, Stock

HELP = "the questions for the quizzes of a learning platform, as GIFT text"
CONTROL = re.compile(r"[\\~=#{}:]")
"""What parts the text of a question from its answers, unless a stroke stands before it."""
ARROW = re.compile(r"->")


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command can be told."""
    place_option(parser)


def make(stock: Stock, options: argparse.Namespace, told: Told) -> Made:
    """The text."""
    found = asked(stock)
    items = worded(found, stock.wording)
    left = sum(question.kind == "mark" for question in found)
    said = (
        f"{counted(items)} {left} that ask for a part in the drawing are left out: this format has no pictures." if left else ""
    )
    return Made(f"{stock.slug}.gift.txt", "\n".join(_lines(stock, items)).encode("utf-8"), said or counted(items))


def _lines(stock: Stock, items: tuple[Item, ...]) -> Iterator[str]:
    """A line a thing; an empty line ends a question."""
    about = stock.wording.say("platforms.described", name=stock.shown.going.name)
    yield from (f"// {about}", f"// {credit(stock)}", "")
    for kind, own in groupby(items, lambda item: item.kind):
        yield from (f"$CATEGORY: {category(stock, kind)}", "")
        for item in own:
            yield from (f"// [id:{stock.slug}.{item.key}] [tag:{kind}]", *_question(stock, item), "")


def _question(stock: Stock, item: Item) -> Iterator[str]:
    text = item.text
    if item.form == "order":
        text = stock.wording.say("platforms.asked.places", text=text)
    yield f"::{escaped(item.title)}::[plain]{escaped(text)} {{{'#' if item.form == 'number' else ''}"
    yield from _answers(stock, item)
    yield f"####{escaped(item.feedback)}"
    yield "}"


def _answers(stock: Stock, item: Item) -> Iterator[str]:
    good = escaped(stock.wording.say("questions.page.right"))
    if item.form == "match":
        yield from (_pair(*pair) for pair in item.pairs)
    elif item.form == "order":
        yield from (_pair(step.text, str(n)) for n, step in enumerate(item.answers, 1))
    elif item.form == "choice":
        for n, answer in enumerate(item.answers):
            yield f"{'~' if n else '='}{escaped(answer.text)}#{escaped(answer.why) if n else good}"
    else:
        for n, (answer, figure) in enumerate(zip(item.answers, item.figures, strict=True)):
            span = f"{decimal(figure)}:{decimal(tolerance(item, figure))}"
            yield f"=%{0 if n else 100}%{span}#{escaped(answer.why) if n else good}"


def _pair(asked_of: str, belongs: str) -> str:
    assert not ARROW.search(asked_of), "an arrow parts the two"
    return f"={escaped(asked_of)} -> {escaped(belongs)}"


def escaped(text: str) -> str:
    """The text on one line, with a stroke before every sign that means something in this format."""
    return CONTROL.sub(r"\\\g<0>", " ".join(text.split("\n")))
