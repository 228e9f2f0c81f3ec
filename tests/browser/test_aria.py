"""What a page is to somebody who does not see it: landmarks, headings and controls, kept as text in tests/browser/aria/.

Where a page was changed on purpose, write its file anew (`make aria`, with BETWEEN_PLATES_ARIA=write) and read what differs.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.pages_helper import opened
from tests.conftest import BuiltSite

KEPT = Path(__file__).parent / "aria"

PAGES = {
    "shelf": "index.html",
    "terms": "terms.html",
    "compare": "compare.html",
    "bench-sums": "bench-sums.html",
    "computing": "computing.html",
    "overview": "pocket_watch/index.html",
    "train": "pocket_watch/train.html",
    "escapement": "pocket_watch/escapement.html",
    "motion-work": "pocket_watch/motion-work.html",
    "figures": "pocket_watch/figures.html",
    "parts": "pocket_watch/parts.html",
    "taking-down": "pocket_watch/taking-down.html",
    "self-test": "pocket_watch/self-test.html",
    "chapter": "pocket_watch/learn-escapement.html",
}
"""A page of each main kind, all of one movement."""

ROLES = {
    "banner", "navigation", "main", "contentinfo", "complementary", "search", "form", "region", "heading", "figure", "table",
    "img", "button", "slider", "checkbox", "radio", "combobox", "textbox", "searchbox", "spinbutton", "group", "timer",
    "status", "graphics-document", "alert", "dialog", "tree", "tab",
}  # fmt: skip
"""What is kept; text, lists, links in text and cells are for other tests."""

LINE = re.compile(r"^(\s*)- (?:'|\")?([a-z-]+)(.*)$")


def outline(snapshot: str) -> str:
    """The landmarks, headings and controls of a snapshot, in its order; a line that repeats is told once, figures as #."""
    told: list[str] = []
    for line in snapshot.split("\n"):
        found = LINE.match(line)
        if not found or found[2] not in ROLES:
            continue
        name = re.match(r'\s+"(?:[^"\\]|\\.)*"', found[3])
        level = re.search(r"\[level=\d\]", found[3])
        said = re.sub(r"\d+(?:[.,\u202f]\d+)*", "#", name[0]) if name else ""
        text = f"{found[2]}{said}{' ' + level[0] if level else ''}"
        if not told or told[-1] != text:
            told.append(text)
    return "\n".join(told) + "\n"


@pytest.mark.parametrize("kind", PAGES)
def test_landmarks_headings_and_controls(browser: Browser, built_site: BuiltSite, kind: str) -> None:
    """They are what they were: names, levels, order, as the browser hands them to a screen reader."""
    with opened(browser, built_site.folder, PAGES[kind], still=True) as page:
        if kind == "compare":
            page.wait_for_selector("[data-row=oscillator] svg.drawing >> nth=1")
        found = outline(page.locator("body").aria_snapshot())
    kept = KEPT / f"{kind}.txt"
    if os.environ.get("BETWEEN_PLATES_ARIA") == "write":
        KEPT.mkdir(exist_ok=True)
        kept.write_text(found, "utf-8")
    assert found == kept.read_text("utf-8")


def test_every_page_has_its_landmarks() -> None:
    """One main part, one heading of the first level, a banner and a foot, in each kept page."""
    assert {path.stem for path in KEPT.glob("*.txt")} == PAGES.keys()
    for path in KEPT.glob("*.txt"):
        lines = path.read_text("utf-8").split("\n")
        for role in ("banner", "main", "contentinfo"):
            assert lines.count(role) == 1, (path.stem, role)
        assert sum("[level=1]" in line for line in lines) == 1, path.stem


def test_what_changes_is_noticed() -> None:
    """Negative control: a heading of another level, a button without its name; but not another figure."""
    before = '- main:\n  - heading "Pocket watch" [level=1]\n  - button "Stop"\n  - paragraph: It beats 18000.\n  - img "No. 12"'
    assert outline(before) == 'main\nheading "Pocket watch" [level=1]\nbutton "Stop"\nimg "No. #"\n'
    assert outline(before.replace("level=1", "level=2")) != outline(before)
    assert outline(before.replace('"Stop"', '""')) != outline(before)
    assert outline(before.replace("12", "13")) == outline(before)
