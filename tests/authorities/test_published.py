"""What others have published, beside what the builder comes to: every value of the files here, by name.

How many were compared and how many failed is said at the end of a test run (tests/conftest.py).
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from builder.authorities import CHECKS, FOLDER, authorities, compared
from builder.authorities.entry import Entry
from builder.authorities.row import Row, rows
from builder.ground.part import Part
from builder.parts.escapement import ESCAPEMENTS
from builder.parts.oscillator import OSCILLATORS
from builder.parts.source import SOURCES
from tests.movement_texts import eight_day, read_movement

KNOWN = authorities(FOLDER)
VALUES = [(entry.id, name) for entry in KNOWN.entries for name in entry.expect]


@cache
def computed(entry: str) -> dict[str, Row]:
    return {row.name: row for row in rows([KNOWN[entry]], CHECKS)}


@pytest.mark.parametrize(("entry", "name"), VALUES, ids=lambda part: part)
def test_published_value(entry: str, name: str) -> None:
    """The builder comes to what the source gives, within the tolerance that stands beside it; of a known misprint, to what is
    right and not to what is printed."""
    row = computed(entry)[name]
    assert row.agrees, f"published {row.published}, computed {row.computed}, difference {row.difference:.6g}"


def test_there_are_enough() -> None:
    """At least 120 examples stand in their sources as they are; every check has an example; each source is cited by one."""
    assert sum(entry.printed for entry in KNOWN.entries) >= 120
    assert {entry.kind for entry in KNOWN.entries} == CHECKS.keys()
    assert {entry.source for entry in KNOWN.entries} == KNOWN.sources.keys()


def test_what_is_not_printed_says_whence() -> None:
    """A rule from memory says which rule it is; a misprint says what is wrong; a source that was read gives its place."""
    for entry in KNOWN.entries:
        if entry.source == "practice":
            assert entry.at and not entry.printed, entry.id
        if KNOWN.source(entry).memory:
            assert not entry.printed, entry.id
        if entry.misprint:
            assert entry.note and not entry.printed, entry.id


def test_published_parts_are_read_as_a_persons_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of escapements, oscillators, springs, the fusee and weights well over twenty values are computed from the tables of a
    movement file: written as one, and read as the commands do, each comes back as the very part that they were computed from."""
    made: list[tuple[type[Part], dict[str, Any]]] = []
    plain = Part.model_validate

    def noted(cls: type[Part], data: dict[str, Any]) -> Part:
        made.append((cls, data))
        return plain.__func__(cls, data)  # type: ignore[attr-defined]

    monkeypatch.setattr(Part, "model_validate", classmethod(noted))
    tables: dict[str, dict[str, Any]] = {}
    values = 0
    for entry in (entry for name in ("drives", "escapements", "oscillators") for entry in KNOWN.files[name]):
        made.clear()
        CHECKS[entry.kind](entry)
        of_a_file = [(family, data) for cls, data in made for family, kinds in FAMILIES.items() if cls in kinds.values()]
        values += len(entry.expect) if of_a_file else 0
        tables |= {f"{family}{len(tables) + n}": data for n, (family, data) in enumerate(of_a_file)}
    monkeypatch.undo()
    assert values >= 60
    for name, table in tables.items():
        family = name.rstrip("0123456789")
        data = eight_day()
        written = {**table, "arbor": data[family]["arbor"]} if "arbor" in table else table
        opened = read_movement(tmp_path, {**data, family: written}, slug=name)
        assert getattr(opened.model, family) == FAMILIES[family][table["kind"]].model_validate(written)


FAMILIES: dict[str, Any] = {"source": SOURCES, "escapement": ESCAPEMENTS, "oscillator": OSCILLATORS}


def test_all_rows_at_once() -> None:
    """The table of the site is these values, no more and no fewer."""
    _, found = compared(FOLDER)
    assert [(row.entry.id, row.name) for rows_of in found.values() for row in rows_of] == VALUES


def nudged(row: Row, by: float) -> Row:
    """The row with its published number moved so many tolerances away from what is computed."""
    away = 1 if float(row.computed) <= float(row.published) else -1
    return replace(row, published=float(row.published) + away * by * max(row.room(row.published), 1e-6))


def test_a_wrong_value_is_noticed() -> None:
    """Negative control: of every value that is a single number, one moved two tolerances away no longer agrees."""
    moved = 0
    for entry, name in VALUES:
        row = computed(entry)[name]
        if isinstance(row.published, (int, float)) and not isinstance(row.computed, list):
            moved += 1
            assert not nudged(row, 2.5).agrees, (entry, name)
    assert moved > 250


def test_a_misprint_is_one() -> None:
    """Negative control: where the source printed what is right, it is no misprint."""
    errata = [computed(entry)[name] for entry, name in VALUES if name in KNOWN[entry].misprint]
    assert len(errata) >= 8
    for row in errata:
        right = row.entry.model_copy(update={"misprint": {row.name: row.published}})
        assert not replace(row, entry=right).agrees


GOOD = """[[check]]
id = "a"
kind = "train"
source = "derham"
given = {}
expect = { beats = 1 }
tolerance = { abs = 0, why = "exact" }
"""


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (GOOD + GOOD, "stands twice"),
        (GOOD.replace("derham", "nobody"), "no source nobody"),
        (GOOD.replace("abs = 0, ", ""), "abs or rel"),
        (GOOD + "per = { turns = 2 }", "per names turns"),
        (GOOD + 'colour = "red"', "colour"),
    ],
)
def test_slips_in_the_files_are_told(tmp_path: Path, text: str, said: str) -> None:
    """An id that stands twice, a source that is not there, a tolerance that is none, an unknown key."""
    (tmp_path / "sources.toml").write_text('[derham]\nname = "Derham"\ncitation = "W. Derham"\n', "utf-8")
    (tmp_path / "some.toml").write_text(GOOD, "utf-8")
    assert [entry.id for entry in authorities(tmp_path).entries] == ["a"]
    (tmp_path / "some.toml").write_text(text, "utf-8")
    with pytest.raises(ValueError, match=said):
        authorities(tmp_path)


def test_several_computed_for_one_published() -> None:
    """Both pallets must agree with the one figure that the source gives."""
    entry = Entry.model_validate(
        {"id": "a", "kind": "x", "source": "s", "given": {}, "expect": {"lock_deg": 2}, "tolerance": {"abs": 0.1, "why": "round"}}
    )
    assert rows([entry], {"x": lambda _: {"lock_deg": [2.05, 1.95]}})[0].agrees
    assert not rows([entry], {"x": lambda _: {"lock_deg": [2.05, 1.85]}})[0].agrees
