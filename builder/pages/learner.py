"""The learner's pages: chapters of each movement, the glossary, how all is computed; and the ways that lead to them."""

from __future__ import annotations

from collections.abc import Container
from pathlib import Path

from jinja2 import Environment

from builder.going.going import Going
from builder.ground.wording import Wording
from builder.movement.collection import Collection
from builder.pages.chapters import CHAPTERS, chapters
from builder.pages.embed import Outfit
from builder.pages.glossary import Glossary
from builder.pages.render import render
from builder.pages.shown import Context, Shown
from builder.pages.terms import terms

WAYS = {"index.html": "shelf", "terms.html": "terms"}
"""The parts of the site: page → its name in the wording."""


def ways(wording: Wording, here: str = "", reading: Context | None = None) -> list[Context]:
    """The parts of the site, and after the shelf, on a movement's page, the way into its chapters (or back out of them)."""
    found = [{"href": page, "label": wording.say(f"learn.ways.{name}"), "here": page == here} for page, name in WAYS.items()]
    return [*found[:1], *([reading] if reading else []), *found[1:]]


def way_in(going: Going, wording: Wording) -> Context:
    """The way from a movement's pages into its chapters."""
    return {"href": f"{going.slug}/{CHAPTERS[0].page}", "label": wording.say("learn.read"), "here": False}


def station_file(station: str) -> str:
    """The file of one of a movement's pages."""
    return "index.html" if station == "overview" else f"{station.replace('_', '-')}.html"


def learner(
    collection: Collection, movements: list[Shown], env: Environment, frame: Context, wear: Outfit, templates: Path,
    wording: Wording, there: Container[str],
) -> dict[str, bytes]:  # fmt: skip
    """All these pages by path; `there` are the movements' other pages."""
    glossary = Glossary.of(wording)
    texts = templates / "wording" / collection.language / "chapters"
    made: dict[str, bytes] = {}
    for shown in movements:
        made |= _chapters(shown, env, frame, texts, wording, glossary, there)
    context, drawings = terms(glossary, movements, wear, wording)
    made["terms.html"] = render(
        env, "terms.html.jinja", **frame, root="", path="terms.html", nav=ways(wording, "terms.html"),
        description=wording.say("learn.terms.lede", count=len(glossary.terms)), power_path=[], **context,
    )  # fmt: skip
    return made | drawings


def _chapters(
    shown: Shown, env: Environment, frame: Context, texts: Path, wording: Wording, glossary: Glossary, there: Container[str]
) -> dict[str, bytes]:
    """The chapters of a movement; their path of power leads from one to the next."""
    slug, made = shown.going.slug, {}
    stations = {
        each.station: {"file": station_file(each.station), "label": wording.say(f"pages.stations.{each.station}").lower()}
        for each in CHAPTERS
        if f"{slug}/{station_file(each.station)}" in there
    }
    out = {"href": f"{slug}/index.html", "label": shown.going.name, "here": False}
    for file, context in chapters(shown, texts, wording, glossary, stations):
        path = [
            {"href": f"{slug}/{each.page}", "label": wording.say(f"learn.path.{each.key}"), "here": each.page == file}
            for each in CHAPTERS
        ]
        made[f"{slug}/{file}"] = render(
            env, "chapter.html.jinja", **frame, root="../", path=f"{slug}/{file}", nav=ways(wording, reading=out),
            description=shown.going.movement.movement.summary, power_path=path, **context,
        )  # fmt: skip
    return made
