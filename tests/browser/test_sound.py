"""The beat as it is set to sound, caught by a stand-in for the browser's audio."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from itertools import pairwise
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from builder.lessons.heard import Heard, Sound, sound
from tests.browser.pages_helper import address, watched
from tests.conftest import BuiltSite
from tests.solved import demo

START = dt.datetime(2026, 3, 2, 9, tzinfo=dt.UTC)
STAND_IN = """
window.struck = [];
window.contexts = 0;
window.AudioContext = class {
  constructor() { window.contexts++; this.sampleRate = 48000; this.destination = {}; this.state = "running"; }
  get currentTime() { return performance.now() / 1000; }
  resume() { this.state = "running"; }
  suspend() { this.state = "suspended"; }
  createBuffer(channels, length) {
    const samples = new Float32Array(length);
    return { getChannelData: () => samples };
  }
  createGain() {
    return { gain: { value: 1 }, connect(to) { return (this.to = to); }, disconnect() { this.cut = performance.now() / 1000; } };
  }
  createBufferSource() {
    return { connect(gain) { this.through = gain; return gain; },
      start(at) { window.struck.push({ at, loud: this.through.gain.value, out: this.through, buffer: this.buffer }); } };
  }
};"""
HEARD = """() => window.struck.filter(({ at, out }) => !(out.to.cut <= at)).map(({ at, loud }) => [at, loud])"""
"""(s, loudness) of each knock whose way out was not cut before it came."""

Opener = Callable[..., Page]


@pytest.fixture
def opened(browser: Browser, built_site: BuiltSite) -> Iterator[Opener]:
    """`opened(slug)` opens the oscillator's page with the stand-in, its clock in the test's hands."""
    with ExitStack() as stack:
        troubles: list[str] = []

        def open_page(slug: str, **view: Any) -> Page:
            page = stack.enter_context(watched(browser, built_site.folder, troubles, **view))
            page.add_init_script(STAND_IN)
            page.clock.install(time=START)
            page.clock.pause_at(START + dt.timedelta(seconds=2))
            page.goto(address(built_site.folder, f"{slug}/oscillator.html"), wait_until="load")
            page.clock.run_for(100)
            return page

        yield open_page
        assert troubles == []


def press(page: Page) -> None:
    page.locator(".sound button").click(force=True)


def status(page: Page) -> str:
    return page.locator(".sound [role=status]").inner_text()


def wanted(heard: Heard, period_ms: float, since_ms: float, until_ms: float) -> list[tuple[float, float]]:
    """(shown ms, loudness) of every knock in a span of shown time."""
    first, last = int(since_ms // period_ms), int(until_ms // period_ms)
    knocks = [((n + part) * period_ms, loud / 2) for n in range(first, last + 1) for part, loud, _ in sorted(heard.knocks)]
    return [knock for knock in knocks if since_ms < knock[0] <= until_ms]


def caught(page: Page, ms: int) -> tuple[list[list[float]], float, float]:
    """Knocks set while `ms` pass, with the clock of the sound (s) and the shown time (ms) at the start."""
    start = page.evaluate("(window.struck.length = 0, [performance.now() / 1000, betweenPlates.time('oscillator') * 1000])")
    page.clock.run_for(ms)
    return page.evaluate(HEARD), *start


def agrees(found: list[list[float]], heard: Heard, period_ms: float, sound_s: float, shown_ms: float, speed: float = 1.0) -> None:
    """The knocks are the solved ones in order and loudness, spaced to a microsecond, and within two frames of what is shown."""
    assert len(found) > 8
    spread_ms = 1000 * speed * (found[-1][0] - found[0][0])
    first_ms = shown_ms + 1000 * speed * (found[0][0] - sound_s)
    every = wanted(heard, period_ms, shown_ms - period_ms, first_ms + spread_ms + period_ms)
    alike = [n for n in range(len(every)) if [loud for _, loud in every[n : n + 4]] == [loud for _, loud in found[:4]]]
    start = min(alike, key=lambda n: abs(every[n][0] - first_ms))
    assert abs(every[start][0] - first_ms) < 40 * speed
    for (at, loud), (t, wanted_loud) in zip(found, every[start:], strict=False):
        assert 1000 * speed * (at - found[0][0]) == pytest.approx(t - every[start][0], abs=1e-3)
        assert loud == pytest.approx(wanted_loud)


def of(slug: str) -> Sound:
    heard = sound(demo(slug))
    assert heard is not None
    return heard


@pytest.mark.parametrize("slug", ["pocket_watch", "hall_clock"])
def test_knocks_come_when_they_were_solved(opened: Opener, slug: str) -> None:
    """In beat and out of beat, at real speed, every knock is set at its instant of the period that is shown."""
    page, heard = opened(slug), of(slug)
    press(page)
    agrees(*_reordered(caught(page, 5000), heard.in_beat[0], heard.period_ms))
    page.locator(".sound input[value=out]").check(force=True)
    page.clock.run_for(300)
    agrees(*_reordered(caught(page, 5000), heard.out_of_beat[0], heard.period_ms))


def _reordered(found: tuple[list[list[float]], float, float], heard: Heard, period_ms: float) -> tuple[Any, ...]:
    knocks, sound_s, shown_ms = found
    return knocks, heard, period_ms, sound_s, shown_ms


def test_out_of_beat_is_uneven_to_the_ear(opened: Opener) -> None:
    """The loudest knocks, the locks, come by turns long and short, as the solved beats are."""
    page, heard = opened("hall_clock"), of("hall_clock")
    page.locator(".sound input[value=out]").check(force=True)
    press(page)
    knocks, *_ = caught(page, 8000)
    locks = [at for at, loud in knocks if loud == 0.5]
    gaps = [1000 * (b - a) for a, b in pairwise(locks)]
    one, other = heard.out_of_beat[0].beats_ms
    scale = heard.period_ms / (one + other)
    assert sorted(gaps[:2]) == pytest.approx(sorted([one * scale, other * scale]), abs=0.01)
    assert gaps[0] == pytest.approx(gaps[2], abs=0.01) and abs(gaps[0] - gaps[1]) > 50


def test_slower_is_slower_and_too_fast_is_silent(opened: Opener) -> None:
    """The switch sets real speed; slower, knocks are as much further apart; faster, a watch is silent, and it is said."""
    page, heard = opened("pocket_watch"), of("pocket_watch")
    press(page)
    page.locator("[data-drawing=oscillator] [data-do=slower]").click(force=True)
    page.clock.run_for(400)
    speed = page.evaluate("betweenPlates.speed('oscillator')")
    assert 0 < speed < 1
    knocks, sound_s, shown_ms = caught(page, 6000)
    agrees(knocks, heard.in_beat[0], heard.period_ms, sound_s, shown_ms, speed)
    for _ in range(2):
        page.locator("[data-drawing=oscillator] [data-do=faster]").click(force=True)
    page.clock.run_for(300)
    assert caught(page, 2000)[0] == [] and "no sound" in status(page)


def test_it_follows_the_drawing_and_the_winding(opened: Opener) -> None:
    """Stopped with the drawing at once, what was set ahead too; on again with it; in another state with that state's beat."""
    page, heard = opened("pocket_watch"), of("pocket_watch")
    press(page)
    page.clock.run_for(1000)
    page.locator("[data-drawing=oscillator] [data-do=run]").click(force=True)
    page.clock.run_for(100)
    now = page.evaluate("performance.now() / 1000")
    assert [at for at, _ in page.evaluate(HEARD) if at > now] == [] and "stands" in status(page)
    assert caught(page, 1000)[0] == []
    page.locator("[data-drawing=oscillator] input[value='nearly down']").check(force=True)
    page.locator("[data-drawing=oscillator] [data-do=run]").click(force=True)
    page.clock.run_for(300)
    agrees(*_reordered(caught(page, 4000), heard.in_beat[2], heard.period_ms))


def test_off_until_asked_for_and_off_again(opened: Opener) -> None:
    """No audio is made before the button is pressed, by keyboard too; pressed again, nothing more is set."""
    page = opened("pocket_watch")
    button = page.locator(".sound button")
    assert page.evaluate("contexts") == 0 and button.get_attribute("aria-pressed") == "false" and status(page) == "Sound is off."
    button.focus()
    page.keyboard.press("Space")
    page.clock.run_for(500)
    assert button.get_attribute("aria-pressed") == "true" and page.evaluate("contexts") == 1
    assert page.evaluate(HEARD)
    page.keyboard.press("Enter")
    assert button.get_attribute("aria-pressed") == "false" and status(page) == "Sound is off."
    assert caught(page, 1000)[0] == []
    press(page)
    assert page.evaluate("contexts") == 1


def test_without_script_the_beats_stand_in_words(opened: Opener) -> None:
    """The switch is away, the figures stay."""
    page = opened("hall_clock", script=False)
    assert not page.locator(".sound button").is_visible()
    assert page.locator(".sound dd").count() == 2 and "ms" in page.locator(".sound").inner_text()
