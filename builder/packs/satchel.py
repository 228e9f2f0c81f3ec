"""All that there is of a movement to hand out, in one archive."""

from __future__ import annotations

import argparse
import io
import zipfile

from builder.packs.chosen import place_option
from builder.packs.stock import Made, Stock, Told
from builder.pages.worksheets import VARIANTS, file_of, page

HELP = "everything of a movement in one archive: lesson, worksheets, pages with controls, moving and still drawings"
FIRST_DAY = (1980, 1, 1, 0, 0, 0)
"""The earliest time that an archive can tell: the same files make the same bytes."""


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


def zipped(files: dict[str, bytes]) -> bytes:
    """An archive of the files in the order of their names, of no date and no owner."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for name in sorted(files):
            entry = zipfile.ZipInfo(name, FIRST_DAY)
            entry.compress_type, entry.create_system, entry.external_attr = zipfile.ZIP_DEFLATED, 3, 0o100644 << 16
            archive.writestr(entry, files[name])
    return out.getvalue()
