"""For the teacher: each chapter of a movement as a lesson, with what to bring, what to show when, and what to ask."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

from markupsafe import Markup

from builder.ground.words import THIN
from builder.pages.chapters import CHAPTERS, Chapter
from builder.pages.chapters import text as chapter_text
from builder.pages.chapters.plan import Plan, read
from builder.pages.press import Press
from builder.pages.shown import Context, Shown
from builder.pages.worksheets import links

FILE = "lesson-plan.html"
TEXTS = "plans"
"""Beside the chapters' texts."""


def plan_file(shown: Shown, press: Press, chapters: Sequence[tuple[str, Context]], nav: list[Context]) -> dict[str, bytes]:
    """<movement>/lesson-plan.html. `chapters` are (file, context) of the chapter pages that it leads to."""
    going, say = shown.going, press.wording.say
    env = chapter_text.environment(press.chapters.parent / TEXTS)
    lessons = []
    for chapter, (file, context) in zip(CHAPTERS, chapters, strict=True):
        plan = read(env, f"{chapter.key}.md", context["told"], len(context["steps"]))
        lessons.append(_lesson(chapter, file, context, plan, press))
    title = say("plan.title", name=going.name)
    return press.page(
        f"{going.slug}/{FILE}", "lesson_plan.html.jinja", title=title, description=say("plan.lede"), nav=nav, lessons=lessons,
        minutes=_time(sum(lesson["whole"] for lesson in lessons)), worksheets=links(),
        words={**press.frame["words"], "resource": say("plan.resource")},
    )  # fmt: skip


def _lesson(chapter: Chapter, file: str, context: Context, plan: Plan, press: Press) -> Context:
    ends = list(accumulate(scene.minutes for scene in plan.scenes))
    return {
        "id": chapter.key,
        "label": press.wording.say(f"learn.chapters.{chapter.key}"),
        "heading": context["heading"],
        "file": file,
        "whole": plan.minutes,
        "minutes": _time(plan.minutes),
        "aim": Markup(plan.aim),  # nosec B704 # our own texts; what a file says in them is escaped by chapters.text.plainly
        "bring": Markup(plan.bring),  # nosec B704 # as above
        "scenes": [
            {
                "from": end - scene.minutes,
                "to": end,
                "html": Markup(scene.html),  # nosec B704 # as above
                "steps": [_step(n, file, context, press) for n in scene.steps],
            }
            for end, scene in zip(ends, plan.scenes, strict=True)
        ],
        "asks": [(Markup(each.text), Markup(each.answer)) for each in plan.asks],  # nosec B704 # as above
        "think": (context["question"], context["answer"]),
        "mistakes": [(Markup(each.text), Markup(each.answer)) for each in plan.mistakes],  # nosec B704 # as above
        "care": Markup(plan.care),  # nosec B704 # as above
    }


def _step(n: int, file: str, context: Context, press: Press) -> Context:
    """The chapter's step: where it is, what it is called, and how its drawing runs meanwhile; empty where nothing moves in it."""
    step, moves = context["steps"][n - 1], context["drawn"]["sheet"].moves()
    show = step["show"]
    speeds = {float(speed): text for speed, text in press.wording["site.player.speeds"]}
    how = press.wording.say("plan.stands") if show.get("stand") else speeds[show["speed"]]
    return {"n": n, "href": f"{file}#step-{n}", "title": step["title"], "how": how if moves else ""}


def _time(minutes: int) -> str:
    """55 min, 1 h 20 min."""
    hours, rest = divmod(minutes, 60)
    said = [f"{hours}{THIN}h"] if hours else []
    return " ".join([*said, *([f"{rest}{THIN}min"] if rest or not hours else [])])
