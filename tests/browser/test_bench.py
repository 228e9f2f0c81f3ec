"""Taking down and putting together in a browser: by button, slider, key and link; without script; on paper; in small windows."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest
from playwright.sync_api import Page

Open = Callable[..., Page]

CLOCK, WATCH, STACK = "hall_clock/taking-down.html", "pocket_watch/taking-down.html", "hall_clock/side-view.html"

SEEN = """() => [...document.querySelectorAll("svg[aria-labelledby=taking-down-title] [data-step]")].map(
  (node) => [+node.dataset.step, getComputedStyle(node).display !== "none", node.getAttribute("transform")])"""


def section(page: Page) -> list[tuple[int, bool, str]]:
    """(step, in sight, transform) of every group of the section."""
    return [tuple(each) for each in page.evaluate(SEEN)]


def said(page: Page) -> str:
    return page.locator(".said").first.inner_text()


def steps(page: Page) -> int:
    return int(page.locator("[data-steps]").first.get_attribute("data-steps") or 0)


@pytest.mark.parametrize("path", [CLOCK, WATCH])
def test_parts_leave_and_return(open_page: Open, path: str) -> None:
    """Step by step a part moves off in its direction and is gone at the next step; backwards all come back to their places."""
    page = open_page(path, still=True)
    whole = section(page)
    main = [step for step, visible, _ in whole if visible]
    assert all(transform == "translate(0,0)" for _, visible, transform in whole if visible)
    for n in range(1, steps(page) + 1):
        page.click("[data-go=on]")
        now = section(page)
        apart = any(visible and step not in main for step, visible, _ in now)
        assert apart or {step for step, visible, _ in now if visible} == {step for step in main if step >= n}
        assert all((transform != "translate(0,0)") == (step <= n) for step, visible, transform in now if visible and step != 99)
        assert said(page).startswith(f"{n}. ")
    assert page.locator("[data-go=on]").get_attribute("aria-disabled") == "true"
    for _ in range(steps(page)):
        page.click("[data-go=back]")
    assert section(page) == whole


def test_the_list_goes_with_the_drawing(open_page: Open) -> None:
    """The step shown is marked in both lists, and a step's link shows it in the drawing; the plan changes with the work."""
    page = open_page(CLOCK, still=True)
    assert page.locator("[aria-current=step]").count() == 0
    assert page.locator("[data-drawing=taking-down] [data-seen=dial]").is_visible()
    page.click("#down-16 a")
    assert page.locator("[aria-current=step]").evaluate_all("(all) => all.map((one) => one.id)") == ["down-16", "up-16"]
    assert page.locator("[data-drawing=taking-down] [data-seen=front]").is_visible()
    assert not page.locator("[data-drawing=taking-down] [data-seen=dial]").is_visible()
    page.click("#up-2 a")
    assert said(page).startswith("2. ")


def test_an_address_names_a_step(open_page: Open) -> None:
    """A page opened at a step shows that step."""
    assert said(open_page(f"{CLOCK}#taking-down-step-13", still=True)).startswith("13. ")


def test_all_by_keyboard(open_page: Open) -> None:
    """Tab to the buttons and the slider; arrows on the slider go one step; each shows where it is."""
    page = open_page(CLOCK, still=True)
    page.locator("[data-go=on]").focus()
    page.keyboard.press("Enter")
    assert said(page).startswith("1. ")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "at"
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowUp")
    assert said(page).startswith("3. ")
    assert page.locator(".at").get_attribute("aria-valuetext") == said(page)
    page.keyboard.press("ArrowLeft")
    assert said(page).startswith("2. ")
    page.locator("#down-1 input").focus()
    page.keyboard.press("Space")
    assert page.locator("#down-1 input").is_checked()


def test_energy_stands_first(open_page: Open) -> None:
    """The first step says what the spring or weight of this movement holds, in J, and stands in a caution."""
    for path, figure in ((CLOCK, "61"), ("shelf_timepiece/taking-down.html", "16")):
        text = open_page(path).locator("#down-1 .caution").inner_text()
        assert f"{figure} J" in " ".join(text.split())


def test_moves_gently_or_not_at_all(open_page: Open) -> None:
    """A part slides out where motion is welcome, and is simply there where it is not."""
    quiet = open_page(CLOCK, still=True)
    quiet.click("[data-go=on]")
    assert [transform for step, _, transform in section(quiet) if step == 1] == ["translate(0,64)"]
    page = open_page(CLOCK)
    page.click("[data-go=on]")
    page.wait_for_function("() => document.querySelector('[data-step=\"1\"]').getAttribute('transform') === 'translate(0,64)'")


def test_without_script_an_address_shows_a_step(open_page: Open) -> None:
    """Without script the list stands with a still of every step; a step's link hides in the drawing what has left before."""
    page = open_page(f"{WATCH}#taking-down-step-15", script=False)
    shown = {step for step, visible, _ in section(page) if visible}
    assert min(shown) == 15
    images = page.locator(".checklist noscript img, .checklist img")
    assert images.count() >= 20
    page.locator("#down-13 img").scroll_into_view_if_needed()
    assert page.locator(".stepping").first.is_hidden()


@pytest.mark.parametrize("width", [320, 390, 800, 1440])
def test_targets_and_reflow(open_page: Open, width: int) -> None:
    """Nothing hangs over the edge; what can be pressed is large enough (WCAG 2.2, 2.5.8: 24 px; buttons 44)."""
    page = open_page(CLOCK, width=width, height=844)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    for key in page.locator(".stepping button").all():
        box = key.bounding_box()
        assert box and box["height"] >= 44 and box["width"] >= 44
    box = page.locator("#down-1 input").bounding_box()
    assert box and box["width"] >= 24 and box["height"] >= 24


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_few_sheets(open_page: Open, tmp_path: Path, paper: str) -> None:
    """The checklist, in two columns, takes six sheets at most."""
    for path in (CLOCK, WATCH):
        open_page(path, still=True).pdf(path=tmp_path / "sheets.pdf", format=paper)
        sheets = subprocess.run(["pdftotext", tmp_path / "sheets.pdf", "-"], capture_output=True, check=True).stdout
        assert sheets.count(b"\f") <= 6


def test_a_checklist_on_paper(open_page: Open) -> None:
    """In print every step keeps its box and its cautions; buttons and links to the drawing are gone."""
    page = open_page(CLOCK)
    page.emulate_media(media="print")
    assert page.locator("#down-1 input").is_visible() and page.locator("#down-1 .caution").is_visible()
    assert not page.locator(".stepping").first.is_visible() and not page.locator("#down-1 .look").is_visible()


def test_the_stack_goes_together(open_page: Open) -> None:
    """Drawn apart at first; 'put together' brings every part to its place, one press takes the foremost off."""
    page = open_page(STACK, still=True)
    heights = "() => [...document.querySelectorAll('[data-drawing=stack] [data-step]')].map((g) => g.getAttribute('transform'))"
    apart = page.evaluate(heights)
    assert all(transform != "translate(0,0)" for transform in apart)
    page.click("[data-drawing=stack] [data-go=first]")
    assert set(page.evaluate(heights)) == {"translate(0,0)"}
    page.click("[data-drawing=stack] [data-go=on]")
    moved = {
        int(step): transform
        for step, transform in page.evaluate(
            "() => [...document.querySelectorAll('[data-drawing=stack] [data-step]')].map((g) => [g.dataset.step, "
            "g.getAttribute('transform')])"
        )
    }
    assert [step for step, transform in moved.items() if transform != "translate(0,0)"] == [1]
    page.click("[data-drawing=stack] [data-go=last]")
    assert page.evaluate(heights) == apart


def test_the_slider_moves_evenly(open_page: Open) -> None:
    """Half way through a step the part is half way out."""
    page = open_page(STACK, still=True)
    offsets = []
    for value in (0, 0.25, 0.5, 1):
        page.locator("[data-drawing=stack] .at").evaluate(f"(s) => {{ s.value = {value}; s.dispatchEvent(new Event('input')); }}")
        text = page.locator("[data-drawing=stack] [data-step='1']").get_attribute("transform") or ""
        offsets.append(float(text.partition(",")[2].rstrip(")")))
    assert offsets[0] == 0
    assert all(later < earlier for earlier, later in pairwise(offsets))  # the front is up
    assert offsets[1] == pytest.approx(offsets[3] / 4) and offsets[2] == pytest.approx(offsets[3] / 2)
