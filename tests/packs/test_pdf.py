"""Worksheets as PDF by the machine's browser, read with poppler and qpdf, which are not ours.

ISO 14289-1 (PDF/UA) asks for tags, a language, a title that is shown, and words for every figure; sizes are those of ISO 216 and
ANSI/ASME Y14.1 (8 1/2 by 11 in).
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
from functools import cache
from pathlib import Path

import pytest

from builder.build import TEMPLATES
from builder.movement.collection import Collection
from builder.movement.reading import read
from builder.packs.browser import MISSING, find_browser
from builder.packs.pdf import pdf
from builder.pages.press import Press
from builder.pages.shown import Shown
from builder.pages.worksheets import Paper, page
from tests.lessons.asked import ROOT, plates, solved

SIZES_PT: dict[Paper, tuple[float, float]] = {"a4": (595.28, 841.89), "letter": (612.0, 792.0)}


def tool(name: str) -> str:
    """A program of the machine. Where it is missing the test is skipped; with CI set it fails."""
    found = shutil.which(name)
    if found is None:
        assert "CI" not in os.environ, f"{name} is missing"
        pytest.skip(f"{name} is missing")
    return found


@cache
def browser() -> bool:
    return find_browser() is not None


@cache
def printed(slug: str, variant: int, answers: bool, paper: Paper) -> bytes:
    """By the browser. Where there is none the test is skipped; with CI set it fails."""
    if not browser():
        assert "CI" not in os.environ, MISSING
        pytest.skip(MISSING)
    return pdf(page_of(slug, variant, answers, paper))


def said(*command: str) -> str:
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout


def page_of(slug: str, variant: int, answers: bool, paper: Paper) -> bytes:
    collection = read(ROOT / "models" / "collection.toml", Collection, ROOT / "models", lambda _: [])
    shown = Shown(solved(slug), plates(slug), "", {})
    return page(shown, Press.of(collection, TEMPLATES), variant, answers, paper)


PRINTED: list[tuple[str, int, bool, Paper]] = [
    ("hall_clock", 1, False, "a4"),
    ("hall_clock", 2, True, "letter"),
    ("hall_clock", 3, False, "letter"),
]


@pytest.mark.parametrize(("slug", "variant", "answers", "paper"), PRINTED)
def test_the_pdf_is_whole(tmp_path: Path, slug: str, variant: int, answers: bool, paper: Paper) -> None:
    """Two to four pages of the paper asked for, tagged, with title, language, outline, words for its figures and all fonts in it;
    on every page what it belongs to and its number; sound by qpdf's judgement; and its answers are on the answer sheet only."""
    file = tmp_path / "paper.pdf"
    file.write_bytes(printed(slug, variant, answers, paper))
    told = dict(re.findall(r"^([\w ]+): +(.*)$", said(tool("pdfinfo"), str(file)), re.MULTILINE))
    name = solved(slug).name
    assert told["Title"] == f"{name}: {'answers to ' if answers else ''}worksheet {variant}"
    assert told["Tagged"] == "yes" and told["JavaScript"] == "no" and 2 <= int(told["Pages"]) <= 4
    size = [float(side) for side in re.findall(r"[\d.]+", told["Page size"])[:2]]
    assert size == pytest.approx(SIZES_PT[paper], abs=0.5)
    fonts = said(tool("pdffonts"), str(file)).splitlines()[2:]
    assert fonts and all(re.search(r"\byes (yes|no ) (yes|no)\b", font) for font in fonts), "embedded"
    for n in range(1, int(told["Pages"]) + 1):
        text = said(tool("pdftotext"), "-f", str(n), "-l", str(n), "-layout", str(file), "-")
        assert re.search(rf"{name} · .*orksheet {variant}\s+{n} ?/ ?{told['Pages']}\b", text), text
        assert answers or ("Right is" not in text and " = " not in text)
    subprocess.run([tool("qpdf"), "--check", str(file)], check=True, capture_output=True)
    objects = json.loads(said(tool("qpdf"), "--json=2", str(file)))["qpdf"][1]
    values = [each["value"] for each in objects.values() if isinstance(each.get("value"), dict)]
    (catalog,) = (value for value in values if value.get("/Type") == "/Catalog")
    assert catalog["/Lang"] == "u:en" and "/Outlines" in catalog and catalog["/ViewerPreferences"]["/DisplayDocTitle"]
    figures = [value for value in values if value.get("/S") == "/Figure"]
    assert len(figures) == 2 and all(len(value["/Alt"]) > 40 for value in figures)


def test_the_same_page_makes_the_same_pdf() -> None:
    """Printed twice, bytes and all; and no day of printing is in it."""
    first = printed("hall_clock", 1, False, "a4")
    assert first == pdf(page_of("hall_clock", 1, False, "a4")) and first.count(b"D:19800101000000") == 2
