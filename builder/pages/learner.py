"""The learner's pages of a movement, its chapters; and the ways that lead from page to page."""

from __future__ import annotations

from collections.abc import Container

from builder.going.going import Going
from builder.ground.wording import Wording
from builder.pages.chapters import CHAPTERS, chapters
from builder.pages.lesson_plan import plan_file
from builder.pages.press import Press
from builder.pages.shown import Context, Shown

WAYS = {"index.html": "shelf", "terms.html": "terms", "computing.html": "computing"}
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


def chapter_files(shown: Shown, press: Press, there: Container[str]) -> dict[str, bytes]:
    """The chapters of a movement; their path of power leads from one to the next. `there` are its other pages."""
    slug, say = shown.going.slug, press.wording.say
    stations = {
        each.station: {"file": station_file(each.station), "label": say(f"pages.stations.{each.station}").lower()}
        for each in CHAPTERS
        if f"{slug}/{station_file(each.station)}" in there
    }
    out = {"href": f"{slug}/index.html", "label": shown.going.name, "here": False}
    made: dict[str, bytes] = {}
    found = chapters(shown, press.chapters, press.wording, press.glossary, stations)
    for file, context in found:
        path = [
            {"href": f"{slug}/{each.page}", "label": say(f"learn.path.{each.key}"), "here": each.page == file}
            for each in CHAPTERS
        ]
        made |= press.page(
            f"{slug}/{file}", "chapter.html.jinja", nav=ways(press.wording, reading=out), power_path=path,
            description=shown.going.movement.movement.summary, **context,
        )  # fmt: skip
    return made | plan_file(shown, press, found, ways(press.wording, reading=out))
