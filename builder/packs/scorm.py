"""A page as a package that a learning platform runs and hears from: how far, how well, what was answered (SCORM 1.2)."""

from __future__ import annotations

import argparse

from builder.ground.zips import zipped
from builder.packs.answer_key import answer_key
from builder.packs.chosen import place_option
from builder.packs.lesson import alone, whole
from builder.packs.manifest import About, manifest
from builder.packs.quiz import asked
from builder.packs.reporting import reporting
from builder.packs.stock import Made, Stock, Told

HELP = "the self-test, the lesson or one page as a SCORM 1.2 package for a learning platform"
SELF_TEST, LESSON = "self-test", "lesson"
PAGE, KEY = "index.html", "key.txt"


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command can be told."""
    parser.add_argument("page", nargs="?", default=SELF_TEST, help="self-test (the default), lesson, or one page, as escapement")
    test = parser.add_argument_group("the self-test only")
    test.add_argument("--paper", type=_paper, metavar="N", help="begins with this paper of questions (default: the first)")
    test.add_argument(
        "--pass", dest="mastery", type=_percent, metavar="PERCENT", help="from here on it is passed, below it is failed"
    )
    place_option(parser)


def make(stock: Stock, options: argparse.Namespace, told: Told) -> Made:
    """The package. Raises PackError where there is no such page."""
    page = (whole(stock) if options.page == LESSON else alone(stock, options.page)).data
    test = options.page == SELF_TEST
    title, description = _told(stock, options.page)
    licence = stock.collection.licence
    about = About(
        f"{stock.slug}-{options.page}", title, description, stock.collection.language, stock.collection.publisher,
        f"{licence.name}, {licence.address}", tuple(stock.wording["platforms.package.keywords"]),
    )  # fmt: skip
    paper = f"?paper={options.paper}" if test and options.paper else None
    files = {PAGE: reporting(page, stock.templates)}
    if test:
        files[KEY] = answer_key(stock.shown.going.name, asked(stock), stock.wording)
    files["imsmanifest.xml"] = manifest(about, tuple(files), parameters=paper, mastery=options.mastery if test else None)
    return Made(f"{about.name}.scorm.zip", zipped(files), "For a platform that runs SCORM 1.2.")


def _told(stock: Stock, page: str) -> tuple[str, str]:
    """Title and description, as a catalogue shows them."""
    name, summary = stock.shown.going.name, stock.shown.going.movement.movement.summary
    if page == LESSON:
        return stock.wording.say("class.lesson.title", name=name), summary
    if page == SELF_TEST:
        summary = stock.wording.say("platforms.package.self_test", name=name)
    key = f"pages.stations.{page.replace('-', '_')}"
    return f"{name}: {(stock.wording.say(key) if key in stock.wording else page).lower()}", summary


def _paper(text: str) -> int:
    if not (text.isdecimal() and 1 <= int(text) <= 99999):
        raise argparse.ArgumentTypeError("a paper's number from 1 to 99999")
    return int(text)


def _percent(text: str) -> int:
    if not (text.isdecimal() and 1 <= int(text) <= 100):
        raise argparse.ArgumentTypeError("whole per cent from 1 to 100")
    return int(text)
