"""The self-test in a real browser, opened from disk."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from itertools import pairwise
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page

from tests.browser.pages_helper import address, watched
from tests.conftest import BuiltSite

SLUG = "hall_clock"
LENGTH = 12

FORGETFUL = """Object.defineProperty(window, "localStorage", { get() { throw new DOMException("no", "SecurityError"); } });"""
"""As browsers answer where a page may keep nothing."""

Opener = Callable[..., Page]


@pytest.fixture
def opened(browser: Browser, built_site: BuiltSite) -> Iterator[Opener]:
    """`opened(after, before)` opens the self-test; `after` stands after the file's name, `before` is a script run first."""
    with ExitStack() as stack:
        troubles: list[str] = []

        def open_page(after: str = "", before: str = "", **view: Any) -> Page:
            page = stack.enter_context(watched(browser, built_site.folder, troubles, still=True, **view))
            if before:
                page.add_init_script(before)
            page.goto(address(built_site.folder, f"{SLUG}/self-test.html{after}"), wait_until="load")
            return page

        yield open_page
        assert troubles == []


def now(page: Page) -> Locator:
    return page.locator(".question.now")


def key(page: Page) -> str:
    return now(page).get_attribute("id") or ""


def right_answers(page: Page) -> list[str]:
    """From the page's own list: the right one, or all in order."""
    terms = now(page).locator("dt").all_text_contents()
    return terms if now(page).get_attribute("data-form") == "order" else terms[:1]


def button(page: Page, text: str) -> Locator:
    """The button that gives an answer."""
    return now(page).locator(f'button[value="{text}"]')


def answer(page: Page, well: bool = True) -> None:
    """Gives the right answer, or a wrong one."""
    right = right_answers(page)
    if len(right) > 1:
        for text in right if well else right[::-1]:
            button(page, text).click()
        return
    if well:
        button(page, right[0]).click()
        return
    now(page).locator(f'button:not([value="{right[0]}"])').first.click()


def verdict(page: Page) -> str:
    return page.locator(".verdict").inner_text()


def onward(page: Page) -> None:
    page.locator(".next").click()


RUN = """missing => {
  const found = [];
  for (let question; (question = document.querySelector(".question.now")); document.querySelector(".next").click()) {
    const buttons = [...question.querySelectorAll("button")];
    const right = [...question.querySelectorAll("dt")].map(term => term.textContent);
    found.push([question.id, buttons.map(button => button.textContent)]);
    const good = !missing.includes(found.length), press = text => buttons.find(button => button.value === text).click();
    if (question.dataset.form === "order") (good ? right : right.reverse()).forEach(press);
    else if (good) press(right[0]);
    else buttons.find(button => button.value !== right[0]).click();
  }
  return found;
}"""


def paper(page: Page, missing: tuple[int, ...] = ()) -> list[tuple[str, list[str]]]:
    """Answers a whole paper, some questions wrongly; keys and answers as they stood, question by question."""
    return [(name, texts) for name, texts in page.evaluate(RUN, list(missing))]


def run_through(page: Page, missing: tuple[int, ...] = ()) -> list[str]:
    """The same, the keys alone."""
    return [name for name, _ in paper(page, missing)]


def mixed_again(start: int) -> Callable[[int], int]:
    """The page's numbers a second time, in whole numbers: s becomes 1664525 s + 1013904223 modulo 2^32."""
    state = start * 2654435761 % 2**32

    def below(n: int) -> int:
        nonlocal state
        state = (1664525 * state + 1013904223) % 2**32
        return state * n // 2**32

    return below


def test_a_run_with_right_and_wrong_answers(opened: Opener) -> None:
    """Right answers are confirmed with their reasoning, wrong ones explained, and the score says how many were right."""
    page = opened("#paper=4")
    for n in range(LENGTH):
        assert page.locator(".progress").inner_text() == f"Question {n + 1} of {LENGTH}"
        well, right = n % 3 != 0, right_answers(page)
        why = now(page).locator("dd").all_text_contents()
        answer(page, well)
        said = verdict(page)
        assert said.startswith("Right." if well else "Not so.")
        assert why[0] in said
        if not well and len(right) == 1:
            assert f"Right is: {right[0]}." in said
        assert now(page).locator("button.right").count() >= (1 if well or len(right) == 1 else 0)
        assert now(page).locator("button.wrong").count() == (0 if well else 1)
        before = key(page)
        now(page).locator("button").first.click(force=True)
        assert verdict(page) == said and key(page) == before, "an answer is given once"
        onward(page)
    assert page.locator(".score").inner_text() == f"8 of {LENGTH} right"
    assert page.locator(".missed li").count() == 4
    assert re.search(r"12 have been answered and 8 were right", page.locator(".record").inner_text())


def test_each_wrong_answer_has_its_own_explanation(opened: Opener) -> None:
    """What is said of a wrong answer is what the list says of that very answer."""
    page = opened("#paper=2")
    seen = 0
    while now(page).count():
        right = right_answers(page)
        if now(page).get_attribute("data-form") == "choice":
            terms = now(page).locator("dt").all_text_contents()
            whys = now(page).locator("dd").all_text_contents()
            button(page, terms[2]).click()
            assert whys[2] in verdict(page) and whys[0] in verdict(page) and whys[1] not in verdict(page)
            seen += 1
        else:
            answer(page, len(right) == 1)
        onward(page)
    assert seen >= 5


def test_the_same_number_is_the_same_paper(opened: Opener) -> None:
    """Two readers with one number have the same questions with the same answers in the same order, by hash or by query, whatever
    they did before; another number is another paper, with something of each kind."""
    first = opened("#paper=123")
    one = paper(first)
    assert paper(opened("?paper=123")) == one
    first.evaluate("location.hash = 'paper=7'")
    other = paper(first)
    first.evaluate("location.hash = 'paper=123'")
    assert paper(first) == one
    assert {key for key, _ in one} != {key for key, _ in other} and len(one) == len(other) == LENGTH
    assert len({key.split(".")[0] for key, _ in one}) == 8
    assert len({key for key, _ in one}) == LENGTH


def test_the_numbers_are_whole_and_alike_everywhere(opened: Opener) -> None:
    """A paper is what the same whole-number arithmetic makes of it outside the browser."""
    page = opened("#paper=4711")
    listed = (
        opened("", script=False).locator(".question").evaluate_all("nodes => nodes.map(node => [node.id, node.dataset.kind])")
    )
    below, pile, drawn = mixed_again(4711), [tuple(each) for each in listed], []
    while pile:
        drawn.append(pile.pop(below(len(pile))))
    kinds: dict[str, list[str]] = {}
    for name, kind in drawn:
        kinds.setdefault(kind, []).append(name)
    taken: list[str] = []
    while len(taken) < LENGTH:
        taken += [own.pop() for own in kinds.values() if own]
    assert [name for name, _ in paper(page)] == taken[:LENGTH]


def test_what_was_missed_is_asked_again(opened: Opener, browser: Browser) -> None:
    """After a paper with three misses those three are asked; once they are right, nothing is left to repeat. The record stays for
    the next visit."""
    page = opened("#paper=9")
    asked = run_through(page, (2, 5, 6))
    page.locator(".again").click()
    assert page.locator(".progress").inner_text() == "Missed before: question 1 of 3"
    assert sorted(run_through(page)) == sorted(asked[n - 1] for n in (2, 5, 6))
    assert page.locator(".score").inner_text() == "3 of 3 right"
    assert not page.locator(".again").is_visible()
    page.reload()
    run_through(page, (1,))
    assert page.locator(".again").is_visible()
    assert "12 have been answered and 11 were right" in page.locator(".record").inner_text()
    page.locator(".another").click()
    assert page.url.endswith("#paper=10")
    page.wait_for_selector(".question.now")
    run_through(page)
    page.locator(".again").click()
    assert key(page) == asked[0], "kept over papers"


def test_where_nothing_can_be_kept(opened: Opener) -> None:
    """It asks and counts all the same, repeats what was missed in this visit, and says that nothing is kept."""
    page = opened("#paper=9", before=FORGETFUL)
    asked = run_through(page, (4,))
    assert page.locator(".score").inner_text() == f"11 of {LENGTH} right"
    assert "no record" in page.locator(".record").inner_text()
    page.locator(".again").click()
    assert run_through(page) == [asked[3]]


def test_by_keyboard_alone(opened: Opener) -> None:
    """Tab and Enter answer; number keys choose while the question has the focus, and do nothing elsewhere; focus goes on to the
    next question, and the verdict is announced."""
    page = opened("#paper=1")
    page.locator(".paper input").focus()
    page.keyboard.press("3")
    assert verdict(page) == ""
    page.locator(".paper input").fill("4")
    page.keyboard.press("Enter")
    page.wait_for_selector(".question.now")
    assert page.url.endswith("#paper=4")
    assert page.locator(".verdict").get_attribute("role") == "status"
    for _ in range(LENGTH):
        assert page.evaluate("document.activeElement.closest('.question.now') !== null"), "focus is on the question"
        count = now(page).locator("button").count()
        if now(page).get_attribute("data-form") == "order":
            for n in range(count):
                page.keyboard.press(str(n + 1))
        else:
            page.keyboard.press("Tab")
            page.keyboard.press("Enter")
        assert verdict(page)
        assert page.evaluate("document.activeElement.classList.contains('next')")
        page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.classList.contains('result')")


def test_steps_can_be_taken_back(opened: Opener) -> None:
    """A step pressed again is taken back with those after it; only the whole order is judged."""
    page = opened("#paper=3")
    while now(page).get_attribute("data-form") != "order":
        answer(page)
        onward(page)
    right = right_answers(page)
    button(page, right[0]).click()
    button(page, right[2]).click()
    assert (
        button(page, right[2]).inner_text() == f"2. {right[2]}" and button(page, right[2]).get_attribute("aria-pressed") == "true"
    )
    button(page, right[2]).click()
    assert button(page, right[2]).get_attribute("aria-pressed") == "false" and verdict(page) == ""
    for text in right[1:]:
        button(page, text).click()
    assert verdict(page).startswith("Right.")


def to(page: Page, form: str, drawing: str = "train-front") -> None:
    """Goes on, paper after paper, to a question of some form about a drawing."""
    for number in range(1, 40):
        page.evaluate(f"location.hash = 'paper={number}'")
        page.wait_for_selector(".question.now")
        while now(page).count():
            if now(page).get_attribute("data-form") == form and now(page).get_attribute("data-drawing") == drawing:
                return
            answer(page)
            onward(page)
    raise AssertionError(f"no question of {form}")


def test_a_part_is_marked_in_the_drawing(opened: Opener) -> None:
    """The named part pressed in the drawing is the answer; it is marked there then, in the one drawing that is shown."""
    page = opened()
    to(page, "mark")
    part = key(page).removeprefix("mark.")
    shown = page.locator("figure:not(.aside)")
    assert shown.count() == 1 and shown.get_attribute("data-drawing") == "train-front"
    page.locator(f"[data-drawing=train-front] .balloon[data-part={part}] .rim").click(force=True)
    assert verdict(page).startswith("Right.")
    assert page.locator(f"[data-drawing=train-front] .part.marked[data-part={part}]").count() >= 1


def test_the_part_to_be_named_is_marked(opened: Opener) -> None:
    """Only it, with its balloon; a touch on another part tells nothing and unmarks nothing."""
    page = opened()
    to(page, "choice")
    while not key(page).startswith("name."):
        answer(page)
        onward(page)
        if not now(page).count():
            page.locator(".another").click()
            page.wait_for_selector(".question.now")
    part, drawing = key(page).removeprefix("name."), now(page).get_attribute("data-drawing")
    marked = f"[data-drawing={drawing}] .part.marked"
    names = "nodes => [...new Set(nodes.map(node => node.dataset.part))]"
    assert page.locator(marked).evaluate_all(names) == [part]
    page.locator(f"[data-drawing={drawing}] .balloon:not([data-part={part}]) .rim").first.click(force=True)
    page.locator(f"[data-drawing={drawing}] .balloon:not([data-part={part}]) .rim").first.hover(force=True)
    assert page.locator(marked).evaluate_all(names) == [part] and verdict(page) == ""


def test_targets_are_large_enough(opened: Opener) -> None:
    """Whatever can be pressed is 24 px or more each way at 320 px (WCAG 2.2, criterion 2.5.8); answers are 44 px high."""
    page = opened("#paper=5", width=320, height=640)
    while now(page).count():
        sizes = page.evaluate(
            """() => [...document.querySelectorAll('.self-test :is(button, input, summary)')].filter(node => node.offsetParent)
                 .map(node => [node.offsetWidth, node.offsetHeight])"""
        )
        assert all(min(size) >= 24 for size in sizes)
        assert all(box["height"] >= 43 for item in now(page).locator("button").all() if (box := item.bounding_box()))
        answer(page, False)
        onward(page)


def test_without_script_all_questions_stand_as_a_list(opened: Opener) -> None:
    """Every question with its answers, and under each an answer that opens; nothing that only a script could do."""
    page = opened("", script=False)
    questions = page.locator(".question")
    assert questions.count() >= 40 and all(each.is_visible() for each in (questions.first, questions.last))
    first = page.locator("[id='turns.hour.third']")
    assert first.locator(".answers li").count() == 4 and not first.locator("dl").is_visible()
    first.locator("summary").click()
    assert first.locator("dl").is_visible() and first.locator("dt").count() == 4
    assert not page.locator(".paper").is_visible() and not page.locator(".result").is_visible()
    assert page.locator(".plate[data-drawing]").count() == 2


def test_printed_it_is_the_paper(opened: Opener) -> None:
    """On paper stand this paper's questions in its order, with the answers to choose from and without the solutions."""
    page = opened("#paper=6")
    page.emulate_media(media="print")
    shown = [each for each in page.locator(".question").all() if each.is_visible()]
    assert len(shown) == LENGTH
    tops = [box["y"] for each in shown if (box := each.bounding_box())]
    assert all(a < b for a, b in pairwise(tops))
    assert not any(each.is_visible() for each in page.locator(".question dl").all())
    assert page.locator(".paper input").is_visible() and not page.locator(".paper button").is_visible(), "it says which paper"
    assert all(figure.is_visible() for figure in page.locator("figure.plate").all()), "questions are about both drawings"
