"""The page of the trade's words, with small drawings cut out of the collection's own movements."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby
from typing import Any

from builder.drawing.cutout import cutout
from builder.drawing.sheet import Sheet
from builder.ground.wording import Wording
from builder.pages.glossary import Term
from builder.pages.learner import ways
from builder.pages.press import Press
from builder.pages.shown import Shown

PAGE = "terms.html"

WIDEST_PX, HIGHEST_PX = 150, 130
"""Room for a small drawing."""


def drawn(shown: Shown, press: Press) -> dict[str, Any]:
    """Term → its small drawing after this movement: SVG text, title and size on the page."""
    found = {}
    for term in press.glossary.terms:
        small = _drawn(term, shown, press.wording)
        if small is not None:
            svg = small.svg(press.wear.style, press.wear.credit)
            found[term.id] = {"svg": svg, "alt": small.title, **_size(small)}
    return found


def terms(told: Iterable[dict[str, Any]], press: Press) -> dict[str, bytes]:
    """The page and its small drawings: a term is drawn after the first movement that shows it, or not at all."""
    glossary = press.glossary
    shown: dict[str, dict[str, Any]] = {}
    for each in told:
        shown = each | shown
    names = {term.id: term.name for term in glossary.terms}
    made = {_file(id_): picture["svg"].encode("utf-8") for id_, picture in shown.items()}
    letters = []
    for letter, group in groupby(glossary.terms, key=lambda term: term.letter):
        entries = [
            {
                "term": term,
                "see": [(each, names[each]) for each in term.see],
                "picture": shown[term.id] | {"href": _file(term.id)} if term.id in shown else None,
            }
            for term in group
        ]
        letters.append((letter, entries))
    count = len(glossary.terms)
    return made | press.page(
        PAGE, "terms.html.jinja", nav=ways(press.wording, PAGE), title=press.wording.say("learn.terms.title"),
        description=press.wording.say("learn.terms.lede", count=count), letters=letters, count=count,
    )  # fmt: skip


def _file(term: str) -> str:
    return f"static/terms/{term}.svg"


def _drawn(term: Term, shown: Shown, wording: Wording) -> Sheet | None:
    if term.figure is None:
        return None
    model, plate = shown.going.movement, shown.plates.get(term.figure["plate"])
    kind = term.figure.get("of")
    if plate is None or kind not in (None, model.source.kind, model.escapement.kind, model.oscillator.kind):
        return None
    title = wording.say("learn.terms.picture", term=term.name, name=shown.going.name)
    return cutout(plate.sheet, frozenset(term.figure["parts"]), f"term-{term.id}", title)


def _size(small: Sheet) -> dict[str, int]:
    """Pixels on the page, the drawing's own proportions kept."""
    _, _, width, height = small.box
    scale = min(WIDEST_PX / width, HIGHEST_PX / height)
    return {"width": max(1, round(width * scale)), "height": max(1, round(height * scale))}
