"""The page of the trade's words, with small drawings cut out of the collection's own movements."""

from __future__ import annotations

from itertools import groupby

from builder.drawing.cutout import cutout
from builder.drawing.sheet import Sheet
from builder.ground.wording import Wording
from builder.pages.embed import Outfit
from builder.pages.glossary import Glossary, Term
from builder.pages.shown import Context, Shown

WIDEST_PX, HIGHEST_PX = 150, 130
"""Room for a small drawing."""


def terms(glossary: Glossary, movements: list[Shown], wear: Outfit, wording: Wording) -> tuple[Context, dict[str, bytes]]:
    """(context, small drawings by path): a term is drawn after the first movement that shows it, or not at all."""
    files: dict[str, bytes] = {}
    names = {term.id: term.name for term in glossary.terms}
    letters = []
    for letter, group in groupby(glossary.terms, key=lambda term: term.letter):
        entries = []
        for term in group:
            small = _drawn(term, movements, wording)
            if small is not None:
                files[_file(term)] = small.svg(wear.style, wear.credit).encode("utf-8")
            entries.append(
                {
                    "term": term,
                    "see": [(each, names[each]) for each in term.see],
                    "picture": None if small is None else {"href": _file(term), "alt": small.title, **_size(small)},
                }
            )
        letters.append((letter, entries))
    return {"title": wording.say("learn.terms.title"), "letters": letters, "count": len(glossary.terms)}, files


def _file(term: Term) -> str:
    return f"static/terms/{term.id}.svg"


def _drawn(term: Term, movements: list[Shown], wording: Wording) -> Sheet | None:
    if term.figure is None:
        return None
    for shown in movements:
        model, plate = shown.going.movement, shown.plates.get(term.figure["plate"])
        kind = term.figure.get("of")
        if plate is None or kind not in (None, model.source.kind, model.escapement.kind, model.oscillator.kind):
            continue
        title = wording.say("learn.terms.picture", term=term.name, name=shown.going.name)
        small = cutout(plate.sheet, frozenset(term.figure["parts"]), f"term-{term.id}", title)
        if small is not None:
            return small
    return None


def _size(small: Sheet) -> dict[str, int]:
    """Pixels on the page, the drawing's own proportions kept."""
    _, _, width, height = small.box
    scale = min(WIDEST_PX / width, HIGHEST_PX / height)
    return {"width": max(1, round(width * scale)), "height": max(1, round(height * scale))}
