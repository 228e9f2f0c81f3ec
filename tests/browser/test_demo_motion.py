"""The demo's own drawings in a browser: the hands show the time, every arbor stands where exact fractions say."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from builder.going.going import Going, going
from builder.movement.model import Movement
from builder.movement.reading import read
from tests.browser.pages_helper import address, watched
from tests.conftest import BuiltSite

MODELS = Path(__file__).parents[2] / "models"
SLUGS = sorted(path.parent.name for path in MODELS.glob("*/movement.toml"))


def solved(slug: str) -> Going:
    return going(slug, read(MODELS / slug / "movement.toml", Movement, MODELS))


def turned(page: Page, drawing: str, part: str) -> float:
    """What the player has turned a part by, SVG degrees clockwise."""
    transform = page.locator(f"[data-drawing='{drawing}'] .part[data-part='{part}'] g.m").first.get_attribute("transform") or ""
    found = re.fullmatch(r"rotate\((-?[\d.e-]+)\)", transform)
    assert found, transform
    return float(found[1])


def apart(a: float, b: float) -> float:
    return abs((a - b + 180) % 360 - 180)


@pytest.mark.parametrize("slug", SLUGS)
def test_hands_show_the_time_and_arbors_follow(browser: Browser, built_site: BuiltSite, slug: str) -> None:
    """At odd moments through a day, hands point to the time within half a degree of arc and slow arbors to their exact angle."""
    running = solved(slug)
    with watched(browser, built_site.folder, []) as page:
        page.goto(address(built_site.folder, f"{slug}/index.html"), wait_until="load")
        for t in (0.0, 3600 * 3 + 1234.5, 43199.0, 86400.0 - 0.25, 86400.0):
            page.evaluate("t => betweenPlates.time('train-front', t)", t)
            for shows, carrier in running.train.hands:
                part = "seconds-hand" if shows == "seconds" else f"{shows.rstrip('s')}-hand"
                rate = Fraction(abs(running.train[carrier].turns_per_hour), 3600) * 360
                # The beat lets the wheel go in steps: up to one beat's turn behind or ahead of the mean.
                step = float(rate * running.train.beat_s) * 1.2 + 0.01
                assert apart(turned(page, "train-front", part), float(rate) * t) <= step, (shows, t)


@pytest.mark.parametrize("slug", SLUGS)
def test_no_drift_over_a_day(browser: Browser, built_site: BuiltSite, slug: str) -> None:
    """After 24 h of shown time the escape wheel has turned by a whole number of periods' pitches, to 1e-4 degrees."""
    running = solved(slug)
    assert running.motion.solved
    pitch = 360 / running.train.escape_teeth
    periods = Fraction(86_400_000) / running.motion.period_ms
    with watched(browser, built_site.folder, []) as page:
        page.goto(address(built_site.folder, f"{slug}/index.html"), wait_until="load")
        page.evaluate("betweenPlates.time('train-front', 0)")
        start = turned(page, "train-front", "escape-wheel")
        page.evaluate("betweenPlates.time('train-front', 86400)")
        end = turned(page, "train-front", "escape-wheel")
        assert periods.denominator == 1
        assert min(apart(end - start, sign * float(periods) * pitch) for sign in (1, -1)) < 1e-4


@pytest.mark.parametrize("drawing", ["train-front", "escapement", "oscillator"])
def test_it_runs_and_stops(browser: Browser, built_site: BuiltSite, drawing: str) -> None:
    """Opened from disk a drawing moves by itself; the stop button halts it; it goes on when started again."""
    name = "index" if drawing == "train-front" else drawing
    with watched(browser, built_site.folder, []) as page:
        page.goto(address(built_site.folder, f"pocket_watch/{name}.html"), wait_until="load")
        page.wait_for_function(f"betweenPlates.running('{drawing}')")
        before = page.evaluate("n => betweenPlates.time(n)", drawing)
        page.wait_for_function("([n, t]) => betweenPlates.time(n) > t", arg=[drawing, before])
        page.locator(f"[data-drawing='{drawing}'] [data-do=run]").click()
        stopped = page.evaluate("n => betweenPlates.time(n)", drawing)
        page.wait_for_timeout(150)
        assert page.evaluate("n => betweenPlates.time(n)", drawing) == stopped
        page.locator(f"[data-drawing='{drawing}'] [data-do=run]").click()
        page.wait_for_function("([n, t]) => betweenPlates.time(n) > t", arg=[drawing, stopped])


def test_states_of_winding_change_the_swing(browser: Browser, built_site: BuiltSite) -> None:
    """Chosen nearly down, the balance's greatest angle over a period is the smaller amplitude that was solved for it."""
    running = solved("pocket_watch")
    with watched(browser, built_site.folder, []) as page:
        page.goto(address(built_site.folder, "pocket_watch/oscillator.html"), wait_until="load")
        for winding in running.windings:
            page.locator(f"[data-drawing='oscillator'] [value='{winding.name}']").check()
            period = float(running.motion.period_ms) / 1000
            widest = page.evaluate(
                """([n, period]) => {
                  let most = 0;
                  for (let i = 0; i <= 400; i++) {
                    betweenPlates.time(n, period * i / 400);
                    const balance = document.querySelector("[data-drawing='oscillator'] [data-part='balance'] g.m");
                    most = Math.max(most, Math.abs(parseFloat(balance.getAttribute("transform").slice(7))));
                  }
                  return most;
                }""",
                ["oscillator", period],
            )
            swung = running.at(winding).motion.oscillator_rad
            assert swung is not None
            solved_deg = math.degrees(float(abs(swung).max()))
            assert abs(widest - solved_deg) < 1.0, winding.name


def test_a_winding_of_days_is_told_in_days_and_hours(browser: Browser, built_site: BuiltSite) -> None:
    """Where a plate shows more than a day the clock beside it says days and hours, and hours alone within the first."""
    with watched(browser, built_site.folder, [], still=True) as page:
        page.goto(address(built_site.folder, "hall_clock/power.html"), wait_until="load")
        shown = page.locator("[data-drawing='winding'] .shown")
        for hours, text in (
            (5.25, "5.2\u202fh"),
            (23.99, "23.9\u202fh"),
            (24, "1\u202fd 0.0\u202fh"),
            (130.5, "5\u202fd 10.5\u202fh"),
        ):
            page.evaluate("s => betweenPlates.time('winding', s)", 3600 * hours)
            assert shown.text_content() == text


@pytest.mark.parametrize(("slug", "says"), [("schoolroom_dial", "13:37:20"), ("hall_clock", "1:37:20")])
def test_a_dial_of_24_hours_is_told_in_24(browser: Browser, built_site: BuiltSite, slug: str, says: str) -> None:
    """At twenty-three minutes to two in the afternoon: in the hours of the movement's own dial, as its hour hand points."""
    with watched(browser, built_site.folder, []) as page:
        page.goto(address(built_site.folder, f"{slug}/motion-work.html"), wait_until="load")
        for drawing in ("motion-work", "setting"):
            page.evaluate("name => betweenPlates.time(name, 13 * 3600 + 37 * 60 + 20)", drawing)
            assert page.locator(f"[data-drawing={drawing}] .shown").inner_text() == says
        page.evaluate("betweenPlates.time('motion-work', 86400)")
        assert page.locator("[data-drawing=motion-work] .shown").inner_text() == (
            "0:00:00" if slug.startswith("school") else "12:00:00"
        )


@pytest.mark.parametrize("slug", SLUGS)
def test_the_running_movement_is_the_first_sight(browser: Browser, built_site: BuiltSite, slug: str) -> None:
    """On a desk's and on a phone's screen, without scrolling: name, sentence, the whole drawing, and the key that stops it."""
    for width, height in ((1440, 900), (390, 844)):
        page = browser.new_page(viewport={"width": width, "height": height})
        page.goto(address(built_site.folder, f"{slug}/index.html"), wait_until="load")
        for what in ("h1", ".lede", "svg.drawing", "[data-do=run]"):
            box = page.locator(what).first.bounding_box()
            assert box and box["y"] >= 0 and box["y"] + box["height"] <= height, (what, width)
        assert page.evaluate("betweenPlates.running('train-front')")
        page.close()


def test_figures_fit_a_phone(browser: Browser, built_site: BuiltSite) -> None:
    """Nothing of the table of figures lies beyond the edge of a narrow screen, and no value stands without its state."""
    page = browser.new_page(viewport={"width": 360, "height": 640})
    page.goto(address(built_site.folder, "pocket_watch/figures.html"), wait_until="load")
    assert page.evaluate("[...document.querySelectorAll('.wide')].every(each => each.scrollWidth <= each.clientWidth)")
    assert page.locator("td.value .in").first.is_visible()
    page.set_viewport_size({"width": 1440, "height": 900})
    assert not page.locator("td.value .in").first.is_visible()
    page.close()
