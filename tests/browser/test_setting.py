"""Setting the hands in a browser: the motion work follows by its exact ratios, and the train is never moved."""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest
from playwright.sync_api import Page

Opener = Callable[..., Page]

AT_S = 36480.0
"""8 min past 10."""

MOVEMENTS = {
    "hall_clock": {"cannon-pinion": Fraction(1), "minute-wheel": Fraction(-1), "hour-wheel": Fraction(1, 12)},
    "pocket_watch": {"cannon-pinion": Fraction(1), "minute-wheel": Fraction(-1, 3), "hour-wheel": Fraction(1, 12)},
}
"""What one turn of the minute hand turns, by the counts of the file: 36/36 and 6/72; 12/36 and 10/40."""

STANDING = """() => Object.fromEntries([...document.querySelectorAll('[data-drawing=setting] svg .m')].map((node, n) => {
  const part = node.closest('[data-part]')?.dataset.part || 'other', m = node.getScreenCTM();
  const transform = node.getAttribute('transform'), set = !!node.closest('[data-turn]');
  return [`${n} ${part}`, {transform, set, m: [m.a, m.b, m.c, m.d, m.e, m.f]}];
}))"""


FRAMES_PASS = """async () => {
  for (let n = 0; n < 6; n++) await new Promise((seen) => requestAnimationFrame(() => setTimeout(seen)));
}"""
"""However long a busy machine takes for a frame."""


def standing(page: Page) -> dict[str, Any]:
    """Every moving group of the drawing: the transform that the player wrote, and where it truly stands on the screen."""
    return page.evaluate(STANDING)


def stop(page: Page, at_s: float = AT_S) -> None:
    page.evaluate(
        "s => { scrollTo(0, 0); betweenPlates.time('setting', s); document.querySelector('#set').scrollIntoView(); }", at_s
    )


def turned_deg(before: dict[str, Any], after: dict[str, Any]) -> dict[str, float]:
    """By how much each part's group turned on the screen, clockwise, −180 to 180."""
    turned = {}
    for key, one in before.items():
        angle = [math.degrees(math.atan2(each["m"][1], each["m"][0])) for each in (one, after[key])]
        turned[key.split(" ", 1)[1]] = (angle[1] - angle[0] + 180) % 360 - 180
    return turned


def held_still(before: dict[str, Any], after: dict[str, Any]) -> None:
    """What the player wrote is the same everywhere, and where it is no part that is set the screen shows the same."""
    assert before.keys() == after.keys()
    for key, one in before.items():
        assert one["transform"] == after[key]["transform"], key
        if not one["set"]:
            assert one["m"] == after[key]["m"], key


@pytest.fixture(params=MOVEMENTS)
def set_page(request: pytest.FixtureRequest, open_page: Opener) -> tuple[Page, dict[str, Fraction]]:
    page = open_page(f"{request.param}/motion-work.html", width=1280, height=900)
    stop(page)
    return page, MOVEMENTS[request.param]


def expected(ratio: Fraction, minutes: float) -> float:
    return float((ratio * Fraction(minutes) * 6 + 180) % 360 - 180)


def test_buttons_turn_what_follows_and_nothing_else(set_page: tuple[Page, dict[str, Fraction]]) -> None:
    """Each key turns cannon pinion, minute wheel and hour wheel by their ratios; every transform of the train stays as it was."""
    page, ratios = set_page
    for by in (1, -5, 60, -60):
        before = standing(page)
        page.locator(f".setting [data-by='{by}']").click()
        after = standing(page)
        held_still(before, after)
        turned = turned_deg(before, after)
        for part, ratio in ratios.items():
            assert turned[part] == pytest.approx(expected(ratio, by), abs=1e-6), part
        assert turned["minute-hand"] == pytest.approx(turned["cannon-pinion"], abs=1e-6)
        assert turned["hour-hand"] == pytest.approx(turned["hour-wheel"], abs=1e-6)
        assert turned["centre-wheel"] == 0.0


def test_the_train_goes_on_while_the_hands_are_set(set_page: tuple[Page, dict[str, Fraction]], open_page: Opener) -> None:
    """At any later moment a train whose hands were set stands exactly where one stands whose hands were not."""
    page, _ = set_page
    page.locator(".setting [data-by='60']").click()
    page.locator(".setting [data-by='5']").click()
    other = open_page("/".join(page.url.split("/")[-2:]), width=1280, height=900)
    for seconds in (0.2, 1.0, 3599.7, 40000.0):
        stop(page, AT_S + seconds)
        stop(other, AT_S + seconds)
        ours, theirs = standing(page), standing(other)
        for key, one in theirs.items():
            assert ours[key]["transform"] == one["transform"]
            if not one["set"]:
                assert ours[key]["m"] == one["m"]


def test_by_keyboard(set_page: tuple[Page, dict[str, Fraction]]) -> None:
    """Arrow keys, Page Up and Down and Home on the hand do what the keys and the pointer do, and say what it shows."""
    page, ratios = set_page
    before = standing(page)
    page.locator(".grip").focus()
    assert page.evaluate("document.activeElement.classList.contains('grip')")
    for key in ("ArrowRight", "ArrowUp", "ArrowUp", "ArrowLeft", "ArrowDown", "PageUp", "PageUp", "PageDown"):
        page.keyboard.press(key)
    after = standing(page)
    held_still(before, after)
    assert turned_deg(before, after)["minute-wheel"] == pytest.approx(expected(ratios["minute-wheel"], 6), abs=1e-6)
    grip = page.locator(".grip")
    assert (grip.get_attribute("role"), grip.get_attribute("aria-valuetext")) == ("slider", "10:14")
    assert "6\u202fmin ahead" in page.locator(".setting .state").inner_text()
    page.keyboard.press("Home")
    assert turned_deg(before, standing(page))["minute-hand"] == pytest.approx(0, abs=1e-9)
    assert grip.get_attribute("aria-valuetext") == "10:08"


def centre_and_tip(page: Page) -> tuple[float, float, float, float]:
    """Centre of the minute hand and a point on it, px of the window."""
    return tuple(  # type: ignore[return-value]
        page.evaluate("""() => { const path = document.querySelector('.grip'), m = path.getScreenCTM();
            const at = (y) => [m.a * 0 + m.c * y + m.e, m.b * 0 + m.d * y + m.f];
            return [...at(0), ...at(path.getPointAtLength(0.7 * path.getTotalLength()).y)]; }""")
    )


def test_drag(set_page: tuple[Page, dict[str, Fraction]]) -> None:
    """The hand follows the pointer round more than a whole turn, and the motion work with it; the train is not moved."""
    page, ratios = set_page
    before = standing(page)
    x, y, tx, ty = centre_and_tip(page)
    page.mouse.move(tx, ty)
    page.mouse.down()
    start, radius = math.atan2(ty - y, tx - x), math.hypot(tx - x, ty - y)
    for step in range(1, 46):  # 450 degrees, ten at a time: an hour and a quarter
        angle = start + math.radians(10 * step)
        page.mouse.move(x + radius * math.cos(angle), y + radius * math.sin(angle))
    page.mouse.up()
    after = standing(page)
    held_still(before, after)
    turned = turned_deg(before, after)
    for part, ratio in ratios.items():
        assert turned[part] == pytest.approx(expected(ratio, 75), abs=0.02), part
    assert "1\u202fh 15\u202fmin ahead" in page.locator(".setting .state").inner_text()
    page.mouse.move(x, y + 40)  # let go: it no longer follows
    assert turned_deg(after, standing(page))["minute-hand"] == 0.0


def test_a_held_hand_stands_while_the_train_goes_on(set_page: tuple[Page, dict[str, Fraction]]) -> None:
    """Held by the pointer, the minute hand stays under it while the line of the train moves on: the friction slips."""
    page, _ = set_page
    _, _, tx, ty = centre_and_tip(page)
    page.mouse.move(tx, ty)
    page.mouse.down()
    before = standing(page)
    page.evaluate("document.querySelector('[data-drawing=setting] [data-do=run]').click()")
    page.wait_for_timeout(700)
    page.evaluate("document.querySelector('[data-drawing=setting] [data-do=run]').click()")
    page.evaluate(FRAMES_PASS)
    turned = turned_deg(before, standing(page))
    page.mouse.up()
    assert turned["centre-wheel"] > 1.0
    assert turned["minute-hand"] == pytest.approx(0, abs=1e-4)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("11:38", "1\u202fh 30\u202fmin ahead"),
        ("1138", "1\u202fh 30\u202fmin ahead"),
        ("9:50", "18\u202fmin behind"),
        ("950", "18\u202fmin behind"),
        ("22.08", "as the train has them"),
    ],
)
def test_a_time_typed_in(open_page: Opener, typed: str, says: str) -> None:
    """The hands go to a time typed in, the shorter way round; half a day does not show on a dial of twelve hours. Figures alone
    will do, as some telephones have no colon."""
    page = open_page("hall_clock/motion-work.html")
    stop(page)
    field = page.locator(".setting input")
    field.fill(typed)
    field.press("Enter")
    assert says in page.locator(".setting .state").inner_text()


@pytest.mark.parametrize("typed", ["soon", "", "25:10", "9:75", "-1:00", "1:2:3", "12", "99999"])
def test_what_is_no_time_is_refused(open_page: Opener, typed: str) -> None:
    """It is said, the field keeps it and is marked, nothing is turned; a time after it is taken."""
    page = open_page("hall_clock/motion-work.html")
    stop(page)
    before, field = standing(page), page.locator(".setting input")
    field.fill(typed)
    field.press("Enter")
    page.locator(".setting .state").click()
    if typed != "":
        assert field.input_value() == typed
    assert "no time of day" in page.locator(".setting .state").inner_text()
    assert field.get_attribute("aria-invalid") == "true"
    assert turned_deg(before, standing(page))["minute-hand"] == 0.0
    field.fill("11:38")
    field.press("Enter")
    assert field.get_attribute("aria-invalid") is None
    assert "1\u202fh 30" in page.locator(".setting .state").inner_text()


def test_across_twelve_by_touch_at_full_speed(open_page: Opener) -> None:
    """A finger turns the hand on and back across 12 o'clock, more than once round, on a telephone, while an hour of the train's
    runs by in a second: the hand stays under the finger, the motion work by its ratios, and the page does not scroll."""
    page = open_page("hall_clock/motion-work.html", width=390, height=844)
    stop(page)
    scrolled = page.evaluate("scrollY")
    touch = page.context.new_cdp_session(page)
    x, y, tx, ty = centre_and_tip(page)
    start, radius = math.atan2(ty - y, tx - x), math.hypot(tx - x, ty - y)

    def finger(kind: str, deg: float = 0.0) -> None:
        angle = start + math.radians(deg)
        points = [] if kind == "touchEnd" else [{"x": x + radius * math.cos(angle), "y": y + radius * math.sin(angle)}]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    before = standing(page)
    finger("touchStart")
    assert page.evaluate("betweenPlates.speed('setting', 3600)") == 3600
    page.evaluate("betweenPlates.run('setting', true)")
    steps = [*range(30, 781, 30), *range(750, -1021, -30)]
    for deg in steps:
        finger("touchMove", deg)
        page.evaluate("new Promise(requestAnimationFrame)")  # one place a frame, as a screen reports it
    page.evaluate("betweenPlates.run('setting', false)")
    page.wait_for_timeout(80)
    after = standing(page)
    finger("touchEnd")
    turned = turned_deg(before, after)
    assert turned["minute-hand"] == pytest.approx((steps[-1] + 180) % 360 - 180, abs=0.5)
    assert turned["hour-hand"] == pytest.approx((steps[-1] / 12 + 180) % 360 - 180, abs=0.1)
    assert turned["centre-wheel"] != 0.0
    assert page.evaluate("scrollY") == scrolled


def test_targets_are_large_enough(open_page: Opener) -> None:
    """24 px (WCAG 2.2, 2.5.8): every key of the panel, and the hand to either side of its middle, on a narrow screen too."""
    for width in (360, 1280):
        page = open_page("hall_clock/motion-work.html", width=width, height=800)
        stop(page)
        for box in page.locator(".setting :is(button, input)").evaluate_all(
            "all => all.map(one => one.getBoundingClientRect().toJSON())"
        ):
            assert box["width"] >= 24 and box["height"] >= 24
        page.locator("[data-drawing=setting] svg.drawing").scroll_into_view_if_needed()
        x, y, tx, ty = centre_and_tip(page)
        length = math.hypot(tx - x, ty - y)
        across = (-(ty - y) / length * 11.5, (tx - x) / length * 11.5)
        for sign in (-1, 1):
            at = [tx + sign * across[0], ty + sign * across[1]]
            assert page.evaluate("([x, y]) => document.elementFromPoint(x, y).classList.contains('grip')", at)


def test_other_drawings_are_left_alone(set_page: tuple[Page, dict[str, Fraction]]) -> None:
    """Setting turns the hands of its own drawing, not those at the head of the page."""
    page, _ = set_page
    read = "() => [...document.querySelectorAll('[data-drawing=motion-work] svg g')].map(node => node.getAttribute('transform'))"
    page.evaluate("betweenPlates.time('motion-work', 100)")
    before = page.evaluate(read)
    page.locator(".setting [data-by='60']").click()
    assert page.evaluate(read) == before


def test_without_script_it_is_a_moving_drawing(open_page: Opener) -> None:
    """No panel, no handle; the drawing moves by itself."""
    page = open_page("hall_clock/motion-work.html", script=False)
    assert not page.locator(".setting").is_visible()
    assert page.locator("[data-drawing=setting] animateTransform").count() > 5
    assert page.locator("[data-drawing=setting] .grip").evaluate_all("all => all.length") == 1
