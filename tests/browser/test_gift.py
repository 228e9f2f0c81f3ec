"""The questions as GIFT text, read by a parser that is not ours, made from a grammar of the format (tests/vendor)."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Error, Page

from builder.packs.gift import escaped
from builder.packs.quiz import asked, category, worded
from tests.packs.platform_packs import VENDOR, made, movement

PARSER = VENDOR / "gift-pegjs-1.0.2" / "gift-parser-globals.js"
NASTY = [
    "a = b",
    "~ about",
    "#1",
    "{x}",
    ":: twice ::",
    "back \\ slash",
    "\\= both",
    "100 % of {=~#:}",
    "→ far",
    "1\u202f000 × 2/3",
]
"""Every sign that means something in the format (Moodle's documentation, 'GIFT format'), and some that do not."""


@pytest.fixture(scope="module")
def parser(browser: Browser) -> Iterator[Page]:
    page = browser.new_page()
    page.add_script_tag(path=PARSER)
    yield page
    page.close()


def parsed(page: Page, text: str) -> list[dict[str, Any]]:
    """Raises Error where the parser does not understand."""
    return page.evaluate("text => giftParser.parse(text)", text)


@pytest.fixture(scope="module")
def quiz(parser: Page) -> list[dict[str, Any]]:
    return parsed(parser, made("gift").data.decode("utf-8"))


def texts(question: dict[str, Any]) -> list[str]:
    return [choice["text"]["text"] for choice in question["choices"]]


def reasons(question: dict[str, Any]) -> list[str]:
    return [choice["feedback"]["text"] for choice in question["choices"]]


def read(text: str) -> str:
    """As the parser gives text back: spaces of every kind together are one."""
    return " ".join(text.split(" "))


def test_every_question_is_understood_as_it_was_meant(quiz: list[dict[str, Any]]) -> None:
    """Kind, title, text, answers, which is right, the reason at each, what may be off, the reasoning for all; its lasting id."""
    items = worded(asked(movement()), movement().wording)
    questions = [each for each in quiz if each["type"] != "Category"]
    assert [each["title"] for each in questions] == [item.title for item in items]
    kinds = {"choice": "MC", "number": "Numerical", "match": "Matching", "order": "Matching"}
    for question, item in zip(questions, items, strict=True):
        assert question["type"] == kinds[item.form] and question["id"] == f"hall_clock.{item.key}"
        assert question["stem"]["format"] == "plain" and question["stem"]["text"].startswith(read(item.text))
        assert question["globalFeedback"]["text"] == read(item.feedback)
        if item.form == "choice":
            assert texts(question) == [answer.text for answer in item.answers]
            assert [choice["isCorrect"] for choice in question["choices"]] == [n == 0 for n in range(len(item.answers))]
        if item.form == "number":
            given = [choice["text"] for choice in question["choices"]]
            assert [each["number"] for each in given] == pytest.approx([float(each) for each in item.figures], rel=1e-6)
            assert [choice["weight"] for choice in question["choices"]] == [100, *[0] * (len(given) - 1)]
            assert given[0]["range"] <= given[0]["number"] / 200 + 1e-9
        if item.form in ("choice", "number"):
            assert reasons(question)[1:] == [read(answer.why) for answer in item.answers[1:]]
        pairs = [(pair["subquestion"]["text"], pair["subanswer"]) for pair in question.get("matchPairs", [])]
        steps = [(step.text, str(n)) for n, step in enumerate(item.answers, 1)] if item.form == "order" else []
        assert pairs == [*item.pairs, *steps]


def test_categories(quiz: list[dict[str, Any]]) -> None:
    """Each kind's questions come under its own."""
    kinds = list(dict.fromkeys(item.kind for item in worded(asked(movement()), movement().wording)))
    assert [each["title"] for each in quiz if each["type"] == "Category"] == [category(movement(), kind) for kind in kinds]


@pytest.mark.parametrize("text", NASTY)
def test_signs_that_mean_something_come_through(parser: Page, text: str) -> None:
    """In text, answer and reason alike."""
    signs = escaped(text)
    (question,) = parsed(parser, f"::{signs}::[plain]Q {signs} ? {{\n={signs}#{signs}\n~other#{signs}\n####{signs}\n}}\n")
    assert question["title"] == text and question["stem"]["text"] == f"Q {text} ?"
    assert texts(question) == [text, "other"] and reasons(question) == [text, text]
    assert question["globalFeedback"]["text"] == text


@pytest.mark.parametrize("text", ["a = b", "{x}", "50 ~ 60", "a } b", "x # y"])
def test_the_control_of_the_parser(parser: Page, text: str) -> None:
    """Negative control: the same signs without their stroke are not understood, or not as they were meant."""
    try:
        questions = parsed(parser, f"::T::[plain]Q? {{\n={text}#why\n~other#why\n}}\n")
    except Error as error:
        assert "SyntaxError" in str(error)
    else:
        assert texts(questions[0]) != [text, "other"] or reasons(questions[0]) != ["why", "why"]


def test_a_broken_stroke_is_found(parser: Page) -> None:
    """Negative control: our own text with one stroke taken away is refused."""
    good = made("gift").data.decode("utf-8")
    assert good.count("\\:") > 10
    with pytest.raises(Error, match="SyntaxError"):
        parsed(parser, good.replace("\\:", ":", 1))


def test_same_bytes_and_what_is_left_out_is_said() -> None:
    """Made twice it is the same; how many questions could not be asked in words is told."""
    one = made("gift")
    assert one == made("gift")
    marking = sum(question.form == "mark" for question in asked(movement()))
    assert f" {marking} that ask for a part in the drawing are left out" in one.said
    assert not any(line.startswith((" ", "\t")) for line in one.data.decode("utf-8").splitlines())
