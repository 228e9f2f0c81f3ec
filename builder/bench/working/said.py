"""A working in words: what command, JSON and pages show, made in one place from the wording."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from builder.bench.working.lines import Line, Of, Table, Working
from builder.bench.working.units import Value, given_text, put_text, result_text, unit_of, with_unit
from builder.ground.wording import Wording

BY_ARBOR = ("driver", "driven")
"""Columns 'driver.3' are of arbor 3; all others with a number are of a mesh."""
LONE = re.compile(r"(?<![\w√∛])\((\d+)\)")
"""Brackets round one count."""
NAMED = re.compile(r"\{(\w+)\}([²³⁴⁶]?)")


@dataclass(frozen=True)
class Given:
    """One thing that was given."""

    name: str
    label: str
    text: str


@dataclass(frozen=True)
class Said:
    """One line: what, by which formula, with which numbers, and what it comes to."""

    name: str
    label: str
    formula: str
    """In words; empty where the line is only read off."""
    put_in: str
    """The same with the numbers; empty where no number goes in."""
    text: str
    """The result with its unit."""
    source: str
    solved: bool


@dataclass(frozen=True)
class Listed:
    """A table: heads of its columns, and its rows as texts."""

    name: str
    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    solved: bool


@dataclass(frozen=True)
class Written:
    """A whole working in words."""

    title: str
    given: tuple[Given, ...]
    lines: tuple[Said, ...]
    tables: tuple[Listed, ...]
    notes: tuple[str, ...]


def written(working: Working, wording: Wording) -> Written:
    """Every word of a working. Raises KeyError where the wording lacks one."""
    start = f"sums.{working.sum}"
    known: dict[str, Value] = dict(working.given)
    lines = []
    used = set(working.told)
    for line in working.lines:
        template = _template(line, start, wording)
        used |= {found[1] for found in NAMED.finditer(template)}
        lines.append(_said(line, template, start, known | dict(line.put), set(working.given), wording))
        known[line.name] = line.value
    neglected = _optional(f"{start}.neglects", wording)
    notes = [wording.say(f"{start}.notes.{note.key}", **note.facts) for note in working.notes]
    return Written(
        wording[f"{start}.title"],
        tuple(
            Given(name, name_of(name, wording), with_unit(given_text(name, v), name))
            for name, v in working.given.items()
            if name in used
        ),
        tuple(lines),
        tuple(_listed(table, start, wording) for table in working.tables),
        (*notes, *([neglected] if neglected else [])),
    )


def name_of(name: str, wording: Wording) -> str:
    """What a quantity is called."""
    return str(wording[f"sums.names.{name}"])


def which(of: Of, wording: Wording) -> str:
    """Arbor 3, mesh 2, wound."""
    return wording.say(f"sums.of.{of[0]}", which=_optional(f"sums.words.{of[1]}", wording) or of[1])


def in_words(template: str, wording: Wording) -> str:
    """A formula with the names of its quantities; a name of several words goes into brackets before it is raised to a power."""

    def named(found: re.Match[str]) -> str:
        text = name_of(found[1], wording)
        return f"({text}){found[2]}" if found[2] and " " in text else text + found[2]

    return NAMED.sub(named, template)


def with_numbers(template: str, known: Mapping[str, Value], given: set[str]) -> str:
    """A formula with the figures of its quantities."""

    def number(found: re.Match[str]) -> str:
        text = put_text(found[1], known[found[1]], found[1] in given)
        return f"({text}){found[2]}" if found[2] and not text.startswith("(") and " " in text else text + found[2]

    return LONE.sub(r"\1", NAMED.sub(number, template))


def _key(line: Line, start: str, wording: Wording) -> str:
    """Where the wording has the line: under the sum, or with those that several sums share."""
    own = f"{start}.lines.{line.by}"
    return own if own in wording else f"sums.shared.lines.{line.by}"


def _template(line: Line, start: str, wording: Wording) -> str:
    return str(wording[f"{_key(line, start, wording)}.formula"])


def _said(line: Line, template: str, start: str, known: Mapping[str, Value], given: set[str], wording: Wording) -> Said:
    label = name_of(line.name, wording)
    return Said(
        line.name,
        f"{label}, {which(line.of, wording)}" if line.of else label,
        in_words(template, wording),
        with_numbers(template, known, given) if NAMED.search(template) else "",
        with_unit(result_text(line.name, line.value), line.name),
        _optional(f"{_key(line, start, wording)}.source", wording),
        line.solved,
    )


def _optional(key: str, wording: Wording) -> str:
    return str(wording[key]) if key in wording else ""


def _listed(table: Table, start: str, wording: Wording) -> Listed:
    columns = list(dict.fromkeys(name for row in table.rows for name in row))
    heads = []
    for name in columns:
        base, _, number = name.partition(".")
        head, sign = name_of(base, wording), unit_of(base).sign
        if number:
            head = f"{head}, {which(('arbor' if base in BY_ARBOR else 'mesh', number), wording)}"
        heads.append(f"{head} ({sign})" if sign else head)
    rows = tuple(tuple(_cell(name, row.get(name), wording) for name in columns) for row in table.rows)
    return Listed(table.name, str(wording[f"{start}.tables.{table.name}"]), tuple(heads), rows, table.solved)


def _cell(name: str, value: Value | None, wording: Wording) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        value = "yes" if value else "no"
    if isinstance(value, str):
        return _optional(f"sums.words.{value}", wording) or value
    return result_text(name.partition(".")[0], value)


def as_json(working: Working, wording: Wording) -> dict[str, Any]:
    """The working for other programs: lasting names, values exact where they are rational, and the same words."""
    said = written(working, wording)
    return {
        "sum": working.sum.replace("_", "-"),
        "title": said.title,
        "given": {
            name: _json_value(value, name) | {"text": with_unit(given_text(name, value), name)}
            for name, value in working.given.items()
        },
        "working": [
            {
                "name": line.name,
                "of": line.of and line.of[1],
                "label": words.label,
                "formula": words.formula,
                "put_in": words.put_in,
            }
            | _json_value(line.value, line.name)
            | {"text": words.text, "source": words.source}
            for line, words in zip(working.lines, said.lines, strict=True)
        ],
        "tables": {
            table.name: [{name: None if v is None else _plain(v) for name, v in row.items()} for row in table.rows]
            for table in working.tables
        },
        "notes": list(said.notes),
    }


def _json_value(value: Value, name: str) -> dict[str, Any]:
    entry: dict[str, Any] = {"value": _plain(value), "unit": unit_of(name).sign}
    if isinstance(value, Fraction):
        entry["exact"] = str(value)
    return entry


def _plain(value: Value) -> Any:
    if isinstance(value, Fraction):
        return value.numerator if value.denominator == 1 else float(value)
    return list(value) if isinstance(value, tuple) else value
