"""The files in which drawings travel: there for every drawing of every movement, whole, and saying whose they are."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from xml.etree import ElementTree

from builder.pages.onefile import style_attributes
from tests.conftest import BuiltSite

DC = "{http://purl.org/dc/elements/1.1/}"
OUTSIDE = re.compile(rb"""(?:src|href)=["'](?!https://creativecommons\.org/licenses/by-sa/4\.0/|data:,|#)""")
LEARNING_RESOURCE = {
    "about", "description", "educationalLevel", "inLanguage", "isAccessibleForFree", "learningResourceType", "license", "name",
    "publisher",
}  # fmt: skip
"""Properties of schema.org's LearningResource and the types above it (schema.org 29.0, from memory)."""


def drawings(site: BuiltSite) -> list[str]:
    """Every moving drawing: movement/drawing."""
    return [path.removesuffix(".svg") for path in site.files if re.fullmatch(r"\w+/[\w-]+\.svg", path) and "static" not in path]


def test_every_drawing_is_there_moving_still_and_as_a_page(built_site: BuiltSite) -> None:
    """Each drawing of each movement has its still and its page, and names publisher and licence in every one of its files."""
    found = [one for one in drawings(built_site) if not one.endswith("-still")]
    assert len(found) > 50
    for one in found:
        movement, name = one.split("/")
        still = built_site.files[f"{movement}/still/{name}.svg"]
        assert b"<animate" not in still
        for svg in (built_site.files[f"{one}.svg"], still):
            root = ElementTree.fromstring(svg)
            assert root.findtext(f".//{DC}publisher") == "Tidewater Road evening class", one
            assert "creativecommons.org" in (root.findtext(f".//{DC}rights") or "")
        page = built_site.files[f"{movement}/embed/{name}.html"].decode("utf-8")
        assert "Tidewater Road evening class" in page and "CC BY-SA 4.0" in page


def test_a_drawings_page_needs_no_other_file(built_site: BuiltSite) -> None:
    """It points at nothing but the licence, and its policy names the hashes of the style and of every script in it, no more."""
    for path, data in built_site.files.items():
        if "/embed/" not in path:
            continue
        assert not OUTSIDE.findall(data), path
        text = data.decode("utf-8")
        policy = re.search(r'Policy" content="([^"]*)"', text)
        assert policy
        told = policy[1].replace("&#39;", "'")
        bodies = re.findall(r"<style>(.*?)</style>|<script>(.*?)</script>", text, re.DOTALL)
        hashes = {f"'sha256-{base64.b64encode(hashlib.sha256((a or b).encode('utf-8')).digest()).decode()}'" for a, b in bodies}
        attributes = re.findall(r"'sha256-[^']*'", style_attributes())
        assert set(re.findall(r"'sha256-[^']*'", told)) == hashes | set(attributes) and len(hashes) == 4, path
        assert "unsafe" not in told.replace("'unsafe-hashes'", "") and "self" not in told


def test_every_page_says_what_it_is_to_programs(built_site: BuiltSite) -> None:
    """Each page but the one for wrong addresses has a LearningResource with known properties and the collection's licence."""
    for path, data in built_site.files.items():
        if not path.endswith(".html") or path == "404.html":
            continue
        blocks = re.findall(rb'<script type="application/ld\+json">(.*?)</script>', data, re.DOTALL)
        assert len(blocks) == 1, path
        known = json.loads(blocks[0])
        assert (known.pop("@context"), known.pop("@type")) == ("https://schema.org", "LearningResource")
        assert known.keys() == LEARNING_RESOURCE and known["license"] == "https://creativecommons.org/licenses/by-sa/4.0/", path
        assert known["description"] and known["inLanguage"] == "en" and known["isAccessibleForFree"] is True
        assert known["name"] and known["publisher"] == {"@type": "Organization", "name": "Tidewater Road evening class"}


def test_every_page_and_drawing_says_whose_it_is(built_site: BuiltSite) -> None:
    """A line in sight with publisher and licence on every page; in every drawing the same for programs, with its title."""
    for path, data in built_site.files.items():
        text = data.decode("utf-8") if path.endswith((".html", ".svg")) else ""
        if path.endswith(".html"):
            line = re.findall(
                r'<p[^>]*>[^<]*Tidewater Road evening class[^<]*<a href="([^"]*)" rel="license[^>]*>CC BY-SA 4.0</a>', text
            )
            assert line == ["https://creativecommons.org/licenses/by-sa/4.0/"], path
        if path.endswith(".svg") and 'class="drawing' in text:
            root = ElementTree.fromstring(data)
            assert root.findtext(f".//{DC}title") and root.findtext(f".//{DC}publisher") == "Tidewater Road evening class", path
            assert "https://creativecommons.org/licenses/by-sa/4.0/" in (root.findtext(f".//{DC}rights") or ""), path
