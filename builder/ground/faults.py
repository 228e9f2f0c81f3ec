"""What is wrong with a model, said so that the person who typed it can put it right.

A rule on any floor makes a `Complaint`: it knows the key and the figures but not the file. Reading turns complaints
into `Fault`s by adding file, line and column. All faults of a file are collected before any is raised.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TypeVar

from builder.ground import words

T = TypeVar("T")

Key = tuple[str | int, ...]
"""A path into the model file, as pydantic's `loc`: ("arbors", 2, "wheel", "teeth")."""


def key_text(key: Key) -> str:
    """The path as a person writes it: arbors[2].wheel.teeth (counted from 0, as in the file's tables)."""
    text = ""
    for step in key:
        text += f"[{step}]" if isinstance(step, int) else f".{step}" if text else step
    return text


@dataclass(frozen=True)
class Complaint:
    """One thing that cannot be: where (key), what stands there (value), what may stand there, what to do."""

    key: Key
    value: str
    allowed: str
    advice: str

    def __str__(self) -> str:
        return f"{key_text(self.key)} = {self.value}: {self.allowed}. {self.advice}"


@dataclass(frozen=True)
class Finding:
    """A thing worth knowing that does not stop the build: 'the train asks 17 952 beats an hour, the file says 18 000'."""

    key: Key
    text: str


def sentences(findings: Iterable[Finding]) -> list[str]:
    """What findings say, each once however many places it is found at, as whole sentences."""
    texts = dict.fromkeys(words.united(finding.text) for finding in findings)
    return [f"{words.capital(text)}{'' if text.endswith('.') else '.'}" for text in texts]


@dataclass(frozen=True, order=True)
class Fault:
    """A complaint with its place; sorts by file, then line, then column."""

    file: str
    line: int
    column: int
    key: str
    value: str
    allowed: str
    advice: str

    def __str__(self) -> str:
        where = f"{self.file}:{self.line}:{self.column}"
        stands = f"{self.key} = {self.value}" if self.key else self.value
        return f"{where}: {stands}: {self.allowed}. {self.advice}"


class PlainlySaid(Exception):  # noqa: N818  # words for a person, not an error of the program
    """Why something was not done, in plain words: the commands print it and end with 1."""


class Refused(ValueError):  # noqa: N818  # it is the movement that is refused
    """A model that cannot be: carries every complaint found, not the first."""

    def __init__(self, complaints: list[Complaint]) -> None:
        self.complaints = tuple(complaints)
        super().__init__("\n".join(str(c) for c in complaints))


class FaultsFound(Exception):  # noqa: N818  # a list to read, not a slip of the program
    """All faults of all files, sorted by place: what the commands print, one a line, before they exit 1."""

    def __init__(self, faults: list[Fault]) -> None:
        self.faults = tuple(sorted(faults))
        super().__init__("\n".join(str(f) for f in self.faults))


class Gathered:
    """Several readings whose faults are told together: all of them, when the `with` block is left."""

    def __init__(self, faults: Iterable[Fault] = ()) -> None:
        self.faults = list(faults)

    def __enter__(self) -> Gathered:
        return self

    def __exit__(self, kind: type[BaseException] | None, *_: object) -> None:
        if kind is None and self.faults:
            raise FaultsFound(self.faults)

    def of(self, reading: Callable[[], T]) -> T | None:
        """What is read; None with its faults added to the others."""
        try:
            return reading()
        except FaultsFound as found:
            self.faults += found.faults
            return None
