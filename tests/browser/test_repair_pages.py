"""A repair's pages in a browser: both sides move under one player, two sheets of A4, and a file that needs nothing else."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from builder.pages.lesson import LIMIT
from tests.browser.pages_helper import barriers, opened
from tests.conftest import BuiltSite
from tests.packs.test_repair import DAY, hall, packed

SHELF = "shelf_timepiece/repairs/2026-05-09"
HALL = "hall_clock/repairs/2026-03-14"
TURNED = (
    """slug => [...document.querySelectorAll(`svg[aria-labelledby^=${slug}] .m`)].map(one => one.getAttribute("transform"))"""
)


def both_move(page: Page) -> tuple[bool, bool]:
    """Whether something in the drawing before, and in that after, has another place after some frames."""
    found = []
    start = {slug: page.evaluate(TURNED, f"{slug}-oscillator") for slug in ("before", "after")}
    time.sleep(0.4)
    for slug, was in start.items():
        assert was, f"the drawing {slug} has parts that can move"
        found.append(page.evaluate(TURNED, f"{slug}-oscillator") != was)
    return found[0], found[1]


def running(page: Page) -> None:
    """Wait for the player, the pair in sight."""
    page.locator("[data-drawing=repair-running]").scroll_into_view_if_needed()
    page.wait_for_function("window.betweenPlates && betweenPlates.lead() === 'repair-running'")


def test_before_and_after_move_under_one_player(open_page: Callable[..., Page]) -> None:
    """One set of controls runs and stops both; both keep one time."""
    page = open_page(f"{SHELF}.html")
    running(page)
    figure = page.locator("[data-drawing=repair-running]")
    assert figure.locator(".controls").count() == 1 and figure.locator("svg.drawing").count() == 2
    assert both_move(page) == (True, True)
    figure.locator("[data-do=run]").click()
    assert both_move(page) == (False, False)


def test_what_stands_stands_and_the_mended_one_goes(open_page: Callable[..., Page]) -> None:
    """The hall clock as it was found does not move; as it left the bench it does; without script too it can be held still."""
    page = open_page(f"{HALL}.html")
    running(page)
    assert both_move(page) == (False, True)
    still = open_page(f"{HALL}.html", still=True)
    still.wait_for_function("window.betweenPlates")
    assert not still.evaluate("betweenPlates.running('repair-running')")


@pytest.mark.parametrize(("paper", "size"), [("A4", (595.3, 841.9)), ("Letter", (612.0, 792.0))])
@pytest.mark.parametrize("path", [SHELF, HALL])
def test_a_customer_page_prints_on_two_sheets(
    open_page: Callable[..., Page], tmp_path: Path, path: str, paper: str, size: tuple[float, float]
) -> None:
    """A4 (ISO 216) or Letter, as the reader has it, counted by poppler; every finding and the readings are on them."""
    counter, reader = (shutil.which(name) for name in ("pdfinfo", "pdftotext"))
    if counter is None or reader is None:
        assert "CI" not in os.environ, "poppler is missing"
        pytest.skip("poppler is missing")
    page = open_page(f"{path}.html")
    page.wait_for_function("window.betweenPlates")
    titles = page.locator(".findings h3").all_inner_texts()
    printed = tmp_path / "repair.pdf"
    page.pdf(path=printed, format=paper, prefer_css_page_size=True, print_background=True)
    told = subprocess.run([counter, printed], capture_output=True, text=True, check=True).stdout
    assert re.search(r"Pages:\s+[12]\n", told), told
    width, height = (float(n) for n in re.findall(r"Page size:\s+([\d.]+) x ([\d.]+)", told)[0])
    assert (width, height) == pytest.approx(size, abs=1.5)
    text = subprocess.run([reader, printed, "-"], capture_output=True, text=True, check=True).stdout
    plain = re.sub(r"\s+", "", text)
    for title in titles:
        assert re.sub(r"\s+", "", title) in plain


def test_the_file_to_send_needs_nothing(browser: Browser, tmp_path: Path) -> None:
    """Alone in a folder: quiet, no request, no barrier, both sides move, the picture is inside, no link but the licence's."""
    made = packed(hall(), DAY)
    assert len(made.data) <= LIMIT and made.name == "hall_clock-2026-03-14.html" and not made.said
    (tmp_path / made.name).write_bytes(made.data)
    with opened(browser, tmp_path, made.name) as page:
        running(page)
        assert both_move(page) == (False, True)
        assert page.evaluate("[...document.images].every(one => one.complete && one.naturalWidth > 0)")
        assert page.locator(".photo img").count() == 1
        links = page.evaluate("[...document.links].map(one => one.getAttribute('href')).filter(href => !href.startsWith('#'))")
        assert all("license" in each or "licence" in each or "creativecommons" in each for each in links) and len(links) == 1
        assert barriers(page) == []


def test_a_movement_leads_to_its_repairs(open_page: Callable[..., Page], built_site: BuiltSite) -> None:
    """From the overview by the station, from there to the customer's page, to the bench, and back."""
    page = open_page("hall_clock/index.html")
    page.locator("nav.path a", has_text="Repairs").click()
    page.locator("ol.repairs a").first.click()
    assert page.url.endswith(f"{HALL}.html")
    page.locator(".ways-on a").first.click()
    assert page.url.endswith(f"{HALL}-bench.html")
    page.locator(".ways-on a").last.click()
    page.locator("a", has_text="What wear looks like").click()
    assert page.url.endswith("/wear.html")
    assert f"{HALL}.html" in built_site.files
