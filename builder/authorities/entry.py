"""Published values as their files tell them: what was asked, what it must come to, how near, and who says so.

A folder of authorities holds `sources.toml`, a table a source, and any number of other .toml files of `[[check]]` tables.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Annotated, Any

from pydantic import Field, model_validator

from builder.ground.part import Part

SOURCES = "sources.toml"

Text = Annotated[str, Field(min_length=1)]


class Source(Part):
    """Where values come from."""

    name: Text
    """As it is named in a table: the author, or the work."""
    citation: Text
    """In full."""
    memory: bool = False
    """Not read while the values were written down: from memory of common practice."""


class Tolerance(Part):
    """How far a computed value may be from the published one, and why."""

    abs: Annotated[float, Field(ge=0, strict=False)] | None = None
    """In the value's own unit; 0: exactly."""
    rel: Annotated[float, Field(gt=0, strict=False)] | None = None
    """As a part of the published value."""
    why: Text

    @model_validator(mode="after")
    def _one(self) -> Tolerance:
        if (self.abs is None) == (self.rel is None):
            raise ValueError("a tolerance is abs or rel")
        return self

    def room(self, published: float) -> float:
        """In the value's own unit."""
        return self.abs if self.abs is not None else (self.rel or 0.0) * abs(published)


class Entry(Part):
    """One published example."""

    id: Text
    kind: Text
    """By which of the checks it is computed."""
    source: Text
    at: str = ""
    """Page, chapter or figure; for a rule from memory, what the rule is."""
    printed: bool = True
    """The values stand in the source. Otherwise its inputs or its rule do, and the values were worked out apart from this
    program."""
    given: dict[str, Any]
    """The inputs, units in their names."""
    expect: Annotated[dict[str, Any], Field(min_length=1)]
    """What it must come to: a number, a list of numbers, or what must stand in a row of candidates."""
    per: dict[str, float] = Field(default_factory=dict)
    """The source's unit in ours, where they differ: a computed value is divided by it."""
    tolerance: Tolerance
    within: dict[str, float] = Field(default_factory=dict)
    """Absolute tolerances of single values, where one for all does not do."""
    misprint: dict[str, Any] = Field(default_factory=dict)
    """What the source prints instead, where it is known to be wrong; `expect` then holds what it ought to be."""
    note: str = ""

    @model_validator(mode="after")
    def _known(self) -> Entry:
        for name, table in (("per", self.per), ("within", self.within), ("misprint", self.misprint)):
            if unknown := table.keys() - self.expect.keys():
                raise ValueError(f"{self.id}: {name} names {', '.join(sorted(unknown))}, which is not expected")
        return self


@dataclass(frozen=True)
class Authorities:
    """All entries by the names of their files, and the sources that they name."""

    files: Mapping[str, tuple[Entry, ...]]
    sources: Mapping[str, Source]

    @cached_property
    def entries(self) -> tuple[Entry, ...]:
        """In the order of their files."""
        return tuple(entry for entries in self.files.values() for entry in entries)

    def __getitem__(self, name: str) -> Entry:
        """The entry of that id. Raises StopIteration where there is none."""
        return next(entry for entry in self.entries if entry.id == name)

    def source(self, entry: Entry) -> Source:
        """Who says so."""
        return self.sources[entry.source]


def authorities(folder: Path) -> Authorities:
    """Every entry of the folder. Raises ValueError for an id that stands twice or a source that is not there, OSError,
    tomllib.TOMLDecodeError and pydantic.ValidationError: these files are the project's own."""
    sources = {name: Source.model_validate(table) for name, table in _toml(folder / SOURCES).items()}
    files = {
        path.stem: tuple(Entry.model_validate(table) for table in _toml(path)["check"])
        for path in sorted(folder.glob("*.toml"))
        if path.name != SOURCES
    }
    found = Authorities(files, sources)
    seen: set[str] = set()
    for entry in found.entries:
        if entry.id in seen:
            raise ValueError(f"{entry.id} stands twice")
        if entry.source not in sources:
            raise ValueError(f"{entry.id}: no source {entry.source}")
        seen.add(entry.id)
    return found


def _toml(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text("utf-8"))
