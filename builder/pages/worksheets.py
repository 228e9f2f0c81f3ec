"""Worksheets and their answers as pages: a few variants beside a movement's other pages, and any variant as one file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Literal

from builder.lessons.worksheet import worksheet
from builder.pages.onefile import inside
from builder.pages.press import Press
from builder.pages.render import render
from builder.pages.shown import Context, Shown

STYLES = ("drawing.css", "paper.css")
VARIANTS = (1, 2, 3)
"""Those that the site has."""
MARGIN_MM = {"top": 13, "side": 14, "bottom": 16}
"""What is left of Letter and A4 within these margins holds every drawing: paper.css counts on it."""

Paper = Literal["a4", "letter"]
SIZES: dict[Paper | None, str] = {None: "auto", "a4": "A4", "letter": "letter"}
"""Names of CSS Paged Media 3; where none is chosen, the browser's paper."""
PAPERS = ", ".join(name.capitalize() for name in SIZES if name)


def files(shown: Shown, press: Press, _made: Mapping[str, bytes]) -> dict[str, bytes]:
    """<movement>/paper/worksheet-1.html, its answers, and the other variants."""
    found = {}
    for variant in VARIANTS:
        for answers in (False, True):
            path = f"{shown.going.slug}/paper/{file_of(variant, answers)}"
            found[path] = page(shown, press, variant, answers, ways=_ways(variant, answers), path=path)
    return found


def file_of(variant: int, answers: bool) -> str:
    """worksheet-1.html, worksheet-1-answers.html."""
    return f"worksheet-{variant}{'-answers' if answers else ''}.html"


def links() -> list[Context]:
    """The site's variants as seen from a movement's page."""
    return [
        {"variant": variant, "sheet": f"paper/{file_of(variant, False)}", "answers": f"paper/{file_of(variant, True)}"}
        for variant in VARIANTS
    ]


def _ways(variant: int, answers: bool) -> Context:
    return {
        "papers": PAPERS,
        "other": file_of(variant, not answers),
        "variants": [{"href": file_of(each, answers), "variant": each, "here": each == variant} for each in VARIANTS],
    }


def page(
    shown: Shown,
    press: Press,
    variant: int,
    answers: bool,
    paper: Paper | None = None,
    ways: Context | None = None,
    path: str = "",
) -> bytes:
    """One worksheet, or its answers, as a page of one file. `ways` lead to its neighbours where it has any."""
    going, wording = shown.going, press.wording
    sheet = worksheet(going, shown.plates, wording, shown.asked(wording), variant)
    which = wording.say("worksheet.page.answers" if answers else "worksheet.page.sheet", variant=variant)
    title = wording.say("worksheet.page.answers_title" if answers else "worksheet.page.title", name=going.name, variant=variant)
    resource = wording.say("worksheet.page.answers_resource" if answers else "worksheet.page.resource")
    frame = {**press.frame, "words": {**press.frame["words"], "resource": resource}}
    return render(
        press.env, "worksheet.html.jinja", **frame, path=path, ways=ways, sheet=sheet, answers=answers, called=going.name,
        title=title, inside=inside(press.templates / "static", STYLES, (), _on_every_page(f"{going.name} · {which}", paper)),
    )  # fmt: skip


def _on_every_page(text: str, paper: Paper | None) -> str:
    """Size and margins, and on every page what it belongs to and its number: leaves that come apart find together again."""
    margins = f"{MARGIN_MM['top']}mm {MARGIN_MM['side']}mm {MARGIN_MM['bottom']}mm"
    small = "font: 8pt 'Liberation Sans', Arial, sans-serif; color: #4a4a4a"
    return (
        f'@page {{ size: {SIZES[paper]}; margin: {margins}; @bottom-left {{ content: "{_quoted(text)}"; {small} }} '
        f'@bottom-right {{ content: counter(page) " / " counter(pages); {small} }} }}'
    )


def _quoted(text: str) -> str:
    """As a CSS string has it, whatever it holds: all but plain letters and figures by their code points."""
    return re.sub(r"[^A-Za-z0-9 .,]", lambda found: f"\\{ord(found[0]):06x} ", text)
