"""A movement's questions as quizzes of learning platforms know them: to choose, to answer with a number, to match, to order."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from itertools import groupby
from typing import Literal

from builder.ground.wording import Wording
from builder.lessons.question import Answer, Question
from builder.packs.stock import Stock

Form = Literal["choice", "number", "match", "order"]
FORMS: dict[Form, str] = {
    "choice": "to choose", "number": "to answer with a number", "match": "to match", "order": "to put in order",
}  # fmt: skip
ROUNDING = Fraction(1, 200)
"""What a figure rounded to three digits may be off at most, in parts of it."""
APART = 3
"""A wrong figure lies at least so many times further off than what is let pass."""
MOST_PAIRS, FEWEST_PAIRS = 6, 3
"""Pairs of one matching question: more do not fit on a screen, fewer are found by elimination."""
IN_THE_DRAWING = frozenset({"name", "mark", "sense"})
"""Kinds that are asked before the drawing."""


@dataclass(frozen=True)
class Item:
    """One question of a quiz. `answers`: the right one first; in a question of order all in their order."""

    key: str
    kind: str
    form: Form
    text: str
    answers: tuple[Answer, ...] = ()
    pairs: tuple[tuple[str, str], ...] = ()
    """What is asked, and what belongs to it; in a matching question only."""
    feedback: str = ""
    """The reasoning, for whoever has answered in whatever way."""
    drawing: str | None = None
    mark: str | None = None
    """The drawing that it is asked before, and the part marked in it."""
    title: str = ""

    @property
    def figures(self) -> tuple[Fraction, ...]:
        """Every answer as a number, the right one first; none in a question that has no numbers."""
        return tuple(answer.figure for answer in self.answers if answer.figure is not None)


def asked(stock: Stock) -> tuple[Question, ...]:
    """All questions of the movement."""
    return stock.shown.asked(stock.wording)


def pictured(found: Sequence[Question], wording: Wording) -> tuple[Item, ...]:
    """Every question, for a quiz that shows drawings: a part that is to be marked is answered with its number."""
    return tuple(_titled([*_described(found, wording), *(_pictured(question, wording) for question in found)], wording))


def worded(found: Sequence[Question], wording: Wording) -> tuple[Item, ...]:
    """For a quiz of words alone: which part is meant is told by what it does; parts to be marked are left out."""
    plain = [_plain(question, wording) for question in found if question.kind not in ("name", "mark")]
    return tuple(_titled([*_described(found, wording), *plain], wording))


def _titled(items: Iterable[Item], wording: Wording) -> Iterator[Item]:
    """Each under the name of its kind with a number of two digits, so that a list of them keeps its order."""
    for kind, own in groupby(items, lambda item: item.kind):
        for n, item in enumerate(own, 1):
            yield replace(item, title=f"{_label(kind, wording)} {n:02}")


def _label(kind: str, wording: Wording) -> str:
    """A kind's name: the self-test's, but for those that it does not have."""
    own = f"platforms.kinds.{kind}"
    return wording.say(own if own in wording else f"questions.kinds.{kind}")


def _plain(question: Question, wording: Wording) -> Item:
    if question.form == "order":
        steps = " ".join(f"{n}. {step.text}. {step.why}" for n, step in enumerate(question.answers, 1))
        return Item(question.key, question.kind, "order", question.text, question.answers, feedback=steps)
    item = Item(question.key, question.kind, "choice", question.text, question.answers, feedback=question.right.why)
    if not item.figures or any(abs(item.figures[0] - each) < APART * _rounding(item.figures[0]) for each in item.figures[1:]):
        return item
    unit = "count" if item.figures[0].denominator == 1 else "figure"
    return replace(item, form="number", text=wording.say(f"platforms.asked.{unit}", text=item.text))


def _pictured(question: Question, wording: Wording) -> Item:
    item = _plain(question, wording)
    if question.kind in IN_THE_DRAWING:
        item = replace(item, drawing=question.drawing, mark=question.marks[0] if question.marks else None)
    if question.form == "mark":
        numbered = tuple(replace(answer, figure=Fraction(answer.text)) for answer in question.answers)
        return replace(item, form="number", answers=numbered, text=wording.say("platforms.asked.number", text=item.text))
    return item


def _described(found: Sequence[Question], wording: Wording) -> Iterator[Item]:
    """What parts do, to be matched with their names: a few at a time, of one drawing."""
    for drawing, own in groupby((each for each in found if each.kind == "name"), lambda question: question.drawing):
        pairs = [(question.right.why, question.right.text) for question in own]
        does, names = ([pair[side] for pair in pairs] for side in (0, 1))
        clear = [pair for pair in pairs if does.count(pair[0]) == names.count(pair[1]) == 1]
        for n, some in enumerate(_shared(clear), 1):
            told = " ".join(f"{name}: {what}" for what, name in some)
            text = wording.say("platforms.asked.parts")
            yield Item(f"which.{drawing}.{n}", "which", "match", text, pairs=some, feedback=told)


def _shared(pairs: Sequence[tuple[str, str]]) -> list[tuple[tuple[str, str], ...]]:
    """In as few questions as there may be, of almost the same number of pairs."""
    count = -(-len(pairs) // MOST_PAIRS)
    found = [tuple(pairs[n * len(pairs) // count : (n + 1) * len(pairs) // count]) for n in range(count)]
    return [each for each in found if len(each) >= FEWEST_PAIRS]


def _rounding(figure: Fraction) -> Fraction:
    """What it may be off: nothing where it is a count."""
    return Fraction(0) if figure.denominator == 1 else abs(figure) * ROUNDING


def tolerance(item: Item, figure: Fraction) -> Fraction:
    """What an answer may be off from a right or wrong figure, so that it still means this figure and no other."""
    return min([_rounding(figure), *(abs(figure - other) / APART for other in item.figures if other != figure)])


def decimal(value: Fraction) -> str:
    """Seven digits at most, without an exponent: 7.5, 10.66667, 604800."""
    text = str(value.numerator) if value.denominator == 1 else format(Decimal(f"{float(value):.7g}"), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def category(stock: Stock, kind: str) -> str:
    """Where a question bank keeps it; a stroke in a name is doubled, a single one parts the steps."""
    steps = (stock.shown.going.name, _label(kind, stock.wording))
    return "/".join(("$course$", "top", *(step.replace("/", "//") for step in steps)))


def credit(stock: Stock) -> str:
    """Whose the questions are, and on what terms."""
    licence = stock.collection.licence
    facts = {"publisher": stock.collection.publisher, "licence": licence.name, "address": licence.address}
    return stock.wording.say("platforms.credit", **facts)


def counted(items: Sequence[Item]) -> str:
    """How many of which form, for the one who asked for the pack."""
    forms = [item.form for item in items]
    return f"{len(items)} questions: {', '.join(f'{forms.count(form)} {what}' for form, what in FORMS.items() if form in forms)}."
