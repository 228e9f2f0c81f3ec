"""A repair as one file to send to the customer, with its pictures inside as far as a mailbox takes them."""

from __future__ import annotations

import argparse
import base64
import io

from builder.packs.chosen import place_option
from builder.packs.error import PackError
from builder.packs.film import Told
from builder.packs.stock import Made, Stock
from builder.pages.lesson import LIMIT
from builder.pages.onefile import inside
from builder.pages.render import render
from builder.pages.repairs import customer

HELP = "a repair's page for the customer as one file to send"
STYLES = ("drawing.css", "site.css", "repair.css")
SCRIPTS = ("player.js",)
ACROSS_PX = 900
"""As wide as a picture is shown, and half as much again."""
QUALITY = 78
TYPES = {"png": "image/png", "jpg": "image/jpeg", "jpeg": "image/jpeg", "webp": "image/webp"}


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command can be told."""
    parser.add_argument("day", help="the day of the repair: name of its file, as 2026-03-14")
    parser.add_argument("--without-pictures", action="store_true", help="leave the pictures out")
    place_option(parser)


def make(stock: Stock, options: argparse.Namespace, told: Told) -> Made:
    """The file. Raises PackError where there is no such repair, or it does not fit a mailbox even without pictures."""
    jobs = {mended.repaired.job.day: mended for mended in stock.shown.repairs}
    if options.day not in jobs:
        there = f"There are: {', '.join(jobs)}." if jobs else "It has none."
        raise PackError(f"{stock.slug} has no repair {options.day}. {there}")
    mended = jobs[options.day]
    pictures = {} if options.without_pictures else mended.repaired.job.pictures
    carried = {name: _address(name, data) for name, data in pictures.items()}
    kept: dict[str, str] = {}
    made = _file(stock, options.day, kept)
    for name, address in sorted(carried.items(), key=lambda each: len(each[1])):
        wider = _file(stock, options.day, {**kept, name: address})
        if len(wider) <= LIMIT:
            kept[name], made = address, wider
    if len(made) > LIMIT:
        raise PackError(f"The page has {len(made) // 1000} KB without pictures; a mailbox takes {LIMIT // 1000} KB.")
    left = len(carried) - len(kept)
    said = f"{left} of {len(carried)} pictures are left out, to keep it small enough for the mail." if left else ""
    return Made(f"{stock.slug}-{options.day}.html", made, said)


def _file(stock: Stock, day: str, pictures: dict[str, str]) -> bytes:
    mended = next(each for each in stock.shown.repairs if each.repaired.job.day == day)
    context = customer.context(stock.shown, mended, stock.wording, pictures.get)
    return render(
        stock.env, "repair_file.html.jinja", **{**stock.frame, "base_url": None}, **context, movement=None, list_href=None,
        bench_href=None, inside=inside(stock.wear.static, STYLES, SCRIPTS),
    )  # fmt: skip


def _address(name: str, data: bytes) -> str:
    """The picture as a data address, made smaller where the packages for pictures are there and it helps."""
    kind, smaller = TYPES[name.rsplit(".", 1)[-1].lower()], _smaller(data)
    if smaller is not None and len(smaller) < len(data):
        kind, data = "image/jpeg", smaller
    return f"data:{kind};base64,{base64.b64encode(data).decode('ascii')}"


def _smaller(data: bytes) -> bytes | None:
    """A JPEG no wider than it is shown; None without the packages for pictures, or for what they cannot read."""
    try:
        from PIL import Image, ImageOps
    except ImportError:
        return None
    try:
        image = ImageOps.exif_transpose(Image.open(io.BytesIO(data))).convert("RGB")
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        return None
    image.thumbnail((ACROSS_PX, ACROSS_PX))
    out = io.BytesIO()
    image.save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue()
