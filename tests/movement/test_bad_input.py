"""Whatever is wrong with what a person typed, the commands say where and what to do, end with 1, and change nothing."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from builder.__main__ import main
from tests.movement_texts import Data, eight_day, toml, write_collection, write_movement

Change = Callable[[Data], Any]
Edit = Callable[[str], str]
Expected = list[tuple[str, str, str]]
"""Where the fault is (the text that begins there), 'key = value', and what is allowed."""


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with one right movement, its notes and the site built from them."""
    folder = tmp_path_factory.mktemp("bench")
    write_collection(folder / "models")
    write_movement(folder / "models", eight_day(), "clock")
    assert main(["build", "--quiet", "--models", str(folder / "models"), "--out", str(folder / "site")]) == 0
    return folder


def print_of(folder: Path) -> dict[str, str]:
    """Every file of a folder with a hash of its bytes."""
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


def refused(bench: Path, capsys: pytest.CaptureFixture[str], text: str, notes: str | None = None) -> list[str]:
    """The faults that check and build print, alike; both end with 1 and leave the old site as it was."""
    path = write_movement(bench / "models", text, "clock")
    if notes is not None:
        (path.parent / "notes.md").write_text(notes, "utf-8")
    before = print_of(bench / "site")
    said = []
    try:
        for command in (["check"], ["build", "--out", str(bench / "site")]):
            assert main([*command, "--quiet", "--models", str(bench / "models")]) == 1
            out, err = capsys.readouterr()
            assert (out, "Traceback" in err) == ("", False)
            said.append(err.replace(f"{(bench / 'models').as_posix()}/", "").splitlines())
    finally:
        write_movement(bench / "models", eight_day(), "clock")
        (path.parent / "notes.md").unlink(missing_ok=True)
    assert said[0] == said[1]
    assert print_of(bench / "site") == before
    faults = said[0][:-1]
    assert said[0][-1] == f"{len(faults)} fault{'s' if len(faults) != 1 else ''}; nothing was changed."
    return faults


def place(text: str, at: str) -> str:
    """line:column of the only place where `at` stands."""
    assert text.count(at) == 1, f"{at!r} stands {text.count(at)} times"
    start = text.index(at)
    return f"{text.count(chr(10), 0, start) + 1}:{start - text.rfind(chr(10), 0, start)}"


def compare(text: str, faults: list[str], expected: Expected) -> None:
    found = [fault.split(": ", 2) for fault in faults]
    wanted = [(f"clock/movement.toml:{place(text, at)}", stands) for at, stands, _ in expected]
    assert [tuple(fault[:2]) for fault in found] == wanted
    for (_, _, rest), (_, _, allowed) in zip(found, expected, strict=True):
        assert rest.startswith(f"{allowed}. "), rest
        assert len(rest) > len(allowed) + 10, "advice follows"


GOOD = toml(eight_day())

TEXTS: list[tuple[str, Edit, Expected]] = [
    (
        "broken TOML, twice",
        lambda t: t.replace("turns = 16.0", "turns = 16,5").replace('name = "Counted"', "name = “Counted”"),
        [
            ("“Counted", "name = “Counted”", "straight quotes"),
            (",5", "turns = 16,5", "a number with a decimal point"),
        ],
    ),
    (
        "unknown keys",
        lambda t: t.replace("turns = 16.0", "turns = 16.0\ncolour = 3").replace('hand = "seconds"', 'hnad = "seconds"'),
        [("colour = 3", "source.colour = 3", "an unknown key"), ("hnad", 'arbors[3].hnad = "seconds"', "an unknown key")],
    ),
    (
        "wrong types",
        lambda t: t.replace("turns = 16.0", 'turns = "16"').replace("teeth = 96", "teeth = 96.5"),
        [
            ('turns = "16"', 'source.turns = "16"', "a number, more than 0 and at most 200"),
            ("teeth = 96.5", "arbors[0].wheel.teeth = 96.5", "a whole number from 6 to 600"),
        ],
    ),
    (
        "counts of nothing, less than nothing and far too much",
        lambda t: (
            t.replace("teeth = 96", "teeth = 0")
            .replace("teeth = 64", "teeth = -64")
            .replace("teeth = 60", "teeth = 100000000000000000000000")
            .replace("cannon_leaves = 36", "cannon_leaves = 1e3")
        ),
        [
            ("teeth = 0", "arbors[0].wheel.teeth = 0", "a whole number from 6 to 600"),
            ("teeth = -64", "arbors[1].wheel.teeth = -64", "a whole number from 6 to 600"),
            ("teeth = 1000", "arbors[2].wheel.teeth = 100000000000000000000000", "a whole number from 6 to 600"),
            ("cannon_leaves", "motion_work.cannon_leaves = 1e3", "a whole number from 4 to 400"),
        ],
    ),
    (
        "a number that is none",
        lambda t: t.replace("turns = 16.0", "turns = nan").replace("module_mm = 1.0", "module_mm = inf"),
        [
            ("turns = nan", "source.turns = nan", "a number, more than 0 and at most 200"),
            ("module_mm = inf", "arbors[0].wheel.module_mm = inf", "a number from 0.02 to 20"),
        ],
    ),
    (
        "two sources: the table twice",
        lambda t: t.replace("[[arbors]]", '[source]\nkind = "weight"\narbor = "third"\n\n[[arbors]]', 1),
        [('source]\nkind = "weight"\narbor = "third"', "[source]", "each key once")],
    ),
]

DATA: list[tuple[str, Change, Expected]] = [
    (
        "two sources: a list of them",
        lambda d: d.update(source=[d["source"], dict(d["source"], arbor="third")]),
        [
            (
                'source]]\nkind = "weight"\narbor = "great"',
                "source = a list of tables",
                "a table with kind = fusee, going_barrel, open_spring or weight",
            )
        ],
    ),
    (
        "two sources: a second arbor that nothing drives",
        lambda d: d["meshes"].pop(1),
        [('id = "third"', "arbors[2].id = third", "an arbor driven from the one source of power")],
    ),
    (
        "a missing mesh",
        lambda d: d["meshes"].pop(),
        [('id = "escape"', "arbors[3].id = escape", "an arbor that the train reaches")],
    ),
    (
        "a loop",
        lambda d: (
            d["arbors"].extend({"id": n, "wheel": {"teeth": 60}, "pinion": {"leaves": 6}} for n in ("one", "two")),
            d["meshes"].extend({"driver": a, "driven": b} for a, b in (("one", "two"), ("two", "one"))),
        ),
        [
            ('[[meshes]]\ndriver = "one"', "meshes[3] = one to two", "a train without a loop"),
            ('[[meshes]]\ndriver = "two"', "meshes[4] = two to one", "a train without a loop"),
        ],
    ),
    (
        "an arbor out of reach",
        lambda d: d["arbors"].append({"id": "spare", "pinion": {"leaves": 8}}),
        [('id = "spare"', "arbors[4].id = spare", "an arbor that the train reaches")],
    ),
    (
        "hands not twelve to one",
        lambda d: d["motion_work"].update(hour_wheel_teeth=71),
        [("hour_wheel_teeth = 71", "motion_work.hour_wheel_teeth = 71", "12 to 1 for a dial of 12 hours")],
    ),
    (
        "wheels that the arbors of others pass through",
        lambda d: d["meshes"][1].update(direction_deg=270),
        [
            ("wheel = { teeth = 96", "arbors[0].wheel = 96 teeth", "a wheel clear of the escape arbor"),
            ("wheel = { teeth = 96", "arbors[0].wheel = 96 teeth", "a wheel clear of the third arbor"),
            ("wheel = { teeth = 64", "arbors[1].wheel = 64 teeth", "a wheel clear of the escape arbor"),
            ("wheel = { teeth = 60", "arbors[2].wheel = 60 teeth", "a wheel clear of the great arbor"),
        ],
    ),
    (
        "two pairs that cannot share a centre distance",
        lambda d: d["motion_work"].update(hour_module_mm=0.8),
        [("hour_module_mm", "motion_work.hour_module_mm = 0.8", "0.7385 mm")],
    ),
    (
        "a module and a measured distance that contradict each other",
        lambda d: d["motion_work"].update(distance_mm=30.0),
        [("distance_mm = 30.0", "motion_work.distance_mm = 30.0", "28.80 mm")],
    ),
    (
        "a module and a measured diameter that contradict each other",
        lambda d: d["arbors"][1]["wheel"].update(outside_diameter_mm=70.0),
        [("outside_diameter_mm", "arbors[1].wheel.outside_diameter_mm = 70.0", "module 0.900 mm")],
    ),
    (
        "centres and a module that contradict each other",
        lambda d: (d["arbors"][1].update(at_mm=[0, 0]), d["arbors"][2].update(at_mm=[0, 50])),
        [("at_mm = [0, 50]", "arbors[2].at_mm = module 1.39 mm", "module 0.900 mm")],
    ),
    (
        "centres that leave no right place for the arbor between",
        lambda d: (d["arbors"][1].update(at_mm=[0, 0]), d["arbors"][3].update(at_mm=[0, 50])),
        [('[[meshes]]\ndriver = "third"', "meshes[2] = 27.27 mm", "centres 28.90 mm apart")],
    ),
    (
        "a missing direction and a missing size, at once",
        lambda d: (d["meshes"][0].pop("direction_deg"), d["arbors"][1]["wheel"].pop("module_mm")),
        [
            ('[[meshes]]\ndriver = "great"', "meshes[0] = great to second", "a mesh with a direction"),
            ('[[meshes]]\ndriver = "second"', "meshes[1] = second to third", "a mesh of known size"),
        ],
    ),
    (
        "counts for no beat of a clock",
        lambda d: (d["arbors"][2]["wheel"].update(teeth=600), d["arbors"][3].pop("hand"), d["escapement"].update(teeth=150)),
        [("teeth = 150", "escapement.teeth = 150", "a train for 100 to 100\u202f000 beats an hour")],
    ),
]


@pytest.mark.parametrize(("edit", "expected"), [case[1:] for case in TEXTS], ids=[case[0] for case in TEXTS])
def test_slips_of_the_pen(bench: Path, capsys: pytest.CaptureFixture[str], edit: Edit, expected: Expected) -> None:
    """What is no TOML, or not what a key may hold, is told with its place; all of it at once."""
    text = edit(GOOD)
    compare(text, refused(bench, capsys, text), expected)


@pytest.mark.parametrize(("change", "expected"), [case[1:] for case in DATA], ids=[case[0] for case in DATA])
def test_movements_that_cannot_be(bench: Path, capsys: pytest.CaptureFixture[str], change: Change, expected: Expected) -> None:
    """What is well written and yet no movement is told in the same way."""
    data = eight_day()
    change(data)
    text = toml(data)
    compare(text, refused(bench, capsys, text), expected)


def test_an_empty_file(bench: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Every table that a movement needs is asked for."""
    faults = refused(bench, capsys, "")
    tables = ("arbors", "escapement", "movement", "oscillator", "source")
    assert [fault.split(": ")[:2] for fault in faults] == [["clock/movement.toml:1:1", f"{table} = missing"] for table in tables]


NOTES = [
    ("a script", "Good.\n\n<script>alert(1)</script>\n", "3:1", "<script>"),
    ("a script in a link", "See [here](javascript:alert(1)).\n", "1:12", "javascript:alert(1)"),
    ("a script in a disguised link", "\n[here](JaVa&#115;cript:alert(1))\n", "2:8", "JaVascript:alert(1)"),
    ("a link to no page", "[here](trian.html)\n", "1:8", "trian.html"),
    ("a picture outside the folder", "![Wheel](../../secret.png)\n", "1:10", "../../secret.png"),
    ("a picture from elsewhere", "![Wheel](https://example.org/a.png)\n", "1:10", "https://example.org/a.png"),
]


@pytest.mark.parametrize(("notes", "at", "value"), [case[1:] for case in NOTES], ids=[case[0] for case in NOTES])
def test_notes_that_may_not_be_shown(bench: Path, capsys: pytest.CaptureFixture[str], notes: str, at: str, value: str) -> None:
    """Scripts, whatever they hide in, and pictures that leave the movement's folder stop the build with their place."""
    (fault,) = refused(bench, capsys, GOOD, notes)
    assert fault.startswith(f"clock/notes.md:{at}: {value}: ")


def test_every_file_at_once(bench: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Faults of several movements, of the notes and of the collection come in one run, file by file."""
    second = write_movement(bench / "models", GOOD.replace("teeth = 96", "teeth = 0"), "other")
    collection = (bench / "models" / "collection.toml").read_text("utf-8")
    (bench / "models" / "collection.toml").write_text(collection.replace("title =", "titel ="), "utf-8")
    try:
        faults = refused(bench, capsys, GOOD, "<script>alert(1)</script>\n")
    finally:
        second.unlink()
        write_collection(bench / "models")
    assert [fault.split(":")[0] for fault in faults] == ["clock/notes.md", "collection.toml", "other/movement.toml"]
