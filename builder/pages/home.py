"""The shelf: the first page, with every movement's portrait and what it is."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from builder.drawing.diagrams import train_plan
from builder.drawing.sheet import Sheet
from builder.ground import words
from builder.pages.learner import ways
from builder.pages.press import Press
from builder.pages.shown import Context, Shown


def portrait(shown: Shown) -> Sheet:
    """What the shelf shows of a movement."""
    return shown.plates["train-front"].sheet.bare(train_plan.MARGIN_PX - 16)


def portrait_file(shown: Shown, press: Press) -> dict[str, bytes]:
    """The portrait as a file in the movement's folder."""
    still = portrait(shown).still(press.wear.style, credit=press.wear.credit)
    return {f"{shown.going.slug}/train-front-still.svg": still.encode("utf-8")}


def tell(shown: Shown, press: Press) -> Context:
    """What the shelf says of a movement."""
    going, say = shown.going, press.wording.say
    hours = going.train.going_hours
    box = portrait(shown).box
    return {
        "slug": going.slug,
        "name": going.name,
        "summary": going.movement.movement.summary,
        "beats": say("pages.shelf.beats", beats=words.whole_and_part(going.train.beats_per_hour)),
        "goes": say("pages.shelf.goes", hours=words.duration(hours)) if hours else None,
        "width": round(box[2]),
        "height": round(box[3]),
    }


def home(movements: Iterable[dict[str, Any]], press: Press) -> dict[str, bytes]:
    """The page."""
    return press.page(
        "index.html", "home.html.jinja", title=press.collection.title, description=press.wording.say("pages.shelf.lede"),
        nav=ways(press.wording, "index.html"), shelf=list(movements),
    )  # fmt: skip
