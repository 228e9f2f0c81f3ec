"""Whatever a file's author writes into any text, nothing of it runs: on pages, in drawings, in what travels alone, in packs.

The forms of attack are those that OWASP's cheat sheet on cross-site scripting names (text, attribute, URL, script and style
contexts), written anew.
"""

from __future__ import annotations

import argparse
import re
import shutil
import tomllib
import zipfile
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser
from pydantic import BaseModel, ValidationError

from builder.build import build_site, stock
from builder.ground.faults import FaultsFound
from builder.movement.collection import Collection
from builder.movement.jsonschema import schema_of
from builder.movement.model import Movement
from builder.movement.notes import read_notes
from builder.movement.repair import Repair
from builder.packs import KINDS
from builder.publish import publish
from tests.browser.pages_helper import watched
from tests.conftest import PROJECT
from tests.movement_texts import eight_day, toml, write_movement

SLUG = "hall_clock"
SHORT = "</script><script>hurt()</script>\"'><img src=x onerror=hurt()>{{7*7}}&#60;"
"""Fits into any name. Ends scripts, attributes and tags, and asks a template to reckon."""
LONG = (
    f"{SHORT} </title></style></textarea></svg>]]>--><svg onload=hurt()><iframe srcdoc='<script>parent.hurt()</script>'> "
    "<a href=javascript:hurt()>x</a> \\u003cscript>hurt() ';hurt();// \u2028hurt() ${hurt()} "
    "<math><style><img src onerror=hurt()>"
)
"""Fits into any sentence."""
RAW = re.compile(rb"<script>hurt|<img src=x|<svg onload=hurt|<iframe srcdoc|<a href=javascript:hurt|<math><style>", re.I)
CANARY = "window.hurt = () => { document.documentElement.dataset.hurt = 'yes'; throw new Error('hurt'); };"

PACKS: dict[str, list[str]] = {"lesson": [], "satchel": [], "scorm": [], "worksheet": [], "repair": ["2026-03-14"]}

ADDED: dict[type[BaseModel], dict[str, Any]] = {
    Movement: {
        "parts": [{"name": "x", "under": "frame", "material": "x", "does": "x", "worn": "x"}],
    },
    Collection: {},
    Repair: {},
}
"""Texts that the files of the demo leave out."""


PATHS = {"picture"}
"""Texts that have to name a file; the rules see to that."""


def filled(data: dict[str, Any], model: type[BaseModel]) -> tuple[dict[str, Any], set[str]]:
    """The data with an attack in every text that may be anything, and the names of these keys."""
    hit: set[str] = set()

    def fill(value: Any, name: str) -> None:
        for key in list(value) if isinstance(value, dict) else range(len(value)):
            here = key if isinstance(key, str) else name
            if isinstance(value[key], dict | list):
                fill(value[key], here)
            elif isinstance(value[key], str) and here not in PATHS:
                before = value[key]
                for attack in (LONG, SHORT):
                    value[key] = attack
                    try:
                        model.model_validate(data)
                    except (ValidationError, ValueError):
                        value[key] = before
                    else:
                        hit.add(here)
                        break

    fill(data, "")
    return data, hit


def free_texts(model: type[BaseModel]) -> set[str]:
    """Names of the keys that any text may stand under, as the schema has them."""
    found: set[str] = set()

    def look(schema: Any, name: str) -> None:
        if isinstance(schema, list):
            for each in schema:
                look(each, name)
        elif isinstance(schema, dict):
            if schema.get("type") == "string" and not schema.keys() & {"enum", "const", "pattern"}:
                found.add(name)
            for key, inner in schema.items():
                if key in ("properties", "$defs"):
                    for each, one in inner.items():
                        look(one, each)
                elif key in ("items", "anyOf", "oneOf", "prefixItems"):
                    look(inner, name)

    look(schema_of(model), "")
    return found


@pytest.fixture(scope="module")
def models(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shelf hostile in every text of every file, the notes as hostile as they may be; and a second movement to compare."""
    folder = tmp_path_factory.mktemp("hostile") / "models"
    shutil.copytree(PROJECT / "models" / SLUG, folder / SLUG)
    files: list[tuple[Path, Path, type[BaseModel]]] = [
        (PROJECT / "models" / SLUG / "movement.toml", folder / SLUG / "movement.toml", Movement),
        (PROJECT / "models" / "collection.toml", folder / "collection.toml", Collection),
    ]
    files += [
        (path, folder / SLUG / "repairs" / path.name, Repair) for path in (PROJECT / "models" / SLUG / "repairs").glob("*.toml")
    ]
    assert len(files) > 2
    for source, target, model in files:
        data = tomllib.loads(source.read_text("utf-8")) | ADDED[model]
        data, hit = filled(data, model)
        assert free_texts(model) - PATHS == hit & free_texts(model), model
        target.write_text(written(data), "utf-8")
    second, _ = filled(eight_day(), Movement)
    write_movement(folder, second)
    notes = folder / SLUG / "notes.md"
    code = SHORT.replace("<", "&lt;")
    (folder / SLUG / "wheel.png").write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(60))
    notes.write_text(f"Text `{SHORT}` and ![{code}](wheel.png '{code}')\n\n    {SHORT}\n", "utf-8")
    with pytest.raises(FaultsFound, match="a name of letters"):
        told = folder.parent / "named.md"
        told.write_text("![x](a%22onerror=hurt%28%29.png)\n")
        read_notes(told, folder.parent)
    return folder


def written(data: dict[str, Any]) -> str:
    """TOML: what stands by itself first."""
    alone = {key: value for key, value in data.items() if not isinstance(value, dict) and not _tables(value)}
    tables = {key: value for key, value in data.items() if key not in alone}
    head = toml({"x": alone}).removeprefix("[x]\n") if alone else ""
    return (head + toml(tables)).replace('", "', '",\n"')


def _tables(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and isinstance(value[0], dict)


@pytest.fixture(scope="module")
def folder(models: Path) -> Path:
    """Its site, and its packs taken apart beside it."""
    out = models.parent / "site"
    site = build_site(models)
    publish(site, out)
    return out


def test_nothing_is_written_raw(folder: Path) -> None:
    """No file of the site holds an attack as it was typed, where a browser could take it for markup."""
    for path in sorted(folder.rglob("*")):
        if path.suffix in (".html", ".svg", ".xml"):
            found = RAW.search(path.read_bytes())
            assert found is None, (path.name, path.read_bytes()[found.start() - 80 : found.end() + 80] if found else "")


def sung(browser: Browser, folder: Path) -> list[str]:
    """Every page and drawing of a folder is opened from disk: what ran, was asked for or complained of, with its file."""
    found: list[str] = []
    troubles: list[str] = []
    with watched(browser, folder, troubles) as page:
        page.add_init_script(CANARY)
        page.on("dialog", lambda dialog: (troubles.append("a dialog"), dialog.dismiss()))
        for path in sorted(each for each in folder.rglob("*") if each.suffix in (".html", ".svg")):
            page.goto(path.as_uri(), wait_until="load")
            if page.evaluate("document.documentElement.dataset.hurt"):
                troubles.append("it ran")
            found += [f"{path.name}: {trouble}" for trouble in troubles]
            troubles.clear()
    return found


def test_nothing_runs_on_any_page(browser: Browser, folder: Path) -> None:
    """Pages and drawings of the site: the canary does not sing, nothing is asked for, and the policy has nothing to refuse."""
    assert sung(browser, folder) == []


def test_nothing_runs_in_packs(browser: Browser, models: Path, tmp_path: Path) -> None:
    """The packs that are pages or hold pages, opened in the same way."""
    held = stock(models, SLUG)
    for name, asked in PACKS.items():
        parser = argparse.ArgumentParser()
        KINDS[name].arguments(parser)
        made = KINDS[name].make(held, parser.parse_args(asked), lambda done, of: None)
        (tmp_path / name).mkdir()
        if zipfile.is_zipfile(BytesIO(made.data)):
            zipfile.ZipFile(BytesIO(made.data)).extractall(tmp_path / name)
        else:
            (tmp_path / name / made.name).write_bytes(made.data)
    assert sung(browser, tmp_path) == []


@pytest.mark.parametrize("attack", ["<img src=x onerror=hurt()>", "<script>hurt()</script>", "<svg onload=hurt()></svg>"])
def test_the_canary_sings(browser: Browser, tmp_path: Path, attack: str) -> None:
    """Negative control: an attack that gets on to a page is noticed, with a policy and without."""
    policy = "<meta http-equiv='Content-Security-Policy' content=\"default-src 'none'\">"
    for head in ("", policy):
        (tmp_path / "page.html").write_text(
            f"<!doctype html><html lang=en><head>{head}<title>x</title></head><body>{attack}</body>"
        )
        assert sung(browser, tmp_path)
