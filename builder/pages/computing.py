"""How it is computed: every law with its symbols, what it takes for granted and leaves out; published values beside computed."""

from __future__ import annotations

from functools import cache
from typing import Any

from markupsafe import Markup

from builder.bench import MOVEMENT_SUMS, SUMS, work
from builder.bench.examples import EXAMPLES
from builder.bench.working.said import written
from builder.ground.wording import Wording
from builder.pages.formula import mathml, plain
from builder.pages.learner import ways
from builder.pages.press import Press
from builder.pages.published import published
from builder.pages.shown import Context

PAGE = "computing.html"

NARROW = 23
"""Signs of a formula that has room on the narrowest screen; a longer one may have to be scrolled, and so is a tab stop."""


def computing(press: Press) -> dict[str, bytes]:
    """The page."""
    wording = press.wording
    by_group: dict[str, list[Context]] = {group: [] for group in wording["computing.groups"]}
    for one in wording["computing.sections"]:
        by_group[one["group"]].append(_section(one))
    groups = [
        {"id": group, "title": wording.say(f"computing.groups.{group}"), "sections": sections}
        for group, sections in by_group.items()
        if sections
    ]
    return press.page(
        PAGE, "computing.html.jinja", title=wording.say("computing.page.title"), description=wording.say("computing.page.lede"),
        nav=ways(wording, PAGE), groups=groups, sums=_sums(wording), published=published(wording),
    )  # fmt: skip


def explained(wording: Wording) -> dict[str, str]:
    """The address, from the site's root, of what explains a kind of figure."""
    return {kind: f"{PAGE}#{one['id']}" for one in wording["computing.sections"] for kind in one.get("facts", ())}


def sum_address(name: str) -> str:
    """The address, from the site's root, of a sum with all its formulas."""
    return f"{PAGE}#{_anchor(name)}"


def _anchor(name: str) -> str:
    return f"sum-{name}"


@cache
def _set(line: str, block: bool) -> Markup:
    return Markup(mathml(line, block))  # nosec B704 # made of escaped pieces


def _section(one: dict[str, Any]) -> Context:
    return {
        "id": one["id"],
        "title": one["title"],
        "says": one["says"],
        "formulas": [(_set(line, True), plain(line)) for line in one["formulas"]],
        "wide": any(len(plain(line)) > NARROW for line in one["formulas"]),
        "symbols": [(_set(letter, False), plain(letter), meaning, unit) for letter, meaning, unit in one["symbols"]],
        "assumes": one["assumes"],
        "neglects": one["neglects"],
        "source": one["source"],
        "code": one["code"],
    }


def _sums(wording: Wording) -> list[Context]:
    """Each sum with its formulas in words, once each."""
    found = []
    for name in [*SUMS, *MOVEMENT_SUMS]:
        key = f"sums.{name.replace('-', '_')}"
        lines: dict[str, Context] = {}
        if name in SUMS:
            for line in written(work(name, EXAMPLES[name]), wording).lines:
                if line.formula and line.formula not in lines:
                    lines[line.formula] = {"label": line.label.partition(",")[0], "formula": line.formula, "source": line.source}
        neglects = f"{key}.neglects"
        found.append(
            {
                "id": _anchor(name),
                "title": wording.say(f"{key}.title"),
                "lede": wording.say(f"{key}.lede"),
                "lines": list(lines.values()),
                "neglects": wording.say(neglects) if neglects in wording else "",
            }
        )
    return found
