"""The lesson in one file, carried away from the site and opened by a double click."""

from __future__ import annotations

import shutil
from pathlib import Path

from playwright.sync_api import Browser

from tests.browser.pages_helper import opened, until
from tests.conftest import BuiltSite
from tests.packs.platform_packs import made


def test_it_works_alone(browser: Browser, built_site: BuiltSite, tmp_path: Path) -> None:
    """In an empty folder, with nothing asked of anyone: drawings unpack and run, anchors lead, a row marks its part."""
    shutil.copy(built_site.folder / "pocket_watch" / "lesson.html", tmp_path / "lesson.html")
    with opened(browser, tmp_path, "lesson.html#oscillator") as page:
        until(page, "window.betweenPlates?.lead()")
        assert page.locator("[data-packed] > .note").count() == 0
        box = page.locator("#oscillator").bounding_box()
        assert box and abs(box["y"]) < 60, "the anchor's section is in sight"
        page.locator("#plate-escapement").scroll_into_view_if_needed()
        until(page, "betweenPlates.lead() === 'escapement'")
        assert page.evaluate("betweenPlates.running('escapement')")
        before = page.evaluate("betweenPlates.time('escapement')")
        until(page, f"betweenPlates.time('escapement') > {before}")
        row = page.locator("#escapement tr[data-part]").first
        row.hover()
        part = row.get_attribute("data-part")
        assert page.locator(f"#plate-escapement .marked[data-part={part}]").count() > 0
        page.locator("nav a", has_text="Power").click()
        assert page.evaluate("location.hash") == "#power"


def test_without_script_the_words_are_there(browser: Browser, built_site: BuiltSite, tmp_path: Path) -> None:
    """Without script every section has its heading and its tables, and packed drawings say what they need."""
    shutil.copy(built_site.folder / "pocket_watch" / "lesson.html", tmp_path / "lesson.html")
    with opened(browser, tmp_path, "lesson.html", script=False) as page:
        assert page.locator(".station h2").count() >= page.locator(".station").count() > 4
        assert page.locator(".station table").first.is_visible()
        assert "scripts" in page.locator("[data-packed] > .note").first.inner_text()


def test_a_chapter_works_alone(browser: Browser, tmp_path: Path) -> None:
    """Nothing of the site beside it, nothing asked of anyone: its drawing runs, and its steps lead the drawing."""
    (tmp_path / "chapter.html").write_bytes(made("lesson", "--chapter", "escapement").data)
    with opened(browser, tmp_path, "chapter.html", height=2000) as page:
        until(page, "window.betweenPlates?.lead()")
        before = page.evaluate("betweenPlates.time('escapement')")
        until(page, f"betweenPlates.time('escapement') > {before}")
        assert page.locator("h1").count() == 1
        assert page.locator("[data-drawing=escapement] .marked").count() > 0, "the first step marks its part"
        ways_out = page.locator("a[href]:not([href^='#'])")
        assert [ways_out.nth(n).get_attribute("rel") for n in range(ways_out.count())] == ["license external"]
