"""A drawing as a moving picture for slides, which do not play moving SVG."""

from __future__ import annotations

import argparse

from builder.packs.chosen import chosen, look_options, pixel_options, place_option, speed
from builder.packs.film import Wish, film
from builder.packs.pictures import Signed
from builder.packs.stock import Made, Stock, Told

WIDTH_PX = 640
HELP = "a drawing as a moving picture for slides (GIF, WebP or APNG), looping without a seam"
FILE_NAMES = {"gif": "gif", "webp": "webp", "apng": "png"}


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command can be told."""
    parser.add_argument("drawing", help="its name, as escapement")
    parser.add_argument("--as", dest="form", choices=tuple(FILE_NAMES), default="gif", help="kind of file (default: gif)")
    parser.add_argument(
        "--speed", type=speed, help="seconds shown in one second (default: the drawing's own where that makes a short loop)"
    )
    parser.add_argument("--rate", type=int, choices=(5, 10, 20, 25, 50), default=20, help="pictures a second (default: 20)")
    parser.add_argument(
        "--arms",
        action=argparse.BooleanOptionalAction,
        help="wheels with their arms, or as plain discs, whose loop is shorter (default: with arms where the loop is short)",
    )
    look_options(parser)
    pixel_options(parser)
    place_option(parser)


def make(stock: Stock, options: argparse.Namespace, told: Told) -> Made:
    """The film. Raises PackError."""
    look = chosen(stock, options)
    sheet = stock.plate(options.drawing).sheet
    wish = Wish(options.speed, 1000 // options.rate, options.arms)
    signed = Signed.of(sheet, stock.wear)
    data, plan = film(sheet, look, stock.css, options.width or WIDTH_PX, options.form, wish, signed, told)
    discs = "" if plan.arms or options.arms is False else " Wheels are plain discs, for a short loop; --arms keeps their arms."
    said = f"{plan.frames} pictures, {plan.length_s:g} s, {plan.speed:.4g} seconds shown in one.{discs}"
    return Made(f"{stock.slug}-{options.drawing}.{FILE_NAMES[options.form]}", data, said)
