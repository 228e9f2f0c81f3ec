"""Every page of the demo site, opened from disk: quiet, self-contained, without barriers, and never wider than the screen.

Barriers are what axe-core finds by the rules of WCAG 2.2 AA and its own good practice; 320 CSS px is the width of
WCAG 2.2, criterion 1.4.10 (reflow).
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

from tests.browser.pages_helper import Look, address, barriers, overhanging, watched
from tests.conftest import BuiltSite

VIEWS: dict[str, tuple[Look, dict[str, Any]]] = {
    "narrow": ("all but colours", {"width": 320, "height": 640}),
    "wide and light": ("all", {}),
    "wide and dark": ("colours", {"dark": True}),
}
"""What is looked for, and how the page is seen. Every page is seen in the first view, where most can go wrong; colours and wide
layout come with the kind of page, so of each kind there is one in the others."""
SHARES = {"narrow": 6, "wide and light": 2, "wide and dark": 2}
"""Pages are known only once the site is built, so each view is tested in shares that workers take side by side."""


def one_of_each_kind(site: BuiltSite) -> list[str]:
    """Of the pages with one name and so one template, the fullest."""
    fullest: dict[str, str] = {}
    for path in sorted(site.pages, key=lambda path: len(site.files[path])):
        fullest[path if "/" not in path else path.partition("/")[2]] = path
    return sorted(fullest.values())


def faults(browser: Browser, folder: Path, pages: list[str], named: str) -> list[str]:
    """All that is wrong with the pages in one view, each fault with its page."""
    found = []
    look, view = VIEWS[named]
    troubles: list[str] = []
    with watched(browser, folder, troubles, **view) as page:
        for path in pages:
            page.goto(address(folder, path), wait_until="load")
            found += [f"{path}: {fault}" for fault in (*troubles, *barriers(page, look), *overhanging(page))]
            troubles.clear()
    return found


@pytest.mark.parametrize(("view", "share"), [(view, share) for view, shares in SHARES.items() for share in range(shares)])
def test_every_page(browser: Browser, built_site: BuiltSite, view: str, share: int) -> None:
    """No complaint on the console, no request elsewhere, no barrier, no scrolling sideways."""
    pages = built_site.pages if view == "narrow" else one_of_each_kind(built_site)
    found = faults(browser, built_site.folder, pages[share :: SHARES[view]], view)
    assert not found, "\n".join(found)


def test_every_page_without_script(browser: Browser, built_site: BuiltSite) -> None:
    """Without script too a page asks for nothing elsewhere and complains of nothing, and has its main heading."""
    troubles: list[str] = []
    with watched(browser, built_site.folder, troubles, script=False) as page:
        for path in one_of_each_kind(built_site):
            page.goto(address(built_site.folder, path), wait_until="load")
            if not page.locator("h1").first.is_visible():
                troubles.append("no main heading is seen")
            assert troubles == [], path


SOUND = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>The train</title>
<meta name="viewport" content="width=device-width"><meta name="color-scheme" content="light dark">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'self'; img-src 'self'; script-src 'self'">
<link rel="stylesheet" href="site.css"><script src="site.js" defer></script></head>
<body><main><h1>The train</h1><p>Four arbors.</p><img src="a.svg" alt="A wheel"> MORE </main></body></html>"""
FILES = {
    "site.css": "p{max-width:60ch} @media (prefers-color-scheme:dark){.murky{color:#555;background:#333}}",
    "site.js": "document.querySelector('h1').dataset.seen = 'yes';",
    "a.svg": '<svg xmlns="http://www.w3.org/2000/svg" width="90" height="90"/>',
    "loud.js": "setTimeout(nowhere, 0);",
}


@pytest.fixture
def made(tmp_path: Path) -> Path:
    for name, text in FILES.items():
        (tmp_path / name).write_text(text)
    return tmp_path


def test_a_sound_page_has_no_faults(browser: Browser, made: Path) -> None:
    """A small page made by hand, with the policy that the site's pages carry, passes in every view."""
    (made / "page.html").write_text(SOUND)
    for view in VIEWS:
        assert faults(browser, made, ["page.html"], view) == []


@pytest.mark.parametrize(
    ("more", "view", "fault"),
    [
        ('<img src="a.svg">', "wide and light", "image-alt (critical)"),
        ('<p style="color:#ccc">pale</p>', "wide and light", "console: "),
        ('<p class="murky">dark</p>', "wide and dark", "color-contrast (serious)"),
        ("<h4>skips</h4>", "wide and light", "heading-order (moderate)"),
        ('<button class="x"></button>', "narrow", "button-name (critical)"),
        ('<svg width="400" height="9" aria-hidden="true"></svg>', "narrow", "the page is 4"),
        ('<img src="https://clock.example/a.png" alt="a">', "wide and light", "asks for https://clock.example/a.png"),
        ('<img src="gone.svg" alt="a">', "wide and light", "could not load"),
        ('<img src="../outside.svg" alt="a">', "wide and light", "asks for file:"),
        ('<script src="loud.js"></script>', "wide and light", "script: "),
        ("<script>1</script>", "wide and light", "Content Security Policy"),
    ],
)
def test_faults_are_found(browser: Browser, made: Path, more: str, view: str, fault: str) -> None:
    """Negative control: one fault put into the sound page is named, with the page."""
    (made / "page.html").write_text(SOUND.replace("MORE", more))
    found = faults(browser, made, ["page.html"], view)
    assert any(one.startswith("page.html: ") and fault in one for one in found), found
