"""The site as bytes: whole, the same each time, nothing typed that could be computed."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from builder.build import build_site
from builder.linkcheck import check_links
from tests.conftest import BuiltSite
from tests.movement_texts import eight_day, write_movement

ROOT = Path(__file__).parents[2]
WORDING = sorted((ROOT / "templates" / "wording" / "en").glob("*.toml"))


def test_two_builds_are_the_same_bytes(built_site: BuiltSite) -> None:
    """Same input, same bytes: one movement built again is what it was in the whole site."""
    again = build_site(ROOT / "models", ["hall_clock"])
    for path, data in again.items():
        if path.startswith("hall_clock/"):
            assert built_site.files[path] == data, path


def test_every_link_resolves_and_none_leads_outside(built_site: BuiltSite) -> None:
    """No link, fragment or embed is broken or absolute."""
    assert check_links(built_site.files) == []


def test_only_some_movements_can_be_built() -> None:
    """--only leaves the shelf with those alone, and no link to the others."""
    site = build_site(ROOT / "models", ["shop_regulator"])
    assert "shop_regulator/index.html" in site and "hall_clock/index.html" not in site
    assert check_links(site) == []


def test_sitemap_and_canonical_only_with_an_address(tmp_path: Path, built_site: BuiltSite) -> None:
    """Without base_url there is neither; with it, both name the address."""
    assert "sitemap.xml" not in built_site.files and b'rel="canonical"' not in built_site.files["index.html"]
    write_movement(tmp_path, eight_day())
    text = (ROOT / "models" / "collection.toml").read_text("utf-8")
    (tmp_path / "collection.toml").write_text(
        text.replace("title =", 'base_url = "https://example.org/shelf"\ntitle =', 1), "utf-8"
    )
    site = build_site(tmp_path)
    assert b"https://example.org/shelf/counted/index.html" in site["sitemap.xml"]
    assert (
        b'href="https://example.org/shelf/index.html"' in site["index.html"]
        or b'href="https://example.org/shelf/"' in site["index.html"]
    )


def leaves(table: object, key: str = "") -> list[tuple[str, str]]:
    """Every text of a wording file with its key."""
    if isinstance(table, str):
        return [(key, table)]
    if isinstance(table, dict):
        return [leaf for name, value in table.items() for leaf in leaves(value, f"{key}.{name}")]
    return []


ALLOWED = re.compile(r"^\.(player\.speeds|player\.)|formula$|label$|^\.inputs\.|\.source$")


@pytest.mark.parametrize("path", WORDING, ids=lambda path: path.stem)
def test_no_figure_is_typed_in_prose(path: Path) -> None:
    """Wording holds no digit that a computed figure could give; formulas may hold their constants."""
    typed = [
        (key, text)
        for key, text in leaves(tomllib.loads(path.read_text("utf-8")))
        if re.search(r"\d", re.sub(r"\{[^}]*\}|12 o'clock", "", text)) and not ALLOWED.search(key)
    ]
    assert typed == []
