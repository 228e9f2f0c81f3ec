"""A package run by an open run-time of SCORM 1.2 that is not ours (tests/vendor), in a frame, as a learning platform runs it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Frame, Page, Route

from tests.browser.pages_helper import barriers, opened
from tests.packs.platform_packs import VENDOR, package

RUN_TIME = VENDOR / "scorm-again-3.4.3" / "scorm12.min.js"
PLATFORM = """<!doctype html><html lang="en"><meta charset="utf-8"><title>A platform</title><link rel="icon" href="data:,">
<style>body { margin: 0 } iframe { border: 0; width: 100%; height: 100vh }</style>
<main><h1 hidden>A platform</h1></main>
<script type="module">
  import { Scorm12API } from "/run-time.js";
  const api = new Scorm12API({ autocommit: false });
  api.loadFromJSON(START, "");
  window.API = api;
  window.failures = [];
  for (const name of ["LMSSetValue", "LMSGetValue", "LMSCommit", "LMSInitialize", "LMSFinish"])
    api.on(name, (...told) => api.LMSGetLastError() === "0" || failures.push([name, ...told]));
</script></html>"""

LAUNCH = """address => document.querySelector("main").insertAdjacentHTML("beforeend",
  `<iframe title="Course" src="${address}" NESTED></iframe>`)"""

ANSWER = """good => {
  const question = document.querySelector(".question.now"), buttons = [...question.querySelectorAll("button")];
  const right = [...question.querySelectorAll("dt")].map(term => term.textContent);
  const press = text => buttons.find(button => button.value === text).click();
  if (question.dataset.form === "order") (good ? right : right.reverse()).forEach(press);
  else if (good) press(right[0]);
  else buttons.find(button => button.value !== right[0]).click();
  document.querySelector(".next").click();
  return [question.id, question.dataset.form];
}"""


@contextmanager
def launched(browser: Browser, files: dict[str, bytes], start: dict[str, Any], query: str = "", **view: int) -> Iterator[Page]:
    """The package in a frame of a platform that has kept `start` of it. Nothing but these files is there to be asked for."""
    troubles: list[str] = []

    def answer(route: Route) -> None:
        name = re.sub(r"[?#].*", "", route.request.url).removeprefix("http://platform.example/")
        if name == "":
            route.fulfill(body=PLATFORM.replace("START", json.dumps(start)), content_type="text/html")
        elif name == "run-time.js":
            route.fulfill(path=RUN_TIME, content_type="text/javascript")
        elif name.removeprefix("course/") in files:
            route.fulfill(body=files[name.removeprefix("course/")], content_type="text/html")
        else:
            troubles.append(f"asks for {route.request.url}")
            route.abort()

    context = browser.new_context(
        viewport={"width": view.get("width", 1000), "height": view.get("height", 700)}, reduced_motion="reduce"
    )
    context.route("**/*", answer)
    page = context.new_page()
    page.on("pageerror", lambda error: troubles.append(str(error)))
    page.on("console", lambda said: troubles.append(said.text) if said.type in ("error", "warning") else None)
    page.goto("http://platform.example/")
    page.wait_for_function("window.API && window.failures")
    page.evaluate(LAUNCH.replace("NESTED", ""), f"/course/index.html{query}")
    page.wait_for_function("API.isInitialized() && frames[0].document.readyState === 'complete'")
    yield page
    assert page.evaluate("failures") == [] and troubles == []
    context.close()


def course(page: Page) -> Frame:
    return page.frames[1]


def left(page: Page) -> dict[str, Any]:
    """The learner leaves: what the platform has of the visit then."""
    page.evaluate("document.querySelector('iframe').remove()")
    assert page.evaluate("API.isTerminated()"), "the package said that it ends"
    return json.loads(page.evaluate("API.renderCMIToJSONString()"))["cmi"]


def answered(page: Page, *well: bool) -> list[tuple[str, str]]:
    return [tuple(course(page).evaluate(ANSWER, good)) for good in well]


def of_interactions(cmi: dict[str, Any], *names: str) -> list[tuple[str, ...]]:
    return [tuple(each[name] for name in names) for each in cmi["interactions"].values()]


WELL = (True, False, True, True)


@pytest.fixture(scope="module")
def interrupted(browser: Browser) -> tuple[list[tuple[str, str]], dict[str, Any]]:
    """Four questions answered, one of them wrongly; then the learner leaves."""
    with launched(browser, package(), {}) as page:
        assert page.evaluate("API.cmi.core.lesson_status") == "incomplete"
        asked = answered(page, *WELL)
        return asked, left(page)


def test_every_answer_arrives(interrupted: tuple[list[tuple[str, str]], dict[str, Any]]) -> None:
    """Question, form, answer and result of each, the right answer beside it, in the words of the standard and as the package's
    key has it; time spent; no score yet, and the wish to go on later."""
    asked, cmi = interrupted
    forms, key = {"choice": "choice", "mark": "fill-in", "order": "sequencing"}, package()["key.txt"].decode("utf-8")
    assert of_interactions(cmi, "id", "type") == [(name, forms[form]) for name, form in asked]
    assert of_interactions(cmi, "result") == [("correct" if good else "wrong",) for good in WELL]
    for number, each in cmi["interactions"].items():
        right, given = each["correct_responses"]["0"]["pattern"], each["student_response"]
        assert (right == given) == WELL[int(number)]
        one = {"choice": r"[a-d]", "sequencing": r"[a-z](,[a-z])*", "fill-in": r"\d{1,2}"}[each["type"]]
        assert re.fullmatch(one, right) and re.fullmatch(one, given)
        assert re.fullmatch(r"\d\d:\d\d:\d\d", each["time"]) and re.fullmatch(r"\d{2,4}:\d\d:\d\d(\.\d+)?", each["latency"])
        told = key.partition(f"\n{each['id']}\n")[2].partition("\n\n")[0].splitlines()
        assert told[-1] == f"  right: {right}"
    assert cmi["core"]["lesson_status"] == "incomplete" and cmi["core"]["score"]["raw"] == ""
    assert cmi["core"]["exit"] == "suspend" and re.fullmatch(r"\d{2,4}:\d\d:\d\d(\.\d+)?", cmi["core"]["session_time"])
    assert len(cmi["suspend_data"]) < 4096, "the standard's limit"


def test_it_goes_on_where_it_was_left(browser: Browser, interrupted: tuple[list[tuple[str, str]], dict[str, Any]]) -> None:
    """The next visit begins with the fifth question; at the end the score counts the answers of both visits, and the interactions
    follow on. What was missed then can be repeated, which changes no score."""
    asked, cmi = interrupted
    with launched(browser, package(), cmi) as page:
        assert course(page).locator(".progress").inner_text() == "Question 5 of 12"
        asked += answered(page, *[True] * 8)
        assert course(page).locator(".score").inner_text() == "11 of 12 right"
        assert page.evaluate("API.cmi.core.score.raw") == "91.67"
        course(page).locator(".again").click()
        answered(page, False)
        end = left(page)
    assert [name for (name,) in of_interactions(end, "id")] == [name for name, _ in asked] + [asked[1][0]]
    assert end["core"]["lesson_status"] == "completed"
    assert end["core"]["score"] == {"raw": "91.67", "min": "0", "max": "100"}
    with launched(browser, package(), end) as page:
        assert course(page).locator(".score").inner_text() == "11 of 12 right", "the paper's end is there again"
        assert "12 have been answered" in course(page).locator(".record").inner_text()


def test_the_best_paper_counts_against_the_mark_to_pass(browser: Browser) -> None:
    """With a mastery score of 80 a paper of 7 in 12 is failed; a better one passes; a worse one after it takes nothing back."""
    files, start = package("--pass", "80", "--paper", "7"), {"student_data": {"mastery_score": "80"}}
    with launched(browser, files, start, "?paper=7") as page:
        assert course(page).locator(".paper input").input_value() == "7"
        answered(page, *[True] * 7, *[False] * 5)
        assert page.evaluate("[API.cmi.core.lesson_status, API.cmi.core.score.raw]") == ["failed", "58.33"]
        for right, raw in ((12, "100"), (3, "100")):
            course(page).locator(".another").click()
            course(page).locator(".question.now").wait_for()
            answered(page, *[True] * right, *[False] * (12 - right))
            assert page.evaluate("[API.cmi.core.lesson_status, API.cmi.core.score.raw]") == ["passed", raw]


def test_who_only_looks_leaves_nothing(browser: Browser) -> None:
    """Reviewed or browsed, the package reports nothing."""
    with launched(browser, package(), {"core": {"lesson_mode": "review"}}) as page:
        answered(page, True, False)
        cmi = left(page)
    assert cmi["interactions"] == {} and cmi["suspend_data"] == "" and cmi["core"]["lesson_status"] == "not attempted"


def test_a_lesson_is_complete_when_it_has_been_read(browser: Browser) -> None:
    """Section by section; left in the middle, it opens there again; at its end it is complete, and has no score."""
    step = "frames[0].scrollBy(0, 500)"
    with launched(browser, package("lesson"), {}) as page:
        page.wait_for_function("!frames[0].document.querySelector('[data-packed] > .note')")
        for _ in range(200):
            page.evaluate(step)
            page.evaluate("new Promise(requestAnimationFrame)")
            if page.evaluate("API.cmi.suspend_data").startswith("11"):
                break
        here = page.evaluate("API.cmi.core.lesson_location")
        half = left(page)
    assert half["core"]["lesson_status"] == "incomplete" and re.fullmatch(r"1{2,3}0+", half["suspend_data"])
    with launched(browser, package("lesson"), half) as page:
        page.wait_for_function("frames[0].scrollY > 0")
        assert abs(page.evaluate(f"frames[0].document.getElementById('{here}').getBoundingClientRect().top")) < 60
        for _ in range(200):
            page.evaluate(step)
            page.evaluate("new Promise(requestAnimationFrame)")
            if page.evaluate("API.cmi.core.lesson_status") == "completed":
                break
        end = left(page)
    assert end["core"]["lesson_status"] == "completed" and end["core"]["score"]["raw"] == ""


def test_the_platform_is_found_above_and_where_the_window_was_opened(browser: Browser) -> None:
    """Two frames down, and in a window of its own."""
    files = package() | {"nested.html": b'<!doctype html><title>n</title><iframe title="t" src="index.html"></iframe>'}
    with launched(browser, files, {}) as page:
        page.evaluate("document.querySelector('iframe').remove()")
        assert page.evaluate("API.isTerminated()")
        page.evaluate("API.reset()")
        page.evaluate(LAUNCH.replace("NESTED", ""), "/course/nested.html")
        page.wait_for_function("API.isInitialized()")
        page.evaluate("document.querySelector('iframe').remove()")
        page.evaluate("API.reset()")
        with page.context.expect_page() as window:
            page.evaluate("void open('/course/index.html')")
        window.value.wait_for_load_state()
        assert page.evaluate("API.isInitialized()") and window.value.evaluate("!!paperKeeper")


def test_without_a_platform_it_is_the_page_it_was(browser: Browser, tmp_path: Path) -> None:
    """Opened from disk: a whole paper, the score, and the browser's own record, with no complaint."""
    (tmp_path / "index.html").write_bytes(package()["index.html"])
    with opened(browser, tmp_path, "index.html", still=True) as page:
        for n in range(12):
            page.evaluate(ANSWER, n > 0)
        assert page.locator(".score").inner_text() == "11 of 12 right"
        assert "12 have been answered" in page.locator(".record").inner_text()
        assert page.evaluate("window.paperKeeper") is None
        assert not barriers(page)


def test_in_a_sandbox_of_another_site_it_is_the_page_it_was(browser: Browser) -> None:
    """What is above it may not be looked at: no platform, no complaint, and a question is asked."""
    around = """<!doctype html><title>Another site</title>
      <script>window.API = { LMSInitialize: () => (document.title = "called") };</script>
      <iframe sandbox="allow-scripts" title="Course" src="http://course.example/"></iframe>"""
    troubles: list[str] = []
    page = browser.new_page()
    page.on("pageerror", lambda error: troubles.append(str(error)))
    page.on("console", lambda said: troubles.append(said.text))
    course_page = package()["index.html"]
    page.route("http://course.example/", lambda route: route.fulfill(body=course_page, content_type="text/html"))
    page.route("http://other.example/", lambda route: route.fulfill(body=around, content_type="text/html"))
    page.goto("http://other.example/")
    page.frame_locator("iframe").locator(".question.now").wait_for()
    assert course(page).evaluate("window.paperKeeper") is None and page.title() == "Another site" and troubles == []
    page.close()


@pytest.mark.parametrize("width", [320, 1440])
def test_in_the_frame_nothing_hangs_over(browser: Browser, width: int) -> None:
    """Narrow or wide, the page fits its frame, and has one first heading."""
    with launched(browser, package(), {}, width=width) as page:
        frame = course(page)
        assert frame.locator("h1").count() == 1
        assert frame.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
