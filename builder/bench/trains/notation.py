"""A train as it is written at the bench: driver over driven, mesh by mesh from the first arbor: 72/12, 64/x, 60/8."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from math import prod
from typing import Annotated, Any

from pydantic import BeforeValidator

from builder.bench.working.asked import Unreadable

Pairs = tuple[tuple[int | None, int | None], ...]
"""(driver, driven) of every mesh, None for a count that is missing."""

MISSING = ("x", "X", "?")
MOST = 1000
"""Teeth that anything may be said to have."""


def pairs(value: Any) -> Pairs:
    """Read from text, or taken as it is. Raises Unreadable."""
    if not isinstance(value, str):
        return tuple((one, other) for one, other in value)
    found = []
    for mesh in re.split(r"[,;\s]+", re.sub(r"\s*/\s*", "/", value.strip())):
        counts = mesh.split("/")
        if len(counts) != 2:
            raise Unreadable(f"{mesh or 'nothing'} is no mesh; write driver/driven, x for what is missing: 72/12, 64/x, 60/8")
        found.append((_count(counts[0]), _count(counts[1])))
    return tuple(found)


def _count(text: str) -> int | None:
    if text in MISSING:
        return None
    if not text.isascii() or not text.isdigit() or not 1 <= int(text) <= MOST:
        raise Unreadable(
            f"{text or 'nothing'} is no count of teeth; write a whole number from 1 to {MOST}, or x where it is missing"
        )
    return int(text)


Train = Annotated[Pairs, BeforeValidator(pairs)]
"""A train as a field of a sum."""


def counts(value: Any) -> tuple[int, ...]:
    """A list of counts: 10, 10, 12. Raises Unreadable."""
    if not isinstance(value, str):
        return tuple(value)
    found = tuple(_count(text) for text in re.split(r"[,;\s]+", value.strip()))
    if None in found:
        raise Unreadable("none of these may be missing")
    return tuple(each for each in found if each is not None)


Counts = Annotated[tuple[int, ...], BeforeValidator(counts)]
"""A list of counts as a field of a sum."""


def by_mesh(value: Any) -> dict[int, float]:
    """A measure of some meshes: 3=12.4, or several of them. Raises Unreadable."""
    if isinstance(value, dict):
        return value
    found = {}
    for text in (value,) if isinstance(value, str) else value:
        for one in text.split(","):
            number, equals, measure = one.partition("=")
            try:
                found[int(number)] = float(measure)
            except ValueError:
                equals = ""
            if not equals or not 0 < found[int(number)] <= 5000:
                raise Unreadable(f"{one or 'nothing'} is no measure of a mesh; write its number and the mm: 3=12.4")
    return found


ByMesh = Annotated[dict[int, float], BeforeValidator(by_mesh)]
"""Measures in mm by the number of the mesh, counted from 1, as a field of a sum."""


def notation(train: Pairs) -> str:
    """72/12, 64/x, 60/8."""
    return ", ".join("/".join(MISSING[0] if count is None else str(count) for count in mesh) for mesh in train)


def whole(train: Sequence[tuple[int | None, int | None]]) -> list[tuple[int, int]]:
    """The meshes of which nothing is missing."""
    return [(driver, driven) for driver, driven in train if driver is not None and driven is not None]


def ratio_of(train: Sequence[tuple[int, int]]) -> Fraction:
    """Turns of the last arbor for one of the first."""
    return Fraction(prod(driver for driver, _ in train), prod(driven for _, driven in train))
