"""A chapter's text: Markdown that jinja has filled with a movement's figures, cut into lede, steps, question, answer, bench.

    # Title
    What the chapter is about, in a sentence or two.
    ## What a step shows
    @ what the drawing does meanwhile (see show.py)
    Its text.
    ## ?
    A question to think over.
    ## =
    Its answer.
    ## !
    Why it matters at the bench.

A quotation (> …) is a caution. Names and other texts from a person's file come in as plain text, whatever they hold.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache
from html import unescape
from pathlib import Path
from typing import Any

from jinja2 import FileSystemLoader, StrictUndefined
from jinja2.sandbox import ImmutableSandboxedEnvironment
from markdown import Markdown
from markupsafe import Markup, escape

from builder.ground.words import united

MARKS = {"?": "question", "=": "answer", "!": "bench"}


@dataclass(frozen=True)
class Step:
    """A step: its heading, its HTML, and the line that says what the drawing does."""

    title: str
    html: str
    line: str


@dataclass(frozen=True)
class Text:
    """A chapter's parts as HTML; title and headings are plain text."""

    title: str
    lede: str
    steps: tuple[Step, ...]
    question: str
    answer: str
    bench: str

    def linked(self, link: Any) -> Text:
        """With `link(html)` applied to each part, in the order of reading."""
        lede = link(self.lede)
        steps = tuple(replace(step, html=link(step.html)) for step in self.steps)
        question, answer = link(self.question), link(self.answer)
        return replace(self, lede=lede, steps=steps, question=question, answer=answer, bench=link(self.bench))


class UnfinishedError(ValueError):
    """A chapter without one of its parts: a slip in the wording, not in a person's file."""


@lru_cache(maxsize=8)
def environment(folder: Path) -> ImmutableSandboxedEnvironment:
    """For the texts in a folder: they reach nothing but what they are given, and an unknown name is an error."""
    return ImmutableSandboxedEnvironment(
        loader=FileSystemLoader(folder),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=plainly,
    )


def plainly(value: Any) -> Markup:
    """A value as text that Markdown and HTML leave alone."""
    if isinstance(value, Markup):
        return value
    return Markup(re.sub(r"([\\`*_{}\[\]()#+!-])", r"\\\1", escape(str(value))))  # nosec B704 # escaped before


def read(env: ImmutableSandboxedEnvironment, name: str, told: dict[str, Any]) -> Text:
    """The text of that name filled with what is told. Raises UnfinishedError, jinja2.TemplateError."""
    filled = united(env.get_template(name).render(**told))
    heads = list(re.finditer(r"^(#{1,2}) (.+)$", filled, re.MULTILINE))
    if not heads or heads[0][1] != "#" or any(head[1] == "#" for head in heads[1:]):
        raise UnfinishedError(f"{name}: one title (# …) comes first")
    ends = [*(head.start() for head in heads[1:]), len(filled)]
    parts: dict[str, str] = {}
    steps: list[Step] = []
    title, lede = _plain(heads[0][2]), html(filled[heads[0].end() : ends[0]])
    for head, end in zip(heads[1:], ends[1:], strict=True):
        body = filled[head.end() : end].strip()
        if head[2] in MARKS:
            parts[MARKS[head[2]]] = html(body)
            continue
        line, body = body.split("\n", 1) if body.startswith("@") else ("@", body)
        steps.append(Step(_plain(head[2]), html(body), line[1:].strip().replace("\\", "")))
    if missing := [part for part in MARKS.values() if not parts.get(part)]:
        raise UnfinishedError(f"{name}: no {', '.join(missing)}")
    if not steps or not lede:
        raise UnfinishedError(f"{name}: no {'steps' if lede else 'opening'}")
    return Text(title, lede, tuple(steps), **parts)


def html(markdown: str) -> str:
    """Markdown of our own as HTML; a quotation is a caution."""
    made = Markdown(extensions=["sane_lists"], output_format="html").convert(markdown)
    return made.replace("<blockquote>", '<div class="caution">').replace("</blockquote>", "</div>")


def _plain(heading: str) -> str:
    """A heading's text without Markdown's signs."""
    return unescape(re.sub("<[^>]*>", "", html(heading)))
