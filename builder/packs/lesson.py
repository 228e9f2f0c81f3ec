"""A movement, or one of its pages, as one file with everything inside."""

from __future__ import annotations

import argparse

from builder.packs.chosen import place_option
from builder.packs.error import PackError
from builder.packs.film import Told
from builder.packs.stock import Made, Stock
from builder.pages.lesson import lesson
from builder.pages.section import Page

HELP = "a movement's pages, or one of them, as one file with everything inside"


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command can be told."""
    parser.add_argument("page", nargs="?", help="one page alone, as escapement or self-test (default: the lesson)")
    place_option(parser)


def make(stock: Stock, options: argparse.Namespace, told: Told) -> Made:
    """The lesson. Raises PackError where there is no such page."""
    whole = stock.site[f"{stock.slug}/lesson.html"]
    if options.page is None:
        return Made(f"{stock.slug}-lesson.html", whole)
    pages = {path.split("/")[1].removesuffix(".html"): path for path in stock.site if path.startswith(f"{stock.slug}/")}
    there = sorted(name for name, path in pages.items() if path.endswith(".html") and path.count("/") == 1 and name not in APART)
    name = "index" if options.page == "overview" else options.page
    if name not in there:
        raise PackError(f"{stock.slug} has no page {options.page}. There are: {', '.join(there).replace('index', 'overview')}.")
    text = stock.site[pages[name]].decode("utf-8")
    key = f"pages.stations.{options.page.replace('-', '_')}"
    label = stock.wording.say(key) if key in stock.wording else options.page
    title = stock.shown.going.name if name == "index" else f"{stock.shown.going.name}: {label.lower()}"
    summary = stock.shown.going.movement.movement.summary
    made = lesson(
        [Page(pages[name], label, text)], title, summary, stock.site, stock.wear.static, stock.env, stock.frame, stock.wording
    )
    return Made(f"{stock.slug}-{options.page}.html", made)


APART = frozenset({"lesson", "for-class"})
"""What is a file of its own already, and what is for the teacher beside the site."""
