"""For class: every drawing as a teacher takes it along, with its options, and what else is there to hand out."""

from __future__ import annotations

from builder.ground import words
from builder.ground.wording import Wording
from builder.pages.embed import offers
from builder.pages.shown import Context, Shown
from builder.pages.worksheets import PAPERS, links

FIRST = "train-front"


def context(shown: Shown, wording: Wording) -> Context:
    """The catalogue: what each drawing is, which files there are of it, and what can be chosen."""
    going = shown.going
    drawings = [_drawing(shown, slug) for slug in shown.plates]
    first = next(drawing for drawing in drawings if drawing["slug"] == FIRST)
    return {
        "title": f"{going.name}: {wording.say('pages.stations.for_class').lower()}",
        "movement": going.slug,
        "drawings": drawings,
        "first": first,
        "worksheets": links(),
        "papers": PAPERS,
        "states": [(name.replace(" ", "-"), wording.say(f"site.player.state_names.{name}")) for name in _states(shown)],
        "choices": {
            drawing["slug"]: {key: drawing[key] for key in ("title", "parts", "moves", "varies", "lines")} for drawing in drawings
        },
    }


def _states(shown: Shown) -> list[str]:
    return [winding.name for winding in shown.going.windings]


def _drawing(shown: Shown, slug: str) -> Context:
    plate = shown.plates[slug]
    _, _, width, height = plate.sheet.box
    title = plate.sheet.title.removeprefix(f"{shown.going.name}: ")
    return {
        "slug": slug,
        "title": words.capital(title),
        "desc": plate.sheet.desc,
        "width": round(width),
        "height": round(height),
        "parts": [[row.part, row.name] for row in plate.rows],
        "speed": plate.sheet.speed,
        **offers(plate.sheet, shown.inline[slug]),
    }
