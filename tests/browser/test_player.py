"""The player on a page made by hand, in a real browser, from disk."""

from __future__ import annotations

import datetime as dt
import os
import re
import time
from collections.abc import Callable, Iterator
from fractions import Fraction
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Frame, Page, sync_playwright

from tests.browser import sample_drawing as sample
from tests.browser.find_browser import MISSING, find_browser, flags

# All but the ratchet wheel, whose duration is exact in the player and rounded in the browser.
MATRICES = """() => [...document.querySelectorAll('.drawing [data-part]:not([data-part=ratchet]) .m')].map(node => {
  const all = node.transform.animVal, m = all.numberOfItems ? all.getItem(0).matrix : {a:1,b:0,c:0,d:1,e:0,f:0};
  return [m.a, m.b, m.c, m.d, m.e, m.f];
})"""
TRAIN, BEATING, FALLING = "train", "beating", "falling"

FRAME_S = 0.02
"""A frame of the browser's test clock is 16 ms; what is shown may be that old."""

Opener = Callable[..., Page]


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    found = find_browser()
    if found is None:
        assert "CI" not in os.environ, MISSING
        pytest.skip(MISSING)
    with sync_playwright() as playwright:
        yield playwright.chromium.launch(executable_path=str(found), args=flags())


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("pages")
    return {
        "led": sample.write_page(folder / "led"),
        "led from 12": sample.write_page(folder / "led12", start_s=0),
        "native": sample.write_page(folder / "native", start_s=0, script=False),
    }


@pytest.fixture
def opened(browser: Browser, pages: dict[str, Path]) -> Iterator[Opener]:
    """Opens a page; nothing that a page says on the console may be an error."""
    said: list[str] = []
    contexts = []

    def open_page(name: str = "led", frozen: bool = True, at: str = "2026-03-02T09:00:00", **options: object) -> Page:
        context = browser.new_context(**({"viewport": {"width": 1440, "height": 900}, "timezone_id": "UTC"} | options))  # type: ignore[arg-type]
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda message: said.append(message.text) if message.type in ("error", "warning") else None)
        page.on("pageerror", lambda error: said.append(str(error)))
        if frozen:
            page.clock.install(time=dt.datetime.fromisoformat(at).replace(tzinfo=dt.UTC))
            page.clock.pause_at(dt.datetime.fromisoformat(at).replace(tzinfo=dt.UTC) + dt.timedelta(seconds=2))
        page.goto(pages[name].as_uri())
        if options.get("java_script_enabled", True) and name != "native":
            wait_until(page, "window.betweenPlates?.lead()")
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert said == []


def wait_until(page: Page | Frame, expression: str) -> None:
    """Playwright's own waiting needs eval, which the pages' policy forbids."""
    for _ in range(200):
        if page.evaluate(expression):
            return
        time.sleep(0.02)
    raise AssertionError(f"never: {expression}")


def time_s(page: Page, name: str = TRAIN) -> float:
    return page.evaluate("name => betweenPlates.time(name)", name)


def set_time(page: Page, seconds: float, name: str = TRAIN) -> None:
    page.evaluate("([name, s]) => betweenPlates.time(name, s)", [name, seconds])


def running(page: Page, name: str = TRAIN) -> bool:
    return page.evaluate("name => betweenPlates.running(name)", name)


def press(page: Page, act: str, name: str = TRAIN, times: int = 1) -> None:
    for _ in range(times):
        page.locator(f"[data-drawing={name}] [data-do={act}]").click(force=True)


def angle_deg(page: Page, part: str, name: str = TRAIN) -> float:
    text = page.locator(f"[data-drawing={name}] [data-part={part}] .m").first.get_attribute("transform")
    assert text is not None
    return float(text.removeprefix("rotate(").removesuffix(")"))


def status(page: Page, name: str = TRAIN) -> str:
    return page.locator(f"[data-drawing={name}] .state").inner_text()


def apart_deg(a: float, b: float) -> float:
    return abs((a - b + 180) % 360 - 180)


def ran_ms(page: Page, ms: int) -> float:
    """Lets `ms` pass; returns the ms from now to the last frame in them."""
    start = page.evaluate(
        "(requestAnimationFrame(function f(now) { window.lastFrame = now; requestAnimationFrame(f); }), performance.now())"
    )
    page.clock.run_for(ms)
    return page.evaluate("lastFrame") - start


def test_starts_at_eight_past_ten_and_advances_at_real_speed(opened: Opener) -> None:
    """A page opens at its start, and a second of the reader is a second of the clock."""
    page = opened()
    assert time_s(page) == pytest.approx(sample.START_S, abs=5)
    set_time(page, sample.START_S)
    page.clock.run_for(100)
    press(page, "run")
    passed_ms = ran_ms(page, 3000)
    assert passed_ms > 2900
    assert time_s(page) - sample.START_S == pytest.approx(passed_ms / 1000, abs=1e-9)
    assert status(page) == "Running at real speed."


def test_stop_holds_everything_still(opened: Opener) -> None:
    """Pressed once it stands, to the last matrix; pressed again it goes on from there."""
    page = opened()
    press(page, "run")
    assert not running(page)
    before, at = page.evaluate(MATRICES), time_s(page)
    page.clock.run_for(2000)
    assert page.evaluate(MATRICES) == before
    assert status(page).startswith("Standing at 10:08:0")
    press(page, "run")
    page.clock.run_for(1000)
    assert time_s(page) - at == pytest.approx(1, abs=FRAME_S)
    assert page.evaluate(MATRICES) != before


def test_an_hour_in_a_second_is_exact_and_does_not_drift_in_a_day(opened: Opener) -> None:
    """Through 24 shown hours at 3600 times, time and every arbor arrive where exact arithmetic puts them."""
    page = opened()
    press(page, "faster", times=6)
    assert status(page).startswith("Running at an hour in a second. Faint parts")
    set_time(page, sample.START_S)
    page.clock.run_for(100)
    press(page, "run")
    passed_ms = ran_ms(page, 24_100)
    assert passed_ms > 24_000
    assert time_s(page) == pytest.approx(sample.START_S + 3.6 * passed_ms, abs=1e-6)
    press(page, "run")
    pairs = round(time_s(page) * 1000) // sample.PAIR_MS
    set_time(page, pairs * sample.PAIR_MS / 1000)
    for part, step in sample.DEGREES_A_PAIR.items():
        exact = Fraction(str(step)) * pairs % 360
        assert apart_deg(angle_deg(page, part), float(exact)) < 1e-7, part


@pytest.mark.parametrize("t_s", [3 / 64, 1 / 8, 23 / 64, 5 / 4, 255 / 64, 333 / 64, 497 / 64, 2505 / 64])
def test_agrees_with_the_browsers_own_animation(opened: Opener, t_s: float) -> None:
    """At the same moment the player's matrices are the browser's. The moments are whole microseconds and exact in single
    precision, as the browser's own time is; at others it is up to a microsecond beside the moment asked for."""
    led, native = opened("led from 12"), opened("native")
    for name in (TRAIN, BEATING, FALLING):
        set_time(led, t_s, name)
    native.evaluate("t => document.querySelectorAll('.drawing').forEach(s => { s.pauseAnimations(); s.setCurrentTime(t); })", t_s)
    ours, theirs = led.evaluate(MATRICES), native.evaluate(MATRICES)
    assert len(ours) == len(theirs) > 12
    for a, b in zip(ours, theirs, strict=True):
        assert a == pytest.approx(b, abs=1e-6)
    spring = "getComputedStyle(document.querySelector('[data-part=hairspring] path')).d.match(/[-.\\d]+/g).map(Number)"
    assert led.evaluate(spring) == pytest.approx(native.evaluate(spring), abs=2e-3)
    seen = (
        "[...document.querySelectorAll('.drawing text.label:not([data-state])')].map(node => getComputedStyle(node).visibility)"
    )
    assert led.evaluate(seen) == native.evaluate(seen)
    assert led.evaluate(seen).count("visible") == 1


def test_a_rounded_duration_gives_way_to_the_exact_one(opened: Opener) -> None:
    """data-ms, a fraction, counts where dur had to be rounded to whole ms: 5000/3 ms three times are 5 s."""
    page = opened()
    set_time(page, 5 * 1000, FALLING)
    assert apart_deg(angle_deg(page, "ratchet", FALLING), 0) < 1e-6


def test_follows_the_time_of_day(opened: Opener) -> None:
    """Twenty to three and 6.5 s on the reader's clock is on the hands, and stays with it, also on a day of 23 hours."""
    page = opened(at="2026-03-29T12:40:06.500", timezone_id="Europe/Berlin")  # 14:40 there, after clocks went forward
    press(page, "follow")
    page.clock.run_for(100)
    wall_s = page.evaluate(
        "(d => d.getHours() * 3600 + d.getMinutes() * 60 + d.getSeconds() + d.getMilliseconds() / 1000)(new Date())"
    )
    assert time_s(page) == pytest.approx(wall_s, abs=0.05)
    page.clock.run_for(10_000)
    assert time_s(page) == pytest.approx(wall_s + 10, abs=0.05)
    assert page.locator("[data-drawing=train] [data-do=follow]").get_attribute("aria-pressed") == "true"
    assert status(page) == "Following your time of day."
    press(page, "slower")
    assert page.locator("[data-drawing=train] [data-do=follow]").get_attribute("aria-pressed") == "false"


def test_one_beat_on_and_one_back(opened: Opener) -> None:
    """On: it runs to the next beat and stops there. Back: it stands at the beat before. Both land on whole beats."""
    page = opened()
    set_time(page, 100.05)
    press(page, "on")
    assert running(page)
    page.clock.run_for(400)
    assert not running(page)
    assert time_s(page) == pytest.approx(100.2, abs=1e-9)
    press(page, "back")
    assert time_s(page) == pytest.approx(100.0, abs=1e-9)
    press(page, "back", times=3)
    assert time_s(page) == pytest.approx(99.4, abs=1e-9)


def test_scrubs_within_its_span(opened: Opener) -> None:
    """The slider covers data-scrub-s around the moment shown, and says in words where it stands."""
    page = opened()
    slider = page.locator("[data-drawing=train] .scrub")
    slider.fill("250")
    assert time_s(page) == pytest.approx(0.25 * 43200)
    assert slider.get_attribute("aria-valuetext") == "3:00:00"
    assert page.locator("[data-drawing=train] .shown").inner_text() == "3:00:00"
    set_time(page, 1000.1, BEATING)
    page.locator("[data-drawing=beating] .scrub").fill("500")
    assert time_s(page, BEATING) == pytest.approx(1000.0 + 0.2)


def test_speed_in_plain_words(opened: Opener) -> None:
    """Each step of speed says what it is; the ends say that they are ends; an escapement opens slowed."""
    page = opened()
    press(page, "slower", times=2)
    assert status(page) == "Running at one fifth of real speed."
    at = time_s(page)
    page.clock.run_for(5000)
    assert time_s(page) - at == pytest.approx(1, abs=FRAME_S)
    press(page, "slower", times=9)
    assert "one fiftieth" in status(page)
    assert page.locator("[data-drawing=train] [data-do=slower]").get_attribute("aria-disabled") == "true"
    assert "one twentieth" in status(page, BEATING)


def test_too_fast_to_see_stands_faint_and_comes_back_exact(opened: Opener) -> None:
    """At ten times real speed the balance would flicker 25 times a second: it stands, and is true again once stopped."""
    page = opened()
    balance = page.locator("[data-drawing=train] [data-part=balance] .m").first
    press(page, "faster", times=3)
    held = balance.get_attribute("transform")
    page.clock.run_for(500)
    assert balance.get_attribute("transform") == held
    assert balance.evaluate("node => getComputedStyle(node).opacity") == "0.45"
    assert "fast" not in (page.locator("[data-part=minute-hand] .m").get_attribute("class") or "")
    set_time(page, 1000.1)  # a quarter of a pair past the middle: the end of the swing
    assert angle_deg(page, "balance") == pytest.approx(270, abs=1e-6)
    assert "fast" not in (balance.get_attribute("class") or "")


def test_winding_states(opened: Opener) -> None:
    """Nearly run down, the balance swings 180° where it swung 270° fully wound, and what belongs to a state is seen in it."""
    page = opened()
    set_time(page, 1000.1, BEATING)
    assert angle_deg(page, "balance", BEATING) == pytest.approx(270, abs=1e-6)
    assert page.locator("[data-state]:visible").all_text_contents() == ["270°"]
    page.get_by_label("Nearly run down").check()
    assert page.locator("[data-state]:visible").all_text_contents() == ["180°"]
    assert angle_deg(page, "balance", BEATING) == pytest.approx(180, abs=1e-6)


def test_only_what_is_in_sight_runs(opened: Opener) -> None:
    """What is out of sight stands still; what is scrolled into sight goes on."""
    page = opened()
    assert page.evaluate("betweenPlates.lead()") == TRAIN
    still, at = time_s(page, FALLING), time_s(page)
    page.clock.run_for(1000)
    assert time_s(page, FALLING) == still
    page.locator("[data-drawing=falling] svg.drawing").evaluate("node => node.scrollIntoView({block: 'end'})")
    wait_until(page, "betweenPlates.lead() === 'falling'")
    page.clock.run_for(1000)
    assert time_s(page, FALLING) - still == pytest.approx(60, abs=1.1)
    assert time_s(page) - at < 1.1


def test_marks_both_ways(opened: Opener) -> None:
    """A part pointed at marks its row, a row reached by keyboard its part in all drawings; the rest steps back, in sight."""
    page = opened()
    row = page.locator("tr[data-part=balance]")
    page.locator("[data-drawing=train] [data-part=balance] path.brass").dispatch_event("pointerover", {"bubbles": True})
    assert "marked" in (row.get_attribute("class") or "")
    assert page.locator(".drawing [data-part=balance].marked").count() == 4
    other = page.locator("[data-drawing=train] .part[data-part=barrel]").first.evaluate("node => +getComputedStyle(node).opacity")
    assert 0.2 < other < 1
    assert page.locator("[data-drawing=falling].marking").count() == 0
    page.mouse.move(5, 5)
    assert page.locator(".marked").count() == 0
    page.locator("tr[data-part=barrel]").focus()
    page.keyboard.press("ArrowDown")
    assert page.locator(".drawing [data-part=centre-wheel].marked").count() == 2
    page.keyboard.press("Enter")
    page.locator("[data-drawing=train] [data-do=run]").focus()
    assert page.locator(".drawing [data-part=centre-wheel].marked").count() == 2
    page.keyboard.press("Escape")
    assert page.locator(".marked, .marking").count() == 0


def test_a_tap_marks_and_a_tap_elsewhere_unmarks(opened: Opener) -> None:
    """A finger cannot hover: a tap keeps the mark, the next one beside it takes it off."""
    page = opened(has_touch=True, viewport={"width": 390, "height": 844})
    page.locator("[data-drawing=train] [data-part=barrel] path.brass").tap(force=True)
    assert page.locator("tr[data-part=barrel].marked").count() == 1
    page.locator("h1").tap()
    assert page.locator(".marked").count() == 0


def test_all_by_keyboard(opened: Opener) -> None:
    """Space runs and stops, arrows step by a beat and change the speed, and a drawing is no tab stop."""
    page = opened()
    page.locator("[data-drawing=train] [data-do=run]").focus()
    page.keyboard.press("Space")
    assert not running(page)
    set_time(page, 50.1)
    page.keyboard.press("ArrowLeft")
    assert time_s(page) == pytest.approx(50.0, abs=1e-9)
    page.keyboard.press("ArrowUp")
    assert "twice" in status(page)
    page.keyboard.press("ArrowRight")
    page.clock.run_for(300)
    assert time_s(page) == pytest.approx(50.2, abs=1e-9)
    page.locator("[data-drawing=train] .scrub").focus()
    page.keyboard.press("Space")
    assert running(page)
    assert page.locator(".drawing [tabindex], .drawing a").count() == 0
    assert page.locator("tr[data-part][tabindex='0']").count() == 1


def test_says_changes_not_frames(opened: Opener) -> None:
    """A screen reader hears of a change of state once, and nothing while it runs."""
    page = opened()
    page.evaluate("""() => { window.heard = 0; new MutationObserver(list => window.heard += list.length)
      .observe(document.querySelector('[data-drawing=train] .state'), {childList: true, characterData: true, subtree: true}) }""")
    page.clock.run_for(2000)
    assert page.evaluate("heard") == 0
    press(page, "run")
    assert page.evaluate("heard") >= 1


def test_reduced_motion_starts_still_and_may_be_started(opened: Opener) -> None:
    """Who asks for less motion gets a drawing that stands at its start until started by hand; beats step without motion."""
    page = opened(reduced_motion="reduce")
    page.clock.run_for(1000)
    assert not running(page)
    assert time_s(page) == sample.START_S
    assert angle_deg(page, "minute-hand") == pytest.approx(48, abs=1e-6)
    press(page, "on")
    assert time_s(page) == pytest.approx(sample.START_S + 0.2)
    press(page, "run")
    page.clock.run_for(1000)
    assert time_s(page) == pytest.approx(sample.START_S + 1.2, abs=FRAME_S)


def _moves(page: Page, name: str) -> bool:
    drawing = page.locator(f"[data-drawing={name}] svg.drawing")
    first = drawing.screenshot()
    page.wait_for_timeout(130)
    return drawing.screenshot() != first


def test_without_script_it_moves_and_a_checkbox_stops_it(opened: Opener) -> None:
    """No script: the browser runs the drawing itself, and a bare checkbox holds all of it still."""
    page = opened(frozen=False, java_script_enabled=False)
    assert page.locator(".controls").first.is_hidden()
    for name in (TRAIN, BEATING):
        assert _moves(page, name)
        page.locator(f"label[for={name}-stop]").click()
        page.wait_for_timeout(50)
        assert not _moves(page, name)


def test_without_script_reduced_motion_is_still(opened: Opener) -> None:
    """No script and less motion asked for: still, hairspring and words included."""
    page = opened(frozen=False, java_script_enabled=False, reduced_motion="reduce")
    assert not _moves(page, TRAIN)
    assert not _moves(page, BEATING)


@pytest.mark.parametrize("width", [320, 390, 1440])
def test_targets_are_large_enough(opened: Opener, width: int) -> None:
    """WCAG 2.2, 2.5.8: 24 CSS px at the least; keys are 44. And 1.4.10: nothing scrolls sideways at 320."""
    page = opened(viewport={"width": width, "height": 800})
    sizes = page.evaluate("""() => {
      const nodes = document.querySelectorAll('.controls :is(button, select, .scrub, .tick), tr[data-part], .head a');
      return [...nodes].map(node => [node.className || node.tagName, node.getBoundingClientRect()])
        .map(([name, box]) => [name, Math.min(box.width, box.height)]);
    }""")
    assert len(sizes) > 20
    assert [entry for entry in sizes if entry[1] < 24] == []
    assert all(size >= 44 for name, size in sizes if "key" in name)
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_in_a_sandboxed_frame(opened: Opener, browser: Browser, tmp_path: Path) -> None:
    """Framed with scripts allowed and nothing else, as one file, it runs."""
    static = sample.TEMPLATES / "static"
    html = sample.write_page(tmp_path / "one").read_text(encoding="utf-8")
    html = re.sub(r"<meta http-equiv.*?>", "", html)
    for name in ("player.js", "marks.js"):
        code = (static / name).read_text(encoding="utf-8")
        html = html.replace(f'<script src="static/{name}" defer></script>', f"<script>{code}</script>")
    html = re.sub(r'<link rel="(stylesheet|icon)".*?>', "", html)
    (tmp_path / "one" / "train.html").write_text(html, encoding="utf-8")
    (tmp_path / "frame.html").write_text(
        '<iframe sandbox="allow-scripts" src="one/train.html" width="900" height="900"></iframe>', encoding="utf-8"
    )
    page = opened(frozen=False)
    page.goto((tmp_path / "frame.html").as_uri())
    wait_until(page.frames[1], "window.betweenPlates?.running('train') && betweenPlates.time('train') > 36480.2")


def test_leaves_one_frozen_name(opened: Opener) -> None:
    """The page's global scope gets one name, and nobody can bend it."""
    page = opened("native")
    before = set(page.evaluate("Object.getOwnPropertyNames(window)"))
    page = opened()
    added = {name for name in page.evaluate("Object.getOwnPropertyNames(window)") if name not in before}
    assert added == {"betweenPlates"}
    assert page.evaluate("Object.isFrozen(betweenPlates)")


def test_the_script_stays_small_and_alone() -> None:
    """One classic script: no module, no request, nothing kept but the state of winding, and that only while the tab is open.

    Under 9.2 kB without comments and layout; a minifier that also shortens names makes 6 kB of that.
    """
    text = (sample.TEMPLATES / "static" / "player.js").read_text(encoding="utf-8")
    bare = re.sub(r"/\*.*?\*/|(?m:^\s*//[^\n]*$)", "", text, flags=re.DOTALL)
    bare = re.sub(r" *([=+\-*/<>?:;,{}()\[\]&|!]+) *", r"\1", re.sub(r"\s*\n\s*", "\n", bare))
    assert 4000 < len(bare) < 9200
    assert not re.search(r"\b(import|export|fetch|XMLHttpRequest|localStorage|eval|innerHTML)\b", bare)


def test_the_state_of_winding_is_one_for_the_page_and_the_next(opened: Opener) -> None:
    """Choosing a state in one drawing chooses it in all that have it, and after a reload it is still chosen."""
    page = opened()
    states = page.locator("[data-choose=state]")
    value = states.nth(1).get_attribute("value")
    states.nth(1).check()
    chosen = page.locator(f"[data-choose=state][value='{value}']")
    assert all(each.is_checked() for each in chosen.all())
    page.reload()
    assert page.locator(f"[data-choose=state][value='{value}']").first.is_checked()
