"""Lesson plans: every step of every chapter has its place in a lesson, in order, and answers are this movement's figures."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from builder.pages.chapters import text
from builder.pages.chapters.plan import ASKS_MINUTES, Plan, read
from tests.conftest import BuiltSite
from tests.lessons.recomputed import hours
from tests.pages.chapters_helper import CHAPTERS, plain
from tests.pages.plan_helper import faults, lessons

ROOT = Path(__file__).parents[2]
TEXTS = sorted((ROOT / "templates" / "wording" / "en" / "plans").glob("*.md"))
SLUGS = sorted(path.parent.name for path in (ROOT / "models").glob("*/movement.toml"))


@pytest.mark.parametrize("slug", SLUGS)
def test_a_lesson_for_each_chapter(built_site: BuiltSite, slug: str) -> None:
    """All steps once and in order, a clock without gaps, at least three questions and mistakes with their answers, a caution, and
    sentences of at most 25 words (common practice, no source) after two of lead-in."""
    assert faults(built_site.files, slug) == []


def test_faults_are_found(built_site: BuiltSite) -> None:
    """Negative control: a plan that leaves a step out, or goes back in time, is told."""
    path = "hall_clock/lesson-plan.html"
    page = built_site.files[path].decode()
    for wrong in (page.replace("learn-train.html#step-2", "learn-train.html#step-1"), page.replace("4–11<", "5–11<", 1)):
        assert len(faults({**built_site.files, path: wrong.encode()}, "hall_clock")) == 1


@pytest.mark.parametrize("slug", SLUGS)
def test_chapters_and_catalogue_lead_to_it(built_site: BuiltSite, slug: str) -> None:
    """From each chapter to its own lesson, and from the page for class."""
    for chapter in CHAPTERS:
        assert f'href="lesson-plan.html#{chapter}"' in built_site.files[f"{slug}/learn-{chapter}.html"].decode()
    assert 'href="lesson-plan.html"' in built_site.files[f"{slug}/for-class.html"].decode()


def test_times_add_up(built_site: BuiltSite) -> None:
    """The time of all is that of each together, and each is its scenes and two minutes a question."""
    page = built_site.files["pocket_watch/lesson-plan.html"].decode()
    each = [hours(time) for time in re.findall(r'</a> <span class="note">([^<]*min|[^<]*h)</span></li>', page)]
    (whole,) = re.findall(r"All chapters together: (.*?)\. ", page)
    assert len(each) == len(CHAPTERS) and hours(whole) == sum(each)
    for (chapter, html), time in zip(lessons(page).items(), each, strict=True):
        last = int(re.findall(r"–(\d+)</p>", html)[-1])
        questions = html.split("What is often misunderstood")[0].count('class="asking"') - 1  # one is for home
        assert 60 * time == last + ASKS_MINUTES * questions, chapter


def test_answers_are_this_movements_figures(built_site: BuiltSite) -> None:
    """Of the hall clock, from its counts: 96/8 × 64/8 × 60/8 are 720; 30 teeth make 60 beats; sixteen turns of 12 h, 8 days."""
    made = {key: plain(html) for key, html in lessons(built_site.files["hall_clock/lesson-plan.html"].decode()).items()}
    assert "96/8 × 64/8 × 60/8 = 720 times" in made["train"]
    assert "30 teeth, two beats for each: 60." in made["escapement"]
    assert re.search("16 turns times 12.h make 8.days", made["source"])
    assert "36 × 72 over 36 × 6 is 12" in made["hands"]


@pytest.mark.parametrize("path", TEXTS, ids=lambda path: path.stem)
def test_no_figure_is_typed_in_a_plan(path: Path) -> None:
    """Figures come from the movement; a lesson's minutes stand in the lines that begin with @. Nothing is exclaimed."""
    prose = re.sub(r"\{[{%#].*?[}%#]\}", "", path.read_text("utf-8"), flags=re.DOTALL)
    prose = "\n".join(line for line in prose.split("\n") if not line.startswith("@"))
    assert not re.search(r"\d|!", prose)
    assert not re.search(r"\b(simply|obviously|of course|easily)\b", prose, re.IGNORECASE)


# ---- the machinery

WHOLE = """@ aim
A.
@ bring
- B.
@ show steps=1 minutes=2
C.
@ bench minutes=3
D.
@ show steps=2 minutes=4
E.
@ ask
F?
= G.
@ mistake
H.
= I.
@ care
J.
"""


def plan(folder: Path, markdown: str, steps: int = 3) -> Plan:
    (folder / "one.md").write_text(markdown, "utf-8")
    return read(text.environment(folder), "one.md", {}, steps)


def test_a_plan_is_cut_into_its_parts(tmp_path: Path) -> None:
    """Scenes in order with their steps and times; questions with their answers; the time of all."""
    made = plan(tmp_path, WHOLE)
    assert [(scene.html, scene.minutes, scene.steps) for scene in made.scenes] == [
        ("<p>C.</p>", 2, (1,)), ("<p>D.</p>", 3, ()), ("<p>E.</p>", 4, (2, 3)),
    ]  # fmt: skip
    assert (made.asks[0].text, made.asks[0].answer, made.mistakes[0].answer) == ("<p>F?</p>", "<p>G.</p>", "<p>I.</p>")
    assert made.minutes == 9 + ASKS_MINUTES


@pytest.mark.parametrize("steps", range(6))
def test_no_step_is_lost_whatever_a_chapter_has(tmp_path: Path, steps: int) -> None:
    """More steps than are told of go with the last scene that shows any; where there are fewer, a scene shows none."""
    taken = [n for scene in plan(tmp_path, WHOLE, steps).scenes for n in scene.steps]
    assert taken == list(range(1, steps + 1))


@pytest.mark.parametrize("gone", ["@ aim\nA.\n", "@ bring\n- B.\n", "@ bench minutes=3\nD.\n", "= G.\n", "@ care\nJ.\n"])
def test_a_plan_without_a_part_is_refused(tmp_path: Path, gone: str) -> None:
    """Nothing half finished reaches a page."""
    with pytest.raises(text.UnfinishedError):
        plan(tmp_path, WHOLE.replace(gone, ""))


def test_an_unknown_part_is_refused(tmp_path: Path) -> None:
    """A slip in a text stops the build instead of leaving a gap."""
    with pytest.raises(text.UnfinishedError, match="song"):
        plan(tmp_path, WHOLE + "@ song\nLa.\n")
