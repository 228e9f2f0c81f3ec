"""Questions for the quizzes of learning platforms: their figures, what may be off, and how they are put into other forms."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.lessons.question import Answer
from builder.packs.quiz import APART, Item, asked, category, counted, decimal, pictured, tolerance, worded
from tests.packs.platform_packs import movement

WITH_PART = re.compile(r"(?:([\d\u202f]+) )?(\d+/\d+)\b")
"""10 2/3, or 1/144."""


def read(text: str) -> Fraction:
    """'10 2/3 turns' as a person reads it."""
    if part := WITH_PART.match(text):
        return Fraction((part[1] or "0").replace("\u202f", "")) + Fraction(part[2])
    whole = re.match(r"[\d\u202f.]+", text)
    assert whole, text
    return Fraction(whole[0].replace("\u202f", ""))


def numbers() -> list[Item]:
    return [item for item in pictured(asked(movement()), movement().wording) if item.form == "number"]


def test_figures_are_those_that_stand_in_the_answers() -> None:
    """Every answer of every question that is answered by a number reads as that number, to the digits that it shows."""
    found = [(answer.text, answer.figure) for question in asked(movement()) for answer in question.answers if answer.figure]
    assert len(found) > 40
    for text, figure in found:
        assert float(read(text)) == pytest.approx(float(figure), rel=5e-4), text


def test_every_question_is_there() -> None:
    """With drawings every one of the self-test's, and the parts to be matched with what they do; in words all but those that
    mark a part or name a marked one. Each has a key of its own, and a title that sorts."""
    found, wording = asked(movement()), movement().wording
    with_drawings, in_words = pictured(found, wording), worded(found, wording)
    keys = {question.key for question in found}
    assert {item.key for item in with_drawings} >= keys and len({item.key for item in with_drawings}) == len(with_drawings)
    assert {item.key for item in in_words} & keys == {q.key for q in found if q.kind not in ("name", "mark")}
    matched = [pair for item in in_words if item.form == "match" for pair in item.pairs]
    assert matched == [(q.right.why, q.right.text) for q in found if q.kind == "name"]
    assert len({item.title for item in in_words}) == len(in_words)
    assert all(item.drawing is None for item in in_words)
    assert all(item.drawing for item in with_drawings if item.kind in ("name", "mark", "sense"))
    assert counted(in_words).startswith(f"{len(in_words)} questions: ")


def test_no_wrong_answer_passes_for_right() -> None:
    """Of every number question: what a right answer may be off reaches no wrong one, nor the other way; a count must be exact;
    three digits of a figure are let pass."""
    for item in numbers():
        spans = [(figure - tolerance(item, figure), figure + tolerance(item, figure)) for figure in item.figures]
        for n, (low, high) in enumerate(spans):
            assert all(high < a or b < low for m, (a, b) in enumerate(spans) if m != n), item.key
        low, high = spans[0]
        right = item.figures[0]
        if right.denominator == 1:
            assert low == high
        else:
            assert low <= Fraction(f"{float(right):.3g}") <= high


def test_near_figures_are_chosen_not_typed() -> None:
    """Where a wrong figure lies so near that three digits could mean it, the answers stand there to choose from."""
    for item in pictured(asked(movement()), movement().wording):
        right, *wrong = item.figures or (Fraction(0),)
        if item.form == "choice" and wrong:
            assert min(abs(right - each) for each in wrong) < APART * abs(right) / 200


@given(st.fractions(min_value=Fraction(1, 10**4), max_value=10**9, max_denominator=10**4))
def test_decimals(value: Fraction) -> None:
    """Digits and one point, never an exponent; back again it is the value, to seven digits."""
    text = decimal(value)
    assert re.fullmatch(r"\d+(\.\d*[1-9])?", text)
    assert abs(Fraction(text) - value) <= value * Fraction(1, 10**6)


def test_decimals_at_hand() -> None:
    """Worked by hand."""
    told = {Fraction(15, 2): "7.5", Fraction(32, 3): "10.66667", Fraction(0): "0", Fraction(604800): "604800"}
    assert {value: decimal(value) for value in told} == told


def test_a_stroke_in_a_name_parts_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """The steps of a category are parted by single strokes; one in a name is doubled (Moodle's documentation, categories)."""
    assert category(movement(), "turns") == "$course$/top/Hall clock/How many turns"
    monkeypatch.setitem(movement().wording["questions.kinds"], "turns", "Turns/hour")
    assert category(movement(), "turns") == "$course$/top/Hall clock/Turns//hour"


def test_tolerance_at_hand() -> None:
    """7 1/2 with a wrong 8: half a per cent is 0.0375, a third of the gap 0.1667; the smaller counts. 8 is a count."""
    item = Item("k", "turns", "number", "", (Answer("", "", figure=Fraction(15, 2)), Answer("", "", figure=Fraction(8))))
    assert tolerance(item, Fraction(15, 2)) == Fraction(3, 80) and tolerance(item, Fraction(8)) == 0
