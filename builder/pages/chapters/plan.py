"""How a chapter is taught: Markdown that jinja has filled with a movement's figures, cut into what a teacher needs.

    @ aim
    What they can do afterwards.
    @ bring
    - A thing.
    @ show steps=2 minutes=5
    What to do and say at the chapter's next two steps; steps=rest takes those that are left.
    @ bench minutes=10
    What they do with their own hands.
    @ ask
    A question.
    = What to expect.
    @ mistake
    What is often thought.
    = How to meet it.
    @ care
    What can hurt.

Parts of one name may come again. A time stands for what a class needs, and is no figure of the movement.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from jinja2.sandbox import ImmutableSandboxedEnvironment

from builder.pages.chapters.text import UnfinishedError, html

ASKS_MINUTES = 2
"""For each question to the class."""
REST = "rest"
NAMES = frozenset({"aim", "bring", "show", "bench", "ask", "mistake", "care"})
PART = re.compile(r"^@ (\w+)(.*)$", re.MULTILINE)


@dataclass(frozen=True)
class Scene:
    """A stretch of the lesson: what the teacher does, the chapter's steps it goes with (numbers from one), how long."""

    html: str
    minutes: int
    steps: tuple[int, ...]


@dataclass(frozen=True)
class Said:
    """A question or a mistake, and what belongs to it, as HTML."""

    text: str
    answer: str


@dataclass(frozen=True)
class Plan:
    """A chapter's plan. Texts are HTML."""

    aim: str
    bring: str
    scenes: tuple[Scene, ...]
    asks: tuple[Said, ...]
    mistakes: tuple[Said, ...]
    care: str

    @property
    def minutes(self) -> int:
        """All together."""
        return sum(scene.minutes for scene in self.scenes) + ASKS_MINUTES * len(self.asks)


def read(env: ImmutableSandboxedEnvironment, name: str, told: dict[str, Any], steps: int) -> Plan:
    """The plan of that name for a chapter of so many steps. Raises UnfinishedError, jinja2.TemplateError.

    Steps that the scenes do not come to go with the last scene that shows any, and a scene that finds none left shows none: a
    chapter of an unusual movement has more of them or fewer.
    """
    filled = env.get_template(name).render(**told)
    heads = list(PART.finditer(filled))
    if unknown := sorted({head[1] for head in heads} - NAMES):
        raise UnfinishedError(f"{name}: what is {', '.join(unknown)}?")
    ends = [*(head.start() for head in heads[1:]), len(filled)]
    parts = [(head[1], _wishes(head[2]), filled[head.end() : end].strip()) for head, end in zip(heads, ends, strict=True)]
    if missing := sorted(NAMES - {part for part, _, _ in parts}):
        raise UnfinishedError(f"{name}: no {', '.join(missing)}")

    def of(wanted: str) -> list[str]:
        return [body for part, _, body in parts if part == wanted]

    def talk(wanted: str) -> tuple[Said, ...]:
        return tuple(_said(body, name) for body in of(wanted))

    aim, bring, care = (html("\n\n".join(of(wanted))) for wanted in ("aim", "bring", "care"))
    return Plan(aim, bring, _scenes(parts, steps), talk("ask"), talk("mistake"), care)


def _wishes(text: str) -> dict[str, str]:
    return dict(word.split("=", 1) for word in text.split())


def _scenes(parts: list[tuple[str, dict[str, str], str]], steps: int) -> tuple[Scene, ...]:
    shows = [n for n, (part, _, _) in enumerate(parts) if part == "show"]
    made, at = [], 1
    for n, (part, wishes, body) in enumerate(parts):
        if part not in ("show", "bench"):
            continue
        count = 0
        if part == "show":
            count = steps if wishes["steps"] == REST or n == shows[-1] else int(wishes["steps"])
        taken = tuple(range(at, min(at + count, steps + 1)))
        at += len(taken)
        made.append(Scene(html(body), int(wishes["minutes"]), taken))
    return tuple(made)


def _said(body: str, name: str) -> Said:
    text, sign, answer = body.partition("\n= ")
    if not sign:
        raise UnfinishedError(f"{name}: no answer to {text!r}")
    return Said(html(text), html(answer))
