"""The catalogue of drawings: what a teacher chooses shows in the frame and stands in the lines to copy."""

from __future__ import annotations

import html
import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from tests.browser.pages_helper import until

PAGE = "pocket_watch/for-class.html"


def lines(page: Page) -> dict[str, str]:
    """The attributes of the frame in the lines to copy, as a browser reads them."""
    text = page.locator("#snippet").input_value()
    return {name: html.unescape(value) for name, value in re.findall(r'([a-z]+)="([^"]*)"', text)}


def test_what_is_chosen_is_seen_and_copied(open_page: Callable[..., Page]) -> None:
    """What is chosen shows in the frame and stands in the lines, whose height is the drawing's own."""
    page = open_page(PAGE, width=1440, height=900)
    page.locator("[name=drawing]").select_option("escapement")
    page.locator("[name=mark]").select_option(index=1)
    part = page.locator("[name=mark]").input_value()
    page.locator("[name=speed]").select_option("0.02")
    page.locator("[name=labels]").uncheck()
    page.locator("[name=start]").check()
    until(page, "!document.querySelector('iframe').src.includes('escapement') || document.querySelector('iframe').height > 400")
    told = lines(page)
    assert told["src"] == f"escapement.html#mark={part}&speed=0.02&labels=off&start=still"
    assert told["sandbox"] == "allow-scripts allow-popups"
    inner = next(frame for frame in page.frames if "embed/" in frame.url)
    until(page, "document.querySelector('#snippet').value.includes('height=\"' + document.querySelector('iframe').height)")
    assert inner.url.endswith(told["src"])
    inner.locator("[data-drawing=escapement].led").wait_for()
    assert inner.locator(f".marked[data-part={part}]").count() > 0
    assert "one fiftieth" in inner.locator(".state").inner_text()
    assert inner.locator(".running").count() == 0


def test_what_a_drawing_cannot_do_is_not_offered(open_page: Callable[..., Page]) -> None:
    """Where nothing moves there is neither speed nor start to choose, and its parts are those of its own table."""
    page = open_page(PAGE)
    page.locator("[name=drawing]").select_option("power-flow")
    assert [page.locator(f"[data-choice={name}]").is_visible() for name in ("speed", "start", "winding", "mark")] == [
        False, False, True, True,
    ]  # fmt: skip
    page.locator("[name=winding]").select_option("nearly-down")
    assert lines(page)["src"] == "power-flow.html#winding=nearly-down"
    assert page.locator(".whole").get_attribute("href") == "embed/power-flow.html"


@pytest.mark.parametrize("script", [True, False])
def test_every_drawing_can_be_taken(open_page: Callable[..., Page], script: bool) -> None:
    """With script or without, every drawing has its picture and its files, and there are lines to copy."""
    page = open_page(PAGE, script=script)
    entries = page.locator(".stills li")
    assert entries.count() > 8
    assert all(entries.nth(n).locator("a").count() in (2, 3) for n in range(entries.count()))
    assert lines(page)["src"] == "train-front.html"
    assert page.locator("form.options").is_visible() == script
