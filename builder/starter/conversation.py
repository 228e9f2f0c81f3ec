"""Questions put one at a time: each answer is judged at once, and one can go back or stop at any of them.

The script of an interview is straight-line code that asks through `Talk.ask`. Going back runs the script again from its
first line with the answers that stand, so no script ever deals with it.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from builder.ground.faults import PlainlySaid

T = TypeVar("T")

Hear = Callable[[], str | None]
"""One typed line, None where there are no more."""
Say = Callable[[str], None]
"""A line for the person."""

HELP = (
    "Answer with a word or a number and Enter. Where it says so, Enter alone means: not known.\n"
    "back goes to the question before, back 7 to question 7; the other answers are kept. stop ends; nothing is written.\n"
    "help says this again, and how to count or measure what is asked."
)


class Stopped(PlainlySaid):
    """The person ended the conversation; nothing has been written."""


class Unfit(Exception):  # noqa: N818  # an answer, not an error of the program
    """An answer that will not do; the text says in plain words what would."""


class _Back(Exception):  # noqa: N818
    def __init__(self, number: int) -> None:
        self.number = number


@dataclass(frozen=True)
class Question(Generic[T]):
    """One question. `read` turns what was typed into the answer or raises Unfit."""

    id: str
    text: str
    read: Callable[[str], T]
    how: str = ""
    """How to count or measure it."""
    allowed: str = ""
    """What may be answered."""


@dataclass
class Talk:
    """A conversation with one person at the bench."""

    hear: Hear
    say: Say
    typed: dict[str, str] = field(default_factory=dict)
    """What was typed, by question."""
    asked: list[str] = field(default_factory=list)
    """Questions in the order of this run of the script."""
    remarks: list[str] = field(default_factory=list)

    def remark(self, text: str) -> None:
        """Something to say before the next question that is really put."""
        self.remarks.append(text)

    def ask(self, question: Question[T]) -> T:
        """The answer: the one that stands, or a new one. Raises Stopped."""
        self.asked.append(question.id)
        if question.id in self.typed:
            try:
                answer = question.read(self.typed[question.id])
            except Unfit:
                del self.typed[question.id]  # it no longer fits what was answered before it
            else:
                self.remarks.clear()
                return answer
        self._put(question)
        while True:
            line = self.hear()
            if line is None:
                raise Stopped("The answers ended before the questions did; nothing was written.")
            line = line.strip()
            if line.lower() == "stop":
                raise Stopped("Stopped; nothing was written.")
            if line.lower().split()[:1] == ["back"]:
                raise _Back(self._number(line))
            if line.lower() in ("help", "?"):
                self.say(HELP)
                self._put(question)
                continue
            try:
                answer = question.read(line)
            except Unfit as why:
                self.say(f"   {why}")
                continue
            self.typed[question.id] = line
            return answer

    def _put(self, question: Question[Any]) -> None:
        for remark in self.remarks:
            self.say(f"\n{remark}")
        self.remarks.clear()
        self.say(f"\n{len(self.asked)}. {question.text}")
        for text in filter(None, (question.how, question.allowed)):
            self.say(textwrap.indent(textwrap.fill(text, 96), "   "))

    def _number(self, line: str) -> int:
        """Which question 'back' or 'back 7' means, within those asked."""
        wanted = line.split()[1:]
        number = int(wanted[0]) if wanted and wanted[0].isdecimal() else len(self.asked) - 1
        return min(max(number, 1), len(self.asked))


def held(talk: Talk, script: Callable[[Talk], T]) -> T:
    """Run the script to its end, again from its beginning whenever the person goes back. Raises Stopped."""
    talk.say(HELP)
    while True:
        talk.asked.clear()
        talk.remarks.clear()
        try:
            return script(talk)
        except _Back as back:
            talk.typed.pop(talk.asked[back.number - 1], None)
