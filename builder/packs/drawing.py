"""One drawing as a file: a page that can be framed, a moving or a still SVG, a picture in pixels."""

from __future__ import annotations

import argparse

from builder.packs.chosen import address_options, chosen, look_options, pixel_options, place_option
from builder.packs.film import Told
from builder.packs.literal import Cascade
from builder.packs.posed import Posed, in_state, without_arms
from builder.packs.raster import png
from builder.packs.stock import Made, Stock
from builder.pages.embed import embedded

WIDTH_PX = 1600
HELP = "one drawing: a page with its controls, a moving or still SVG, or a PNG"


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command can be told."""
    parser.add_argument("drawing", help="its name, as train-front")
    parser.add_argument(
        "--as", dest="form", choices=("page", "moving", "still", "png"), default="page", help="what to make (default: page)"
    )
    look_options(parser)
    pixel_options(parser)
    page = parser.add_argument_group("a page only")
    page.add_argument("--speed", type=float, help="seconds shown in one second")
    page.add_argument("--still", action="store_true", help="starts standing still")
    page.add_argument("--folded", action="store_true", help="with its table folded")
    place_option(parser)


def make(stock: Stock, options: argparse.Namespace, told: Told) -> Made:
    """The file. Raises PackError."""
    look = chosen(stock, options)
    sheet, name, wear = stock.plate(options.drawing).sheet, f"{stock.slug}-{options.drawing}", stock.wear
    if not look.arms:
        sheet = without_arms(sheet)
    if options.form == "page":
        page = embedded(stock.shown, options.drawing, stock.env, stock.frame, wear, address_options(options))
        return Made(f"{name}.html", page)
    if options.form == "moving":
        return Made(f"{name}.svg", in_state(sheet, look.winding).svg(wear.style, wear.credit).encode("utf-8"))
    if options.form == "still":
        still = in_state(sheet, look.winding).still(wear.style, look.time_s, wear.credit)
        return Made(f"{name}-still.svg", still.encode("utf-8"))
    cascade = Cascade(stock.css, look.dark)
    posed = Posed(in_state(sheet, look.winding), look, cascade)
    return Made(f"{name}.png", png(posed.at(look.time_s), options.width or WIDTH_PX, cascade.token("--paper")))
