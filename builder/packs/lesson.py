"""A movement's lesson, one of its chapters or one of its pages, as one file with everything inside."""

from __future__ import annotations

import argparse

from builder.packs.chosen import place_option
from builder.packs.error import PackError
from builder.packs.stock import Made, Stock, Told
from builder.pages.chapters import CHAPTERS
from builder.pages.learner import station_file
from builder.pages.lesson import lesson
from builder.pages.section import Page
from builder.pages.stations import STATIONS

HELP = "a movement's lesson, a chapter or another page, as one file with everything inside"
APART = frozenset({"for_class"})
"""What is for the teacher, beside the site."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command can be told."""
    one = parser.add_mutually_exclusive_group()
    one.add_argument("--chapter", metavar="NAME", help=f"one chapter alone: {', '.join(each.key for each in CHAPTERS)}")
    one.add_argument("--page", metavar="NAME", help="another of its pages alone, as self-test or escapement")
    place_option(parser)


def make(stock: Stock, options: argparse.Namespace, told: Told) -> Made:
    """The lesson. Raises PackError where there is no such chapter or page."""
    if options.chapter is not None:
        chapters = {chapter.key: chapter.page.removesuffix(".html") for chapter in CHAPTERS}
        return alone(stock, _there(stock, "chapter", options.chapter, chapters))
    return whole(stock) if options.page is None else alone(stock, options.page)


def whole(stock: Stock) -> Made:
    """The movement's pages from the source to the hands."""
    return Made(f"{stock.slug}-lesson.html", stock.site[f"{stock.slug}/lesson.html"])


def alone(stock: Stock, name: str) -> Made:
    """One page, as self-test, escapement or learn-escapement. Raises PackError where there is no such page."""
    labels = {station.replace("_", "-"): f"pages.stations.{station}" for station in STATIONS if station not in APART}
    files = {name: station_file(name.replace("-", "_")) for name in labels}
    for chapter in CHAPTERS:
        stem = chapter.page.removesuffix(".html")
        labels[stem], files[stem] = f"learn.path.{chapter.key}", chapter.page
    there = {name: f"{stock.slug}/{file}" for name, file in files.items() if f"{stock.slug}/{file}" in stock.site}
    path = _there(stock, "page", name, there)
    going, label = stock.shown.going, stock.wording.say(labels[name])
    page = Page(path, label, stock.site[path].decode("utf-8"))
    title, summary = f"{going.name}: {label.lower()}", going.movement.movement.summary
    made = lesson([page], title, summary, stock.site, stock.wear.static, stock.env, stock.frame, stock.wording)
    return Made(f"{stock.slug}-{name}.html", made)


def _there(stock: Stock, kind: str, name: str, names: dict[str, str]) -> str:
    if name not in names:
        raise PackError(f"{stock.slug} has no {kind} {name}. There are: {', '.join(names)}.")
    return names[name]
