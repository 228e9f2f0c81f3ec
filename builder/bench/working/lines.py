"""A working: everything that was given, every line that follows from it, and what was found, as data.

A line has a name, a value and the numbers that hold for it alone; its formula is one template of the wording, filled once with
the names of the quantities (the formula in words) and once with their figures (the numbers put in). Command, JSON and pages
show the same lines.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Protocol, TypeVar

from builder.bench.working.units import Value
from builder.ground.part import Part

V = TypeVar("V", bound=Value)

Put = Mapping[str, Value]
Of = tuple[str, str]
"""(what, which): ("arbor", "3")."""


@dataclass(frozen=True)
class Line:
    """One line of the working."""

    name: str
    """What it gives: names its label in the wording, and ends in its unit."""
    value: Value
    by: str
    """Names its formula in the wording."""
    of: Of | None = None
    """Which arbor, mesh or state, where a working has several of the name."""
    put: Mapping[str, Value] = field(default_factory=dict)
    """Values that hold for this line alone."""
    solved: bool = False
    """Not a closed formula: it takes a solver, so that the calculator page leaves it to the command."""


@dataclass(frozen=True)
class Table:
    """Rows that were found: candidates, trains, states. A cell of None is not known."""

    name: str
    rows: tuple[Mapping[str, Value | None], ...]
    solved: bool = False


@dataclass(frozen=True)
class Note:
    """A sentence of the wording with the figures that it names."""

    key: str
    facts: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Working:
    """One sum, worked."""

    sum: str
    given: Mapping[str, Value]
    """Every field that has a value, its usual one included."""
    told: frozenset[str]
    """Those that were asked in so many words."""
    lines: tuple[Line, ...]
    tables: tuple[Table, ...] = ()
    notes: tuple[Note, ...] = ()

    def __getitem__(self, name: str) -> Value:
        """What the last line of that name came to. Raises KeyError where there is none."""
        for line in reversed(self.lines):
            if line.name == name:
                return line.value
        raise KeyError(name)

    def __contains__(self, name: str) -> bool:
        return any(line.name == name for line in self.lines)

    def table(self, name: str) -> tuple[Mapping[str, Value | None], ...]:
        """The rows of a table. Raises StopIteration where there is none."""
        return next(table.rows for table in self.tables if table.name == name)


class Sum(Protocol):
    """A question that can be worked by itself: a Part whose fields are what is asked."""

    def working(self) -> Working:
        """The sum, worked. Raises Refused with what cannot be, keys being fields."""
        ...


class Steps:
    """A working while it is being written."""

    def __init__(self, name: str, asked: Part, also: Mapping[str, Value] | None = None) -> None:
        """`also` is what was given beside single numbers and words, as it is to be shown."""
        self._name = name
        plain = {key: value for key, value in asked if isinstance(value, (Fraction, int, float, str))}
        self._given: dict[str, Value] = {**plain, **(also or {})}
        self._told = frozenset(asked.model_fields_set) | frozenset(also or {})
        self._lines: list[Line] = []
        self._tables: list[Table] = []
        self._notes: list[Note] = []

    def line(
        self, name: str, value: V, by: str = "", of: Of | None = None, solved: bool = False, put: Put | None = None, **more: Value
    ) -> V:
        """Write a line down and hand its value back; `put` and `more` hold for this line alone."""
        self._lines.append(Line(name, value, by or name, of, {**(put or {}), **more}, solved))
        return value

    def table(self, name: str, rows: list[dict[str, Value | None]], solved: bool = False) -> None:
        """Write down what was found."""
        self._tables.append(Table(name, tuple(rows), solved))

    def note(self, key: str, **facts: str) -> None:
        """Write down what is worth knowing."""
        self._notes.append(Note(key, facts))

    def done(self) -> Working:
        """The working as it stands."""
        return Working(self._name, self._given, self._told, tuple(self._lines), tuple(self._tables), tuple(self._notes))
