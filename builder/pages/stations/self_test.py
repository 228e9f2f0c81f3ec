"""The self-test: every question with its answers as a list, which the page's script asks one by one."""

from __future__ import annotations

import re
from zlib import crc32

from builder.ground.wording import Wording
from builder.lessons.question import Question
from builder.pages.shown import Context, Shown

SAID = (
    "progress",
    "progress_missed",
    "right",
    "wrong",
    "right_is",
    "misplaced",
    "next",
    "finish",
    "result",
    "record",
    "not_kept",
)
"""What the script says."""

PAPER = 12
"""Questions of one paper."""


def context(shown: Shown, wording: Wording) -> Context:
    """The drawings asked about, the questions, and what numbers mean in the drawings."""
    asked = shown.asked(wording)
    drawings = list(dict.fromkeys(question.drawing for question in asked))
    return {
        "title": f"{shown.going.name}: {wording.say('pages.stations.self_test').lower()}",
        "slug": shown.going.slug,
        "drawings": [shown.plate(slug) for slug in drawings],
        "questions": [{"asked": question, "order": mixed(question)} for question in asked],
        "bound": bound,
        "keys": {slug: _key(slug, asked) for slug in drawings},
        "length": PAPER,
        "words_said": {name: wording[f"questions.page.{name}"] for name in SAID},
    }


def mixed(question: Question) -> list[str]:
    """The answers in an order that tells nothing, and is the same each time."""
    return sorted((answer.text for answer in question.answers), key=lambda text: crc32(f"{question.key} {text}".encode()))


def _key(drawing: str, asked: tuple[Question, ...]) -> list[tuple[str, str | None, str]]:
    """(number, part, what it is) of each part that can be marked in a drawing."""
    marking = [question for question in asked if question.form == "mark" and question.drawing == drawing]
    if len(marking) < 2:
        return []
    first, second = marking[0], marking[1]
    told = {answer.text: answer for answer in (*first.answers[1:], *second.answers[1:])}  # each is wrong in one of the two
    return [(number, told[number].part, told[number].why) for number in sorted(told, key=int)]


def bound(text: str) -> str:
    """The text with its figures kept on one line: 7 1/2 min is not broken."""
    return re.sub(r"(?<=\d) (?=\d+/\d)", "\u00a0", text)
