"""Chapters in a browser: each step of the text leads its drawing, by scrolling or by keyboard; without script all is there."""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from itertools import pairwise

import pytest
from playwright.sync_api import Page

ESCAPEMENT = "hall_clock/learn-escapement.html"
TRAIN = "hall_clock/learn-train.html"

Opener = Callable[..., Page]


def wait_until(page: Page, expression: str) -> None:
    """Playwright's own waiting needs eval, which the pages' policy forbids."""
    for _ in range(150):
        if page.evaluate(expression):
            return
        time.sleep(0.02)
    raise AssertionError(f"never: {expression}")


def now(page: Page) -> int:
    """The number of the step that leads, from 0."""
    return page.evaluate("[...document.querySelectorAll('.step')].findIndex(step => step.querySelector('[aria-current=step]'))")


def asked(page: Page, n: int) -> dict:
    return json.loads(page.locator(".step").nth(n).get_attribute("data-show") or "")


def marked(page: Page) -> set[str]:
    return set(page.evaluate("[...document.querySelectorAll('.drawing .marked')].map(node => node.dataset.part)"))


def press(page: Page, n: int) -> None:
    page.locator(".step h2 a").nth(n).press("Enter")


def t_s(page: Page) -> float:
    return page.evaluate("betweenPlates.time(document.querySelector('.chapter').dataset.drawing)")


def running(page: Page) -> bool:
    return page.evaluate("betweenPlates.running(document.querySelector('.chapter').dataset.drawing)")


def test_the_first_step_leads_at_first(open_page: Opener) -> None:
    """Opened, a chapter shows what its first step says, running."""
    page = open_page(ESCAPEMENT)
    assert now(page) == 0
    first = asked(page, 0)
    assert marked(page) == set(first["mark"])
    assert first["from"] - 1e-6 <= t_s(page) <= first["to"] + 1e-6
    assert running(page)
    assert "one tenth of real speed" in page.locator(".state").first.inner_text()


def test_a_step_pressed_leads(open_page: Opener) -> None:
    """By keyboard: marks, speed and time are those of the step, its number says so, and the page does not jump."""
    page = open_page(ESCAPEMENT)
    page.locator(".step h2 a").nth(2).focus()
    at = page.evaluate("scrollY")
    page.keyboard.press("Enter")
    page.wait_for_timeout(100)
    assert now(page) == 2
    third = asked(page, 2)
    assert marked(page) == {"escape-wheel"} == set(third["mark"])
    assert third["from"] <= t_s(page) <= third["to"] + 1e-6
    assert "one five-hundredth of real speed" in page.locator(".state").first.inner_text()
    assert page.evaluate("location.hash") == "" and page.evaluate("scrollY") == at


def test_a_span_is_shown_again_and_again(open_page: Opener) -> None:
    """It runs to its end, stands there a second, and begins anew; it never leaves the span."""
    page = open_page(ESCAPEMENT)
    press(page, 2)
    third, seen = asked(page, 2), []
    for _ in range(60):
        seen.append(t_s(page))
        page.wait_for_timeout(100)
    assert all(third["from"] - 1e-9 <= t <= third["to"] + 1e-9 for t in seen)
    assert any(b < a for a, b in pairwise(seen)), "begins anew"
    assert seen.count(pytest.approx(third["to"], abs=1e-9)) >= 4, "stands at its end"


def test_scrolling_leads(open_page: Opener) -> None:
    """Read down to the end, every step has its turn, in order; back at the top the first leads again."""
    page = open_page(TRAIN)
    steps, met = page.locator(".step").count(), []
    height = page.evaluate("document.documentElement.scrollHeight - innerHeight")
    for n in range(41):
        page.evaluate(f"scrollTo(0, {height * n / 40})")
        page.wait_for_timeout(40)
        met.append(now(page))
    assert met == sorted(met) and set(met) == set(range(steps))
    page.evaluate("scrollTo(0, 0)")
    wait_until(page, "document.querySelector('.step a').hasAttribute('aria-current')")


def test_scrolling_leads_on_a_narrow_screen(open_page: Opener) -> None:
    """On a phone the drawing stays in sight above the step that leads, and every step has its turn."""
    page = open_page(TRAIN, width=390, height=844)
    steps, met = page.locator(".step").count(), set()
    height = page.evaluate("document.documentElement.scrollHeight - innerHeight")
    for n in range(61):
        page.evaluate(f"scrollTo(0, {height * n / 60})")
        page.wait_for_timeout(40)
        met.add(now(page))
        if 10 < n < 40:
            box = page.locator(".sheet").bounding_box()
            assert box and -1 <= box["y"] <= 844 - box["height"]
            assert box["height"] <= 0.5 * 844
    assert met == set(range(steps))


def test_lines_and_state_follow(open_page: Opener) -> None:
    """Construction lines come with the step that asks for them and go with the next; so does the state of winding."""
    page = open_page(TRAIN)
    with_lines = next(n for n in range(page.locator(".step").count()) if asked(page, n).get("lines"))
    press(page, with_lines)
    assert page.locator(".lines").is_checked()
    assert page.locator(".construction").first.is_visible()
    press(page, with_lines + 1)
    assert not page.locator(".lines").is_checked()
    page = open_page("pocket_watch/learn-oscillator.html")
    down = next(n for n in range(page.locator(".step").count()) if asked(page, n)["state"] == "nearly down")
    press(page, down)
    assert page.locator("input[value='nearly down']").is_checked()
    press(page, down + 1)
    assert page.locator("input[value=wound]").is_checked()


def test_who_stops_the_drawing_has_it_stand(open_page: Opener) -> None:
    """Stopped, it stands in the middle of what each further step shows, until it is started again."""
    page = open_page(ESCAPEMENT)
    page.locator("[data-do=run]").press("Enter")
    assert not running(page)
    press(page, 1)
    second = asked(page, 1)
    assert not running(page)
    assert t_s(page) == pytest.approx((second["from"] + second["to"]) / 2, abs=1e-6)
    assert marked(page) == set(second["mark"])
    page.locator("[data-do=run]").press("Enter")
    press(page, 2)
    assert running(page)


def test_reduced_motion_starts_still(open_page: Opener) -> None:
    """It stands from the first step on; marks and moments still follow the text."""
    page = open_page(ESCAPEMENT, still=True)
    assert not running(page)
    press(page, 3)
    fourth = asked(page, 3)
    assert not running(page)
    assert t_s(page) == pytest.approx((fourth["from"] + fourth["to"]) / 2, abs=1e-6)
    assert marked(page) == set(fourth["mark"])


def test_a_part_of_the_readers_own_goes_first(open_page: Opener) -> None:
    """A part pointed at is marked alone; then the step's own marks are there again."""
    page = open_page(TRAIN)
    own = marked(page)
    page.locator(".drawing .part[data-part=escape-wheel]").first.dispatch_event("pointerover")
    assert marked(page) == {"escape-wheel"}
    page.locator("h1").dispatch_event("pointerover")
    assert marked(page) == own


def test_a_drawing_that_stands_is_led_too(open_page: Opener) -> None:
    """Where the power goes: nothing moves, the losses are marked as they are told."""
    page = open_page("pocket_watch/learn-losses.html")
    press(page, 2)
    assert marked(page) == set(asked(page, 2)["mark"])
    assert all(part.endswith("-pivots") for part in marked(page))


def test_without_script_all_is_there(open_page: Opener) -> None:
    """Every step can be read and reached by its own link, and the drawing moves by itself."""
    page = open_page(ESCAPEMENT, script=False)
    assert page.locator(".step p").first.is_visible()
    assert page.locator(".drawing animateTransform").count() > 0
    page.locator(".step h2 a").nth(3).click()
    assert page.url.endswith("#step-4")
    page.locator("summary").click()
    assert page.locator("details p").first.is_visible()


def test_numbers_are_large_enough_to_press(open_page: Opener) -> None:
    """Targets of at least 24 CSS px (WCAG 2.2, 2.5.8), also on a phone."""
    for width in (390, 1280):
        page = open_page(ESCAPEMENT, width=width)
        for box in page.locator(".step h2 a, summary, .turn a").all():
            size = box.bounding_box()
            assert size and min(size["width"], size["height"]) >= 24


def test_first_sight(open_page: Opener) -> None:
    """Without scrolling: the title, what it is about, the drawing, and the key that stops it."""
    for width, height in ((1440, 900), (390, 844)):
        page = open_page("hall_clock/learn-movement.html", width=width, height=height)
        for what in ("h1", ".lede", "svg.drawing", "[data-do=run]"):
            box = page.locator(what).first.bounding_box()
            assert box and box["y"] >= 0 and box["y"] + box["height"] <= height + 1, (what, width)


def test_words_are_found(open_page: Opener) -> None:
    """Typed words leave the entries that hold them all, also by another name; what is not there is said."""
    page = open_page("terms.html")
    box = page.get_by_label("Find a word")
    box.fill("roller jewel")
    seen = page.locator(".entry:visible dt").all_inner_texts()
    assert len(seen) == 1 and seen[0].startswith("impulse pin")
    assert page.locator("[role=status]").inner_text() == "Found: 1"
    box.fill("zeppelin")
    assert page.locator(".entry:visible").count() == 0
    assert page.locator("[role=status]").inner_text() == "No word here has that in it."
    box.fill("")
    assert page.locator(".entry:visible").count() == page.locator(".entry").count()


def test_terms_without_script(open_page: Opener) -> None:
    """The list is whole, its letters lead, and there is no box that does nothing."""
    page = open_page("terms.html", script=False)
    assert not page.locator(".search").is_visible()
    page.locator(".letters a", has_text="P").first.click()
    assert page.url.endswith("#letter-P")
    assert page.locator("#pendulum").is_visible()
