"""Places are checked against the text itself (what stands at a place must be the key) and tomllib (no key is missed)."""

import time
import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.ground.faults import Key
from builder.movement.places import Places

BENCH = '''# a comment
title = "ü" # another
"quoted key".'and single' = 1
"é" = { x = 1, y.z = [1, 2, { q = 3 }] }
a."b.c".d = 0.5

[plates]
  width_mm = 90.0
[plates.pillars]
text = """
many = 1
lines"""
[[arbors]]
id = "great"
wheel = { teeth = 96,	module_mm = 0.5 }
[[arbors]]
  at_mm = [ # the centre
    1.0, # x
    -2.5,
  ]
[arbors.more.drive]
teeth = 40
[[arbors.jewels]]
hole_mm = 0.1
[[arbors.jewels]]
hole_mm = 0.2
[[arbors]]
[arbors.wheel]
teeth = 64
'''


def every_key(value: Any, key: Key = ()) -> Iterator[Key]:
    yield key
    steps = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, below in steps:
        yield from every_key(below, (*key, step))


@pytest.mark.parametrize(
    ("key", "line", "column"),
    [
        ((), 1, 1),
        (("title",), 2, 1),
        (("quoted key",), 3, 1),
        (("quoted key", "and single"), 3, 14),
        (("é",), 4, 1),
        (("é", "x"), 4, 9),
        (("é", "y"), 4, 16),
        (("é", "y", "z"), 4, 18),
        (("é", "y", "z", 1), 4, 26),
        (("é", "y", "z", 2), 4, 29),
        (("é", "y", "z", 2, "q"), 4, 31),
        (("a", "b.c", "d"), 5, 9),
        (("plates",), 7, 2),
        (("plates", "width_mm"), 8, 3),
        (("plates", "pillars"), 9, 9),
        (("plates", "pillars", "text"), 10, 1),
        (("arbors",), 13, 3),
        (("arbors", 0), 13, 1),
        (("arbors", 0, "wheel", "module_mm"), 15, 23),
        (("arbors", 1), 16, 1),
        (("arbors", 1, "at_mm", 0), 18, 5),
        (("arbors", 1, "at_mm", 1), 19, 5),
        (("arbors", 1, "more", "drive", "teeth"), 22, 1),
        (("arbors", 1, "jewels", 1, "hole_mm"), 26, 1),
        (("arbors", 2, "wheel"), 28, 9),
        (("arbors", 2, "wheel", "teeth"), 29, 1),
    ],
)
def test_each_way_to_write_a_key(key: Key, line: int, column: int) -> None:
    """Tables, arrays of tables, dotted, quoted and foreign keys, inline tables, lists over lines: counted by hand."""
    place = Places(BENCH).at(key)
    assert place is not None
    assert (place.line, place.column) == (line, column)


def test_no_key_is_missed() -> None:
    """Every key that tomllib finds has a place."""
    places = Places(BENCH)
    assert [key for key in every_key(tomllib.loads(BENCH)) if places.at(key) is None] == []


def test_value_as_written() -> None:
    """The value is what the person typed, not what it means."""
    places = Places('a = 0x1F\nb = 1_000\nc = { d = "x" }\n[e]\n')
    assert [places.nearest((key,)).written for key in "abce"] == ["0x1F", "1_000", '{ d = "x" }', ""]


def test_absent_key_is_looked_for_in_its_table() -> None:
    """A key that is missing is placed at the nearest table that would hold it."""
    places = Places(BENCH)
    assert places.at(("arbors", 2, "wheel", "leaves")) is None
    assert places.nearest(("arbors", 2, "wheel", "leaves")) == places.at(("arbors", 2, "wheel"))
    assert places.nearest(("arbors", 7, "id")) == places.at(("arbors",))
    assert places.nearest(("dial",)).line == 1


def test_repeats_name_both_places() -> None:
    """A key given twice is known with the place of either; what is given once is not."""
    places = Places("a = 1\n[b]\nc = 1\nc = '''\n'''\n[[d]]\n[[d]]\ne = {f = 1, f = 2}\n[b]\n")
    found = [(repeat.key, repeat.place.line, repeat.before.line, repeat.last_line, repeat.alone) for repeat in places.repeats]
    assert found == [(("b", "c"), 4, 3, 5, True), (("d", 1, "e", "f"), 8, 8, 8, False), (("b",), 9, 2, 10, False)]


def test_a_long_file_is_quick() -> None:
    """200 lines in 5 ms on the machines this is written on; ten times that is allowed to slow ones."""
    text = "\n".join(
        f'[[arbors]]\nid = "a{index}"\nwheel = {{ teeth = 60, module_mm = 0.5 }}\nat_mm = [1.0, 2.0]' for index in range(50)
    )
    best = min(_timed(text) for _ in range(5))
    assert best < 0.05


def _timed(text: str) -> float:
    begun = time.perf_counter()
    Places(text)
    return time.perf_counter() - begun


NAMES = st.text("ab_é. \"'\\-", max_size=3)
SCALARS = st.one_of(st.integers(-9, 9), st.booleans(), st.text('x"\\é[]{}=#', max_size=4))
TREES = st.recursive(
    SCALARS, lambda below: st.one_of(st.lists(below, max_size=3), st.dictionaries(NAMES, below, max_size=3)), max_leaves=8
)


def quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def inline(value: Any) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{quoted(key)} = {inline(below)}" for key, below in value.items()) + "}"
    if isinstance(value, list):
        return "[ # [\n" + ",\n".join(map(inline, value)) + "\n]"
    return str(value).lower() if isinstance(value, bool | int) else quoted(value)


def written(table: dict[str, Any], header: str = "") -> str:
    """The table with each table below it under a header of its own."""
    text = "".join(f"{quoted(key)} = {inline(below)}\n" for key, below in table.items() if not isinstance(below, dict))
    for key, below in table.items():
        if isinstance(below, dict):
            name = f"{header}.{quoted(key)}" if header else quoted(key)
            text += f"[{name}]\n" + written(below, name)
    return text


@given(st.dictionaries(NAMES, TREES, max_size=4))
def test_any_tree_of_keys_is_found(tree: dict[str, Any]) -> None:
    """Whatever the keys and values, each key that tomllib finds has a place where that key stands in the text."""
    text = written(tree)
    data = tomllib.loads(text)
    places, lines = Places(text), text.split("\n")
    for key in every_key(data):
        place = places.at(key)
        assert place is not None
        if key and isinstance(key[-1], str):
            assert lines[place.line - 1][place.column - 1 :].startswith(quoted(key[-1]))
    assert places.repeats == []
