"""All that there is of a movement to hand out, in one archive."""

from __future__ import annotations

import argparse

from builder.ground.zips import zipped
from builder.packs.chosen import place_option
from builder.packs.stock import Made, Stock, Told
from builder.pages.worksheets import VARIANTS, file_of, page

HELP = "everything of a movement in one archive: lesson, worksheets, pages with controls, moving and still drawings"


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command can be told."""
    place_option(parser)


def make(stock: Stock, options: argparse.Namespace, told: Told) -> Made:
    """The archive."""
    home, files = f"{stock.slug}/", {}
    files[f"{home}lesson.html"] = stock.site[f"{home}lesson.html"]
    for slug in stock.shown.plates:
        files[f"{home}pages/{slug}.html"] = stock.site[f"{home}embed/{slug}.html"]
        files[f"{home}moving/{slug}.svg"] = stock.site[f"{home}{slug}.svg"]
        files[f"{home}still/{slug}.svg"] = stock.site[f"{home}still/{slug}.svg"]
    for variant in VARIANTS:
        for answers in (False, True):
            files[f"{home}paper/{file_of(variant, answers)}"] = page(stock.shown, stock.press, variant, answers)
    return Made(f"{stock.slug}.zip", zipped(files), f"{len(files)} files.")
