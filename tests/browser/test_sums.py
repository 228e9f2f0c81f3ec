"""The calculator page in a browser: its script comes to what the Python sums come to, and answers as one types."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from builder.bench import SUMS, work
from builder.bench.examples import EXAMPLES
from builder.bench.live import PLANS
from builder.bench.working.asked import Unreadable
from builder.bench.working.lines import Line
from builder.bench.working.said import written
from builder.ground.faults import Refused
from tests.bench_sums.arithmetic import worked
from tests.bench_sums.questions import questions
from tests.browser.pages_helper import opened
from tests.conftest import BuiltSite
from tests.solved import wording

Open = Callable[..., Page]
PAGE = "bench-sums.html"
COUNT = 1000

LIVE = """asked => asked.map(([name, texts]) => {
  const found = benchSums.work(name, texts);
  return found ? found.lines : null;
})"""


def answer(name: str, texts: dict[str, str]) -> list[Line] | None:
    """The closed lines of the Python sum; None where it refuses."""
    try:
        return [line for line in work(name, texts).lines if not line.solved]
    except (Refused, Unreadable):
        return None


def differences(python: list[Line] | None, script: list[list[Any]] | None) -> str:
    """How the script's lines differ; nothing where they are the same to twelve figures."""
    if python is None or script is None:
        return "" if python is script else f"one of them refuses: {python} {script}"
    mine, theirs = [(line.name, line.by) for line in python], [(line[0], line[2]) for line in script]
    if mine != theirs:
        return f"other lines: {mine} {theirs}"
    for line, (_, value, *_) in zip(python, script, strict=True):
        if float(line.value) != pytest.approx(value, rel=1e-9, abs=1e-7 if line.name.endswith("s_per_day") else 1e-9):  # type: ignore[arg-type]
            return f"{line.name}: {line.value} {value}"
    return ""


def test_a_thousand_random_questions(open_page: Open) -> None:
    """On a thousand random questions, a few of them impossible, the script has the same lines with the same values as the
    Python sums, and refuses what they refuse."""
    asked = questions(COUNT, seed=1)
    found = open_page(PAGE).evaluate(LIVE, asked)
    refused = 0
    for (name, texts), script in zip(asked, found, strict=True):
        python = answer(name, texts)
        refused += python is None
        assert not (told := differences(python, script)), (name, texts, told)
    assert 20 < refused < COUNT / 4


def test_a_difference_is_noticed(open_page: Open) -> None:
    """Negative control: another number in one box makes another answer, and the comparison says where."""
    texts = EXAMPLES["pendulum-length"]
    (same, other) = open_page(PAGE).evaluate(
        LIVE, [["pendulum-length", texts], ["pendulum-length", texts | {"latitude_deg": "51.5001"}]]
    )
    python = answer("pendulum-length", texts)
    assert differences(python, same) == ""
    assert differences(python, other).startswith("gravity_m_s2")
    assert "other lines" in differences(python, same[1:])


def test_what_cannot_be_read_is_impossible(open_page: Open) -> None:
    """Words, empty fractions and figures out of bounds are refused by the script as by the command."""
    odd = ["x", "1/0", "1//2", "-", "1e999", "nan", "--5", "0x10", "7 1/2 x"]
    asked = [["pendulum-length", {"beat_s": text}] for text in odd]
    asked += [["pendulum-length", {"beat_s": "40"}], ["module", {"teeth": "3", "mate": "60", "outside_mm": "5"}]]
    asked += [["module", {"teeth": "7.5", "mate": "60", "outside_mm": "5"}], ["rate", {}]]
    assert open_page(PAGE).evaluate(LIVE, asked) == [None] * len(asked)
    for name, texts in asked:
        assert answer(name, texts) is None, texts


def shown(page: Page, name: str) -> list[dict[str, str]]:
    return page.locator(f"[data-sum={name}] .working li").evaluate_all(
        "all => all.map(one => Object.fromEntries([...one.children].map(p => [p.className, p.textContent])))"
    )


def test_typing_changes_every_line(open_page: Open) -> None:
    """At first the page shows Python's example; after typing it shows the same words for other figures, line by line, and the
    numbers put in come to the result."""
    page = open_page(PAGE)
    page.locator("#rating-nut-rate_s_per_day").fill("25")
    said = written(work("rating-nut", EXAMPLES["rating-nut"] | {"rate_s_per_day": "25"}), wording())
    lines = shown(page, "rating-nut")
    assert [line["what"] for line in lines] == [line.label for line in said.lines]
    assert [line["result"] for line in lines] == [line.text for line in said.lines]
    for line in lines:
        assert worked(line["put"].removeprefix("= ")) == pytest.approx(worked(plain(line["result"])), rel=1e-3)


def plain(result: str) -> str:
    """The figure of a result without its unit."""
    return result.split("\u202f")[0].replace("s a day", "").replace("+", "")


def test_every_sum_shows_what_python_shows(open_page: Open) -> None:
    """Worked anew in the page, the example of every sum reads as it was written into the page, word for word."""
    page = open_page(PAGE)
    before = {name: shown(page, name) for name in PLANS}
    page.evaluate("document.querySelectorAll('.ask').forEach(ask => ask.dispatchEvent(new Event('input', { bubbles: true })))")
    for name, lines in before.items():
        after = shown(page, name)
        assert lines and after is not lines
        for sort in ("what", "result", "by"):
            assert [line[sort] for line in after] == [line[sort] for line in lines], name


def test_impossible_numbers_are_said(open_page: Open) -> None:
    """Two answers to one question: the lines give way to a sentence in a live region, and come back when it is mended."""
    page = open_page(PAGE)
    page.locator("#pendulum-length-beats_per_hour").fill("3600")
    section = page.locator("[data-sum=pendulum-length]")
    assert section.locator("[role=status]").inner_text() == wording()["sums.page.impossible"]
    assert not section.locator(".working").is_visible()
    page.locator("#pendulum-length-beats_per_hour").fill("")
    assert section.locator("[role=status]").inner_text() == ""
    assert section.locator(".working").is_visible()


def test_every_box_has_a_name_and_is_large_enough(open_page: Open) -> None:
    """Every box has a label of its own and is at least 24 px high and wide, at 360 px too (WCAG 2.2, 2.5.8)."""
    page = open_page(PAGE, width=360)
    boxes = page.locator(".ask :is(input, select)")
    assert boxes.count() == sum(len(SUMS[name].model_fields) for name in PLANS) - 3
    assert boxes.evaluate_all("all => all.every(one => one.labels.length === 1 && one.labels[0].textContent)")
    assert boxes.evaluate_all("all => Math.min(...all.map(one => Math.min(one.offsetHeight, one.offsetWidth)))") >= 24


def test_without_script_the_examples_stand(browser: Browser, built_site: BuiltSite) -> None:
    """Without script there are no boxes, but what was given and every line of a worked example of each sum."""
    with opened(browser, built_site.folder, PAGE, script=False) as page:
        assert not page.locator(".ask").first.is_visible()
        assert page.locator(".given").first.is_visible()
        assert page.locator(".sum .working").count() == len(PLANS)
