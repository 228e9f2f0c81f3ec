"""A published value beside what the builder comes to."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from builder.authorities.entry import Entry

Check = Callable[[Entry], Mapping[str, Any]]
"""Computes an entry's values from what is given there: a number, several (one for each number that the source gives, or all
of them for a single one: both pallets, say), or a row of candidates."""

LAST_DIGIT = 1e-9
"""What a whole number that was computed in floating point may be off, as a part of it."""


@dataclass(frozen=True)
class Row:
    """One value of an entry."""

    entry: Entry
    name: str
    published: Any
    """As its source has it: a number, a list of numbers, or cells of a row."""
    computed: Any
    """The same, in the source's unit."""

    @property
    def pairs(self) -> list[tuple[Any, Any]]:
        """Published and computed numbers side by side; a single published number stands beside every computed one."""
        if isinstance(self.published, list):
            return list(zip(self.published, self.computed, strict=True))
        return [(self.published, each) for each in (self.computed if isinstance(self.computed, list) else [self.computed])]

    @property
    def figures(self) -> int:
        """How many numbers of the source are compared."""
        return len(self.published) if isinstance(self.published, list) else 1

    @property
    def difference(self) -> float:
        """The largest, computed less published; 0 for a row of candidates, which is there or not."""
        if isinstance(self.published, dict):
            return 0.0
        return max((float(_number(b) - _number(a)) for a, b in self.pairs), key=abs)

    @property
    def erratum(self) -> bool:
        """The source prints something else, known to be wrong."""
        return self.name in self.entry.misprint

    @property
    def agrees(self) -> bool:
        """Every number lies within the tolerance; of an erratum, and what is printed does not."""
        if isinstance(self.published, dict):
            return self.computed == self.published
        near = all(self._near(a, b) for a, b in self.pairs)
        return near and not (self.erratum and any(self._near(self.entry.misprint[self.name], b) for _, b in self.pairs))

    def room(self, published: Any) -> float:
        """What the tolerance comes to for a number."""
        if self.name in self.entry.within:
            return self.entry.within[self.name]
        return self.entry.tolerance.room(float(_number(published)))

    def _near(self, published: Any, computed: Any) -> bool:
        room, value = self.room(published), _number(published)
        if isinstance(computed, (Fraction, int)):
            return abs(computed - value) <= Fraction(str(room))
        return abs(float(computed) - float(value)) <= room + LAST_DIGIT * max(1.0, abs(float(value)))


def _number(value: Any) -> Fraction:
    """Exactly as it is typed."""
    return value if isinstance(value, Fraction) else Fraction(str(value))


def rows(entries: Iterable[Entry], checks: Mapping[str, Check]) -> list[Row]:
    """Every value of every entry, computed. Raises KeyError where an entry's check is not known or does not give a value."""
    found = []
    for entry in entries:
        values = checks[entry.kind](entry)
        for name, published in entry.expect.items():
            found.append(Row(entry, name, published, _in_its_unit(values[name], entry.per.get(name))))
    return found


def _in_its_unit(value: Any, per: float | None) -> Any:
    if per is None:
        return value
    if isinstance(value, (list, tuple)):
        return [_in_its_unit(each, per) for each in value]
    return Fraction(value) / Fraction(str(per)) if isinstance(value, (Fraction, int)) else value / per
