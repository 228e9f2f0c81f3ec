"""How it is computed: every section names code that is there, explains its letters, and admits what the code admits."""

from __future__ import annotations

import importlib
import re
import shutil
from pathlib import Path
from typing import Any

import brotli  # type: ignore[import-untyped]
import pytest

from builder import assemble
from builder.authorities import FOLDER
from builder.bench import MOVEMENT_SUMS, SUMS
from builder.build import TEMPLATES
from builder.ground.wording import Wording
from builder.movement.collection import Collection
from builder.movement.reading import read
from builder.pages.computing import PAGE, computing, explained
from builder.pages.formula import FUNCTIONS, mathml
from builder.pages.press import Press
from builder.pages.published import published
from tests.solved import MODELS, wording

BUILDER = Path(__file__).resolve().parents[2] / "builder"
SECTIONS: list[dict[str, Any]] = wording()["computing.sections"]
CONSTANTS = {"π", "e", "i", "d", "∞", "…"}


@pytest.fixture(scope="module")
def page() -> str:
    press = Press.of(read(MODELS / "collection.toml", Collection, MODELS), TEMPLATES)
    return computing(press)[PAGE].decode("utf-8")


@pytest.mark.parametrize("section", SECTIONS, ids=lambda section: section["id"])
def test_its_code_is_there(section: dict[str, Any]) -> None:
    """Each section names a module, a function or a method that exists, and a group that the page has."""
    assert section["group"] in wording()["computing.groups"]
    assert section["code"] and section["says"] and section["source"]
    for path in section["code"]:
        assert is_there(path), path


def is_there(path: str) -> bool:
    steps = path.split(".")
    for end in range(len(steps), 0, -1):
        try:
            found: Any = importlib.import_module(".".join(steps[:end]))
        except ModuleNotFoundError:
            continue
        for step in steps[end:]:
            found = getattr(found, step, None)
        return found is not None
    return False


def test_code_that_is_not_there_is_noticed() -> None:
    """Negative control: a module, a function and a method of that name are not there."""
    assert is_there("builder.parts.oscillator.pendulum.Pendulum.hung")
    assert not any(map(is_there, ("builder.parts.nothing", "builder.going.train.nothing", "nothing")))


def letters(line: str) -> set[str]:
    """The quantities of a formula: letters with the words below them, constants and functions left out."""
    return set(re.findall(r"<mi>([^<]+)</mi>", mathml(line))) - CONSTANTS - FUNCTIONS


@pytest.mark.parametrize("section", [one for one in SECTIONS if one["formulas"]], ids=lambda section: section["id"])
def test_every_letter_is_explained(section: dict[str, Any]) -> None:
    """No letter stands in a formula that the symbols beside it do not explain, there or as the name of what is explained."""
    known = set().union(*(letters(letter) for letter, _, _ in section["symbols"]))
    known |= {word for _, meaning, _ in section["symbols"] for word in re.findall(r"(?<!\w)\w(?!\w)", meaning)}
    for line in section["formulas"]:
        assert letters(line) <= known, line


def test_what_the_code_leaves_out_is_admitted() -> None:
    """Every module of parts and going that says 'Neglected' is worked from by a section that says what is left out."""
    admitting = [path for section in SECTIONS if section["neglects"] for path in section["code"]]
    silent = []
    for path in sorted([*BUILDER.glob("parts/**/*.py"), *BUILDER.glob("going/**/*.py")]):
        module = ".".join(path.relative_to(BUILDER.parent).with_suffix("").parts)
        named = any(module == code or module.startswith(f"{code}.") or code.startswith(f"{module}.") for code in admitting)
        if re.search(r"\bNeglect", path.read_text("utf-8")) and not named:
            silent.append(module)
    assert silent == []


def test_every_kind_of_figure_leads_to_a_section() -> None:
    """Each kind of facts.toml is explained once; no section explains what is no figure."""
    kinds = {kind for kind, table in wording()["facts"].items() if isinstance(table, dict) and "formula" in table}
    told = [kind for section in SECTIONS for kind in section.get("facts", [])]
    assert sorted(told) == sorted(kinds)
    assert explained(wording())["whole_ratio"] == "computing.html#turns"


def test_the_page_holds_everything_once(page: str) -> None:
    """Every section and every sum has its place; no id stands twice; the counts are those of the comparison."""
    ids = re.findall(r'\bid="([^"]+)"', page)
    assert len(ids) == len(set(ids))
    assert {section["id"] for section in SECTIONS} | {f"sum-{name}" for name in [*SUMS, *MOVEMENT_SUMS]} <= set(ids)
    told = published(wording())
    assert told is not None and page.count(told["counts"]) == 2
    assert page.count("<details") == len(told["groups"]) == len(list((BUILDER.parent / "tests/authorities").glob("*.toml"))) - 1
    assert page.count('<tbody>\n<tr><th scope="rowgroup"') == sum(len(group["entries"]) for group in told["groups"])
    assert len(brotli.compress(page.encode("utf-8"))) < 60_000


def test_an_installation_without_tests_says_so(tmp_path: Path) -> None:
    """Where the files of authorities are not, there is no table, and the page has words for it."""
    assert published(wording(), tmp_path / "nothing") is None
    press = Press.of(read(MODELS / "collection.toml", Collection, MODELS), TEMPLATES)
    bare = press.env.get_template("computing.html.jinja").render(
        **press.frame, root="", path=PAGE, title="t", description="", nav=[], power_path=[], groups=[], sums=[], published=None
    )
    assert wording().say("computing.published.missing") in bare and "<table" not in bare


def test_a_value_that_is_missed_is_marked(tmp_path: Path) -> None:
    """Negative control: with a published number changed the page says that it is not met, and counts it."""
    authorities = BUILDER.parent / "tests" / "authorities"
    for name in ("hands.toml", "sources.toml"):
        text = (authorities / name).read_text("utf-8")
        (tmp_path / name).write_text(text.replace("expect = { reduction = 12 }", "expect = { reduction = 13 }", 1), "utf-8")
    told = published(wording(), tmp_path)
    assert told is not None and "1 do not" in told["counts"]
    (group,) = told["groups"]
    assert [row["missed"] for entry in group["entries"] for row in entry["rows"]].count(True) == 1


def test_an_edited_value_makes_the_shelf_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is kept from build to build knows the files of authorities: the page is made again when one of them changes."""
    assert assemble.AUTHORITIES == FOLDER
    shutil.copytree(FOLDER, tmp_path / "authorities")
    monkeypatch.setattr(assemble, "AUTHORITIES", tmp_path / "authorities")
    monkeypatch.setattr(assemble, "_base", lambda _: "all else")
    before = assemble._apart_key("")
    assert before == assemble._apart_key("")
    with (tmp_path / "authorities" / "hands.toml").open("a") as file:
        file.write("# one line more\n")
    assert before != assemble._apart_key("")


def test_wording_of_another_language_needs_no_authorities() -> None:
    """All groups of the table have their titles."""
    names = {path.stem for path in (BUILDER.parent / "tests" / "authorities").glob("*.toml")} - {"sources"}
    assert names == set(Wording.load(TEMPLATES / "wording" / "en")["computing.published.groups"])
