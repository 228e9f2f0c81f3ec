"""What the letters mean that a package reports: every question with its answers, as a text for the teacher."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from string import ascii_lowercase

from builder.ground.wording import Wording
from builder.lessons.question import Question
from builder.pages.stations.self_test import mixed


def answer_key(name: str, found: Sequence[Question], wording: Wording) -> bytes:
    """In the order of the self-test's page, each under the name by which its answers are reported."""
    return "\n".join(_lines(name, found, wording)).encode("utf-8")


def _lines(name: str, found: Sequence[Question], wording: Wording) -> Iterator[str]:
    yield from (wording.say("platforms.package.key", name=name), "")
    for question in found:
        yield from (question.key, question.text)
        right = [question.right.text]
        if question.form != "mark":
            letters = dict(zip(mixed(question), ascii_lowercase, strict=False))
            yield from (f"  {letter}  {text}" for text, letter in letters.items())
            right = [letters[answer.text] for answer in (question.answers if question.form == "order" else [question.right])]
        yield from (f"  {wording.say('platforms.package.right', letters=','.join(right))}", "")
