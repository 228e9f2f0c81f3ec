"""The page of parts in a browser: what is pointed at is marked in the drawings, and every anchor leads to its part."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable

from playwright.sync_api import Page

from tests.conftest import BuiltSite

Opener = Callable[..., Page]
PAGE = "pocket_watch/parts.html"


def test_every_anchor_is_there_once(built_site: BuiltSite) -> None:
    """On each page of parts no id stands twice, every part drawn beside the tree has a node, links lead to nodes."""
    pages = [path for path in built_site.pages if path.endswith("/parts.html")]
    assert len(pages) >= 5
    for path in pages:
        html = built_site.files[path].decode()
        ids = re.findall(r'\sid="([^"]+)"', html)
        assert [one for one, count in Counter(ids).items() if count > 1] == [], path
        nodes = set(re.findall(r'<li id="([^"]+)"', html))
        assert set(re.findall(r'data-part="([^"]+)"', html)) <= nodes, path
        assert set(re.findall(r'<a href="#([^"]+)"', html)) - {"main"} <= nodes, path


def marked(page: Page) -> set[str]:
    """Parts marked in the drawings."""
    found = page.locator("svg.drawing .part.marked").evaluate_all("all => all.map(one => one.dataset.part)")
    return set(found)


def test_what_is_pointed_at_or_focused_is_marked_in_both_drawings(open_page: Opener) -> None:
    """By pointer and by keyboard; a feature marks the part that it belongs to."""
    page = open_page(PAGE, width=1440, height=900)
    page.locator("#balance > details > summary").hover()
    assert marked(page) == {"balance"}
    drawings = page.locator(".plate:has(.part.marked)").evaluate_all("all => all.map(one => one.dataset.drawing)")
    assert {"train-front", "side-view"} <= set(drawings)
    page.mouse.move(0, 0)
    page.locator("#centre-arbor > details > summary").focus()
    assert marked(page) == {"centre-arbor"}
    page.keyboard.press("Enter")  # opens it
    page.locator("#centre-wheel > details > summary").focus()
    assert marked(page) == {"centre-wheel"}
    page.keyboard.press("Enter")
    page.locator("#centre-wheel-teeth > details > summary").focus()
    assert marked(page) == {"centre-wheel"}


def test_a_link_opens_the_way_to_its_part(open_page: Opener) -> None:
    """An address that names a part deep in the tree, and a link within it, bring that part into sight."""
    page = open_page(f"{PAGE}#balance-staff-pivots", width=1440, height=900)
    assert page.locator("#balance-staff-pivots > details > summary").is_visible()
    page = open_page(PAGE)
    assert not page.locator("#centre-wheel").is_visible()
    page.locator("#third-arbor > details > summary").click()
    page.locator("#third-pinion > details > summary").click()
    page.locator("#third-pinion a[href='#centre-wheel']").first.click()
    assert page.locator("#centre-wheel > details > summary").is_visible()


def test_without_script_the_tree_opens(open_page: Opener) -> None:
    """The tree needs no script: assemblies stand open, parts open by a key."""
    page = open_page(PAGE, script=False)
    assert page.locator("#mainspring > details > summary").is_visible()
    page.locator("#mainspring > details > summary").press("Enter")
    assert page.locator("#inner-end > details > summary").is_visible()
