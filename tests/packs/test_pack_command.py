"""The command that packs: where it writes, what it says, that it makes the same bytes anywhere, and does without what it can."""

from __future__ import annotations

import argparse
import io
import json
import os
import re
import subprocess
import sys
import zipfile
from hashlib import sha256
from pathlib import Path

import pytest

from builder.__main__ import main
from builder.packs import KINDS, put
from builder.packs.chosen import chosen
from builder.packs.error import PackError
from builder.packs.stock import Made
from builder.pages.chapters import CHAPTERS
from tests.conftest import PROJECT
from tests.packs.platform_packs import SLUG, made, movement

EXAMPLES = [
    ("drawing", "train-front"),
    ("drawing", "escapement", "--as", "moving", "--mark", "pallets"),
    ("drawing", "winding", "--as", "still"),
    ("drawing", "train-front", "--as", "png", "--width", "200"),
    ("film", "oscillator", "--width", "64", "--rate", "5"),
    ("film", "oscillator", "--width", "64", "--rate", "5", "--as", "webp"),
    ("film", "oscillator", "--width", "64", "--rate", "5", "--as", "apng"),
    ("lesson",),
    ("lesson", "--chapter", "train"),
    ("satchel",),
]
EXTRAS = ("PIL", "cssselect2", "resvg_py", "tinycss2")
AGAIN = """
import json, sys
from hashlib import sha256
from tests.packs.platform_packs import made
print(json.dumps([sha256(made(*given).data).hexdigest() for given in json.loads(sys.argv[1])]))
"""


def python(*arguments: str, **environment: str) -> str:
    """What another Python says."""
    known = {**os.environ, "PYTHONPATH": str(PROJECT), **environment}
    ran = subprocess.run([sys.executable, *arguments], cwd=PROJECT, env=known, capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
    return ran.stdout


def test_the_same_movement_makes_the_same_bytes() -> None:
    """Each kind of file, in another process that puts its sets and dicts in another order."""
    here = [sha256(made(*given).data).hexdigest() for given in EXAMPLES]
    seed = "1" if os.environ.get("PYTHONHASHSEED") != "1" else "2"
    assert json.loads(python("-c", AGAIN, json.dumps(EXAMPLES), PYTHONHASHSEED=seed)) == here
    assert len(set(here)) == len(here), "negative control: different packs differ"


def test_a_satchel_holds_everything_and_no_date() -> None:
    """Lesson, worksheets with answers, and of every drawing its page, its moving and its still file as they lie on the site.
    The archive is sound."""
    with zipfile.ZipFile(io.BytesIO(made("satchel").data)) as archive:
        assert archive.testzip() is None
        names = archive.namelist()
        assert names == sorted(names) and {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        drawings = list(movement().shown.plates)
        papers = {f"{SLUG}/paper/worksheet-{n}{kind}.html" for n in (1, 2, 3) for kind in ("", "-answers")}
        assert not any(b"../" in archive.read(paper) for paper in papers), "they lead to no neighbour"
        assert set(names) == {f"{SLUG}/lesson.html"} | papers | {
            f"{SLUG}/{kind}/{slug}.{ending}"
            for slug in drawings
            for kind, ending in (("pages", "html"), ("moving", "svg"), ("still", "svg"))
        }
        assert archive.read(f"{SLUG}/moving/escapement.svg") == movement().site[f"{SLUG}/escapement.svg"]


def test_a_pack_goes_where_it_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Into this folder under its own name, into a named folder, or under the name that is given; nothing else is left there."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "slides").mkdir()
    one = Made("one.svg", b"<svg/>")
    assert [put(one, out) for out in (None, Path("slides"), Path("other.svg"), Path())] == [
        Path("one.svg"), Path("slides/one.svg"), Path("other.svg"), Path("one.svg"),
    ]  # fmt: skip
    assert sorted(path.name for path in tmp_path.rglob("*")) == ["one.svg", "one.svg", "other.svg", "slides"]


def test_where_it_cannot_be_written_nothing_is_lost(tmp_path: Path) -> None:
    """A folder that is not there, a file where a folder should be: it is said, and what was there stays."""
    old = tmp_path / "old.svg"
    old.write_text("as it was")
    for out in (tmp_path / "none" / "one.svg", old / "one.svg"):
        with pytest.raises(PackError, match="cannot be written: "):
            put(Made("one.svg", b"<svg/>"), out)
    assert old.read_text() == "as it was" and [path.name for path in tmp_path.iterdir()] == ["old.svg"]


def test_the_command_says_what_it_made(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """File and size, on one line; with --quiet nothing."""
    given = ["pack", "drawing", SLUG, "ratchet", "--as", "still", "--models", str(PROJECT / "models"), "--out", str(tmp_path)]
    assert main(given) == 0
    assert capsys.readouterr().out.startswith(f"{tmp_path / 'hall_clock-ratchet-still.svg'}: ")


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (("drawing", "tower_clock", "escapement"), "tower_clock: no such movement. There are: "),
        (("drawing", SLUG, "escapement", "--models", "nowhere"), "There is no folder nowhere."),
    ],
)
def test_a_wrong_movement_is_said(given: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 1 and a sentence, no traceback."""
    models = () if "--models" in given else ("--models", str(PROJECT / "models"))
    assert main(["pack", *given, *models]) == 1
    assert capsys.readouterr().err.startswith(said)


@pytest.fixture
def without_extras(monkeypatch: pytest.MonkeyPatch) -> None:
    """As if the packages that make pictures were not installed."""
    for name in EXTRAS:
        monkeypatch.setitem(sys.modules, name, None)


@pytest.mark.usefixtures("without_extras")
@pytest.mark.parametrize("given", [given for given in EXAMPLES if given[0] == "film" or "png" in given])
def test_without_the_packages_for_pictures_that_is_said(given: tuple[str, ...]) -> None:
    """And how to get them."""
    with pytest.raises(PackError, match=r"pip install 'between-plates\[pictures\]'"):
        made(*given)


@pytest.mark.usefixtures("without_extras")
@pytest.mark.parametrize("given", [given for given in EXAMPLES if given[0] != "film" and "png" not in given])
def test_all_else_is_made_without_them(given: tuple[str, ...]) -> None:
    """Pages, SVG, lessons and satchels want nothing more."""
    assert len(made(*given).data) > 10_000


def test_the_program_starts_without_them() -> None:
    """None of them is wanted before a picture is."""
    python("-c", f"import sys; sys.modules.update(dict.fromkeys({EXTRAS!r})); import builder.__main__, builder.packs.film")


def test_the_readmes_examples_are_understood() -> None:
    """Every line of it that packs a drawing, a film, a lesson or a satchel has options, drawings and parts that there are."""
    text = (PROJECT / "README.md").read_text("utf-8")
    lines = re.findall(r"^    between-plates pack ((?:drawing|film|lesson|satchel) [^#\n]*)", text, re.MULTILINE)
    assert {line.split()[0] for line in lines} == {"drawing", "film", "lesson", "satchel"}
    for line in lines:
        kind, slug, *given = line.split()
        parser = argparse.ArgumentParser()
        KINDS[kind].arguments(parser)
        told = parser.parse_args(given)
        assert (PROJECT / "models" / slug / "movement.toml").exists()
        if kind in ("drawing", "film"):
            chosen(movement(), told)
        if getattr(told, "chapter", None):
            assert told.chapter in [chapter.key for chapter in CHAPTERS]
