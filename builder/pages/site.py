"""What goes where: the files of one movement, made without knowing of the others, and those of the shelf round them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from builder.pages import compare, home
from builder.pages.computing import computing
from builder.pages.embed import drawing_files
from builder.pages.hosting import hosting, sitemap
from builder.pages.learner import chapter_files, station_file, way_in, ways
from builder.pages.lesson import lesson
from builder.pages.press import Press
from builder.pages.repairs import gallery
from builder.pages.repairs.files import files as repair_files
from builder.pages.section import Page
from builder.pages.shown import Shown
from builder.pages.stations import STATIONS
from builder.pages.sums import calculator
from builder.pages.terms import drawn, terms
from builder.pages.worksheets import files as worksheet_files

WORTH_KNOWING = "worth_knowing"
"""The name under which a movement tells what its file is worth looking at again for."""

Site = dict[str, bytes]
"""Files by their path on the site."""


@dataclass(frozen=True)
class Unit:
    """What comes of one movement alone."""

    files: Site
    """All in the movement's own folder."""
    told: dict[str, Any]
    """What the pages of the shelf are told of it, by their names in SHELF, and what the commands say: as JSON has it."""


def unit(shown: Shown, press: Press) -> Unit:
    """Every file of a movement, and what the shelf must know of it."""
    files: Site = {}
    for further in OF_A_MOVEMENT:
        files |= further(shown, press, files)
    return Unit(files, {name: tell(shown, press) for name, (tell, _) in SHELF.items()} | {WORTH_KNOWING: shown.worth_knowing})


def apart(press: Press) -> Site:
    """The files that know of no movement."""
    return {path: data for made in APART for path, data in made(press).items()}


def shelf(told: Callable[[str], Iterable[Any]], paths: Iterable[str], press: Press) -> Site:
    """The files round all others, whose `paths` they list; `told` gives what a page is told of each movement, in their order."""
    made: Site = {}
    for name, (_, pages) in SHELF.items():
        made |= pages(told(name), press)
    return made | sitemap([*paths, *made], press)


def _pictures(shown: Shown, _press: Press, _made: Mapping[str, bytes]) -> Site:
    """Those of the author's notes."""
    return {f"{shown.going.slug}/{name}": data for name, data in shown.pictures.items()}


def _drawings(shown: Shown, press: Press, _made: Mapping[str, bytes]) -> Site:
    return drawing_files(shown, press.env, press.frame, press.wear) | home.portrait_file(shown, press)


def _stations(shown: Shown, press: Press, _made: Mapping[str, bytes]) -> Site:
    """The pages of the path of power."""
    going, wording = shown.going, press.wording
    made: Site = {}
    contexts = {name: context for name, page in STATIONS.items() if (context := page(shown, wording)) is not None}
    reading = way_in(going, wording)
    for name, context in contexts.items():
        path = [
            {"href": f"{going.slug}/{station_file(each)}", "label": wording.say(f"pages.stations.{each}"), "here": each == name}
            for each in contexts
        ]
        made |= press.page(
            f"{going.slug}/{station_file(name)}", f"{name}.html.jinja", description=going.movement.movement.summary,
            nav=ways(wording, reading=reading), power_path=path, reading=reading, **context,
        )  # fmt: skip
    return made


LESSON = ("overview", "power", "train", "escapement", "oscillator", "motion_work", "side_view")
"""The pages that are the lesson in one file: what is looked up, practised or done at the bench has pages of its own."""


def _lesson(shown: Shown, press: Press, made: Mapping[str, bytes]) -> Site:
    """The lesson in one file, of finished pages."""
    going, wording = shown.going, press.wording
    paths = {name: f"{going.slug}/{station_file(name)}" for name in LESSON}
    pages = [
        Page(path, wording.say(f"pages.stations.{name}"), made[path].decode()) for name, path in paths.items() if path in made
    ]
    title, summary = wording.say("class.lesson.title", name=going.name), going.movement.movement.summary
    return {
        f"{going.slug}/lesson.html": lesson(
            pages, title, summary, made, press.wear.static, press.env, press.frame, wording
        )
    }  # fmt: skip


def _compared(shown: Shown, _press: Press, _made: Mapping[str, bytes]) -> Site:
    return compare.file(shown)


def _static(press: Press) -> Site:
    return {f"static/{path.name}": path.read_bytes() for path in sorted((press.templates / "static").iterdir())}


OF_A_MOVEMENT: tuple[Callable[[Shown, Press, Mapping[str, bytes]], Site], ...] = (
    _pictures,
    _drawings,
    _stations,
    _lesson,
    chapter_files,
    worksheet_files,
    repair_files,
    _compared,
)
"""All files of a movement: each is given what was made of it so far."""

SHELF: dict[str, tuple[Callable[[Shown, Press], Any], Callable[[Iterable[Any], Press], Site]]] = {
    "home": (home.tell, home.home),
    "compare": (compare.tell, compare.compared),
    "terms": (drawn, terms),
    "wear": (gallery.tell, gallery.wear),
}
"""Pages of all movements: what they are told of each, in plain numbers, texts, lists and tables; the pages made of it."""

APART: tuple[Callable[[Press], Site], ...] = (_static, calculator, computing, hosting)
"""Files that know of no movement."""
