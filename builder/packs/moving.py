"""A drawing as a moving picture for slides, which do not play moving SVG."""

from __future__ import annotations

import argparse

from builder.packs.chosen import chosen, look_options, pixel_options, place_option
from builder.packs.film import Told, film
from builder.packs.stock import Made, Stock

WIDTH_PX = 640
HELP = "a drawing as a moving picture for slides (GIF, WebP or APNG), looping without a seam"
FILE_NAMES = {"gif": "gif", "webp": "webp", "apng": "png"}


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command can be told."""
    parser.add_argument("drawing", help="its name, as escapement")
    parser.add_argument("--as", dest="form", choices=tuple(FILE_NAMES), default="gif", help="kind of file (default: gif)")
    parser.add_argument(
        "--speed", type=_speed, help="seconds shown in one second (default: the drawing's own where a loop of it is short enough)"
    )
    parser.add_argument("--rate", type=int, choices=(5, 10, 20, 25, 50), default=25, help="pictures a second (default: 25)")
    look_options(parser)
    pixel_options(parser)
    place_option(parser)


def _speed(text: str) -> float:
    speed = float(text)
    if not 1e-4 <= speed <= 1e6:
        raise argparse.ArgumentTypeError("a speed from 0.0001 to 1000000")
    return speed


def make(stock: Stock, options: argparse.Namespace, told: Told) -> Made:
    """The film. Raises PackError."""
    look = chosen(stock, options)
    sheet = stock.plate(options.drawing).sheet
    data, plan = film(sheet, look, stock.css, options.width or WIDTH_PX, options.form, told, options.speed, 1000 // options.rate)
    seconds = plan.frames * plan.frame_ms / 1000
    said = f"{plan.frames} pictures, {seconds:g} s, {plan.speed:.4g} seconds shown in one."
    return Made(f"{stock.slug}-{options.drawing}.{FILE_NAMES[options.form]}", data, said)
