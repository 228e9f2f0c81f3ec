"""Two movements side by side, opened from disk."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from builder.going.facts import facts
from tests.browser.pages_helper import address, barriers, overhanging, watched
from tests.conftest import BuiltSite
from tests.solved import demo

Opener = Callable[..., Page]


@pytest.fixture
def opened(browser: Browser, built_site: BuiltSite) -> Iterator[Opener]:
    """`opened(after)` opens the page and waits for its drawings; `after` stands after the file's name."""
    with ExitStack() as stack:
        troubles: list[str] = []

        def open_page(after: str = "", **view: Any) -> Page:
            page = stack.enter_context(watched(browser, built_site.folder, troubles, **view))
            page.goto(address(built_site.folder, f"compare.html{after}"), wait_until="load")
            if view.get("script", True):
                page.wait_for_selector("[data-row=oscillator] svg.drawing >> nth=1")
            return page

        yield open_page
        assert troubles == []


def drawn(page: Page, row: str) -> list[str]:
    """Ids of the drawings' titles in a row, from left to right."""
    return page.locator(f"[data-row={row}] svg.drawing > title").evaluate_all("nodes => nodes.map(node => node.id)")


def headings(page: Page) -> list[str]:
    """Names over the columns that are seen, from left to right."""
    cells = [cell for cell in page.locator("thead th[data-of]").all() if cell.is_visible()]
    return [cell.inner_text().strip() for cell in cells]


def choose(page: Page, side: str, slug: str) -> None:
    page.locator(f"select[name={side}]").select_option(slug)
    page.wait_for_selector(
        f"[data-row=oscillator] svg.drawing > title[id^={slug.replace('_', '-')}], title[id^={slug}]", state="attached"
    )


def test_two_movements_as_the_address_says(opened: Opener) -> None:
    """Left and right, in every row of drawings and in the table; each drawing has ids of its own."""
    page = opened("#pocket_watch&hall_clock")
    for row, name in (("train", "train-front"), ("escapement", "escapement"), ("oscillator", "oscillator")):
        assert drawn(page, row) == [f"pocket_watch-{name}-title", f"hall_clock-{name}-title"]
    assert headings(page) == ["Pocket watch", "Hall clock"]
    ids = page.evaluate("[...document.querySelectorAll('[id]')].map(node => node.id)")
    assert len(ids) == len(set(ids))


def test_one_clock_runs_both(opened: Opener) -> None:
    """At any moment both minute hands stand alike, and each escape wheel as its own beat has it: one clock drives the row."""
    page = opened("#pocket_watch&hall_clock", still=True)
    name = page.locator("[data-row=train] figure").get_attribute("data-drawing")
    for t_s in (0, 900, 3600 * 7 + 55):
        page.evaluate("([name, t]) => betweenPlates.time(name, t)", [name, t_s])
        turned = page.locator("[data-row=train] svg.drawing").evaluate_all(
            """drawings => drawings.map(svg => [...svg.querySelectorAll("g.m")].map(node => node.getAttribute("transform"))
                 .filter(text => text?.startsWith("rotate(")).map(text => parseFloat(text.slice(7)) % 360))"""
        )
        hand = t_s / 10 % 360
        for angles in turned:
            assert any(abs((angle - hand + 180) % 360 - 180) < 0.3 for angle in angles), (t_s, angles)


def test_another_choice_goes_on_at_the_same_moment(opened: Opener) -> None:
    """Another movement comes in the place of the one before: same time, same speed, still standing; the address says which."""
    page = opened("#pocket_watch&hall_clock", still=True)
    before = page.locator("[data-row=train] figure").get_attribute("data-drawing")
    page.evaluate("name => { betweenPlates.time(name, 4000); betweenPlates.speed(name, 60); }", before)
    choose(page, "right", "shop_regulator")
    name = page.locator("[data-row=train] figure").get_attribute("data-drawing")
    assert name != before and page.locator("[data-row=train] figure").count() == 1
    assert page.evaluate("name => [betweenPlates.time(name), betweenPlates.running(name), betweenPlates.speed(name)]", name) == [
        4000, False, 60,
    ]  # fmt: skip
    assert page.url.endswith("#pocket_watch&shop_regulator") and headings(page) == ["Pocket watch", "Shop regulator"]
    page.reload()
    page.wait_for_selector("[data-row=oscillator] svg.drawing >> nth=1")
    assert headings(page) == ["Pocket watch", "Shop regulator"]


def test_a_movement_is_not_compared_with_itself(opened: Opener) -> None:
    """Chosen on both sides, the two change places."""
    page = opened("#pocket_watch&hall_clock")
    page.locator("select[name=left]").select_option("hall_clock")
    assert page.evaluate("[...document.querySelectorAll('select')].map(node => node.value)") == ["hall_clock", "pocket_watch"]


@pytest.mark.parametrize("after", ["", "#nothing&at_all", "#hall_clock", "#hall_clock&hall_clock"])
def test_an_address_that_says_less_is_filled_up(opened: Opener, after: str) -> None:
    """There are always two."""
    page = opened(after)
    assert len(headings(page)) == 2 and len(drawn(page, "train")) == 2


def test_the_figures_are_those_of_the_movements(opened: Opener) -> None:
    """What stands in a row is the movement's figure, in the column of its name, and leads to it with its formula."""
    page = opened("#shop_regulator&pocket_watch")
    for place, slug in enumerate(("shop_regulator", "pocket_watch")):
        known = {fact.kind: fact.said for fact in facts(demo(slug)) if fact.state in (None, "wound")}
        for label, kind in (
            ("Amplitude, each way", "amplitude"),
            ("Beats an hour", "beats_per_hour"),
            ("Goes for", "going_hours"),
        ):
            cells = page.locator(f"tr:has(> th:text-is('{label}')) td")
            seen = [cell for cell in cells.all() if cell.is_visible()]
            assert seen[place].inner_text() == known[kind]
            href = seen[place].locator("a").get_attribute("href") or ""
            assert href.startswith(f"{slug}/figures.html#")
    assert page.locator("tbody tr").count() >= 24


def test_a_row_marks_what_it_is_of_in_both_drawings(opened: Opener) -> None:
    """By pointer and by focus a row of figures marks its parts left and right; a part in one drawing marks its like in the
    other; away from all, nothing is marked."""
    page = opened("#hall_clock&pocket_watch", still=True)

    def marked(row: str) -> list[int]:
        return page.locator(f"[data-row={row}] svg.drawing").evaluate_all(
            "drawings => drawings.map(svg => svg.querySelectorAll('.marked').length)"
        )

    assert marked("oscillator") == [0, 0]
    page.locator("tr:has(> th:text-is('Amplitude, each way'))").hover()
    assert all(marked("oscillator")) and marked("escapement") != [0, 0]
    page.locator("tr:has(> th:text-is('Lift'))").focus()
    assert all(marked("escapement")) and marked("oscillator") != [0, 0]
    assert (
        page.locator("[data-row=escapement] .marked")
        .evaluate_all("parts => parts.map(part => part.dataset.part)")
        .count("pallets")
        == 2
    )
    page.evaluate("document.activeElement.blur()")
    page.locator("h1").hover()
    assert marked("train") == marked("escapement") == marked("oscillator") == [0, 0]
    page.locator("[data-row=train] svg.drawing [data-part='escape-wheel']").first.dispatch_event("pointerover")
    assert all(marked("train"))


def test_by_keyboard(opened: Opener) -> None:
    """Both choices and every control can be reached and used by Tab and arrow keys; choosing keeps the focus."""
    page = opened("#hall_clock&pocket_watch", still=True)
    page.locator("select[name=left]").focus()
    first = page.locator("select[name=left]").input_value()
    page.keyboard.press("ArrowDown")
    assert page.evaluate("document.activeElement.name") == "left"
    chosen = page.locator("select[name=left]").input_value()
    assert chosen != first
    page.wait_for_selector(f"[data-row=oscillator] svg.drawing > title[id^={chosen}]", state="attached")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.name") == "right"
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.dataset.do") == "run"


@pytest.mark.parametrize("view", [{}, {"dark": True}, {"width": 320, "height": 640}], ids=["light", "dark", "narrow"])
def test_no_barriers_with_the_drawings_there(opened: Opener, view: dict[str, Any]) -> None:
    """axe finds nothing once the drawings have come, and nothing is wider than the screen."""
    page = opened("#schoolroom_dial&shelf_timepiece", **view)
    assert barriers(page) == [] and overhanging(page) == []


def test_without_script_all_movements_stand_in_one_table(opened: Opener, built_site: BuiltSite) -> None:
    """Every movement has its column, with its picture and its name."""
    page = opened(script=False)
    slugs = {path.partition("/")[0] for path in built_site.pages if path.endswith("/index.html")}
    assert len(headings(page)) == len(slugs) >= 5
    assert all(image.is_visible() for image in page.locator("thead img").all())
    assert not page.locator(".choose").is_visible() and not page.locator("[data-row]").first.is_visible()
