"""One task of a worksheet: what is asked, the room to answer it in, and its answer with the working."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from hashlib import sha256
from math import ceil
from typing import ClassVar, TypeVar

from builder.drawing.sheet import Sheet
from builder.lessons.question import Question, Subject

T = TypeVar("T")

LETTERS_A_LINE = 62
"""Of a hand on a line across the page."""


@dataclass(frozen=True)
class Picture:
    """A drawing as it is given out and as it is answered."""

    given: Sheet
    answered: Sheet
    sort: ClassVar[str] = "picture"


@dataclass(frozen=True)
class Names:
    """(number, name): the number is given, the name to be written."""

    rows: tuple[tuple[int, str], ...]
    sort: ClassVar[str] = "names"


@dataclass(frozen=True)
class Cell:
    """Of a table: given, or to be filled in."""

    text: str
    given: bool = True


@dataclass(frozen=True)
class Grid:
    """A table to fill in; the first cell of a row names it."""

    heads: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    sort: ClassVar[str] = "grid"

    @property
    def blanks(self) -> int:
        """Cells to be filled in."""
        return sum(not cell.given for row in self.rows for cell in row)


@dataclass(frozen=True)
class Squares:
    """Squared paper for a sum, so many rows of it, and a line for what it comes to where that goes nowhere else."""

    rows: int
    result: bool = True
    sort: ClassVar[str] = "squares"


@dataclass(frozen=True)
class Lines:
    """Ruled lines to write on."""

    count: int
    sort: ClassVar[str] = "lines"


@dataclass(frozen=True)
class Ranks:
    """(what, its place): to be put in order by numbers from one on."""

    rows: tuple[tuple[str, int], ...]
    sort: ClassVar[str] = "ranks"


Space = Picture | Names | Grid | Squares | Lines | Ranks


@dataclass(frozen=True)
class Task:
    """A task. `working` are the lines of its answer, `answer` what they come to where that can be said by itself."""

    kind: str
    text: str
    spaces: tuple[Space, ...]
    points: int
    working: tuple[str, ...]
    answer: str = ""


@dataclass(frozen=True)
class Setter:
    """Who sets the tasks of one variant: the movement, its questions, and a choice that is the same each time."""

    subject: Subject
    asked: tuple[Question, ...]
    variant: int

    def say(self, key: str, **facts: object) -> str:
        """A text of worksheet.toml."""
        return self.subject.wording.say(f"worksheet.{key}", **facts)

    def of(self, *kinds: str) -> list[Question]:
        """The questions of some kinds."""
        return [question for question in self.asked if question.kind in kinds]

    @property
    def lost(self) -> Question | None:
        """The count of the train that is left out of this variant, to be found from the beat; None where that tells none."""
        counts = [question for question in self.of("missing") if question.key.startswith(("missing.wheel.", "missing.pinion."))]
        pack = self.dealt(counts, "lost", lambda question: question.key)
        return pack[0] if pack else None

    def one(self, *kinds: str, but: Iterable[Question] = ()) -> list[Question]:
        """A question that nothing on the sheet answers: neither the count-up and what is given in it, nor its own text, nor those
        that are asked already (`but`), which it does not answer either. None where there is none."""
        path = self.subject.going.train.path
        told = {f"turns.{what}.{arbor}" for what in ("hour", "time") for arbor in path} | {"missing.great"}
        free = [
            question
            for question in self.of(*kinds)
            if question.key not in told
            and not question.key.startswith(("missing.wheel.", "missing.pinion."))
            and question.right.text not in question.text
        ]
        gone, but = set(self.lost.shows if self.lost else ()), list(but)
        pack = self.dealt(free, " ".join(kinds), lambda question: question.key)
        return [
            question
            for question in pack
            if not gone & set(question.shows)
            and not any(question.right.text in other.text or other.right.text in question.text for other in but)
            and question not in but
        ][:1]

    def dealt(self, items: Iterable[T], salt: str, key: Callable[[T], object]) -> list[T]:
        """All of them in an order that tells nothing; the next variant begins one further on."""
        pack = _shuffled(items, salt, key)
        start = (self.variant - 1) % len(pack) if pack else 0
        return pack[start:] + pack[:start]

    def mixed(self, items: Iterable[T], salt: str, key: Callable[[T], object]) -> list[T]:
        """All of them in an order of this variant's own, never their own."""
        own = list(items)
        tried = (_shuffled(own, f"{salt} {self.variant} {n}", key) for n in range(len(own) + 1))
        return next((order for order in tried if order != own), own)


def _shuffled(items: Iterable[T], salt: str, key: Callable[[T], object]) -> list[T]:
    return sorted(items, key=lambda item: sha256(f"{salt} {key(item)}".encode()).digest())


def steps(text: str) -> tuple[str, ...]:
    """A reasoning line by line: a sentence a line, a sum that a sentence leads to on its own, and in a chain of equations each
    further sign of equality on a line of its own."""
    made: list[str] = []
    for sentence in re.split(r"(?<=[.;?]) (?=[A-Z0-9−])", text.strip()):
        lead, colon, told = sentence.partition(": ")
        if colon and " = " in told:
            made.append(f"{lead}:")
            sentence = told
        first, *rest = sentence.split(" = ")
        made += [" = ".join([first, *rest[:1]]), *(f"= {each}" for each in rest[1:])]
    return tuple(map(capital, made))


def to_write(text: str, least: int = 2) -> Lines:
    """Lines on which a hand can write about as much as this text says."""
    return Lines(max(least, ceil(len(text) / LETTERS_A_LINE) + 1))


def capital(text: str) -> str:
    """With a capital."""
    return text[:1].upper() + text[1:]
