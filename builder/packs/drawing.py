"""One drawing as a file: a page that can be framed, a moving or a still SVG, a picture in pixels."""

from __future__ import annotations

import argparse

from builder.packs.chosen import address_options, chosen, look_options, pixel_options, place_option, speed
from builder.packs.error import PackError
from builder.packs.literal import Cascade
from builder.packs.pictures import Signed, signed_png
from builder.packs.posed import Posed, dressed, in_state
from builder.packs.raster import png
from builder.packs.stock import Made, Stock, Told
from builder.pages.embed import embedded

WIDTH_PX = 1600
HELP = "one drawing: a page with its controls, a moving or still SVG, or a PNG"
ONLY: dict[str, tuple[str, ...]] = {
    "speed": ("page",),
    "still": ("page",),
    "folded": ("page",),
    "width": ("png",),
    "dark": ("png",),
    "no_arms": ("moving", "still", "png"),
    "time": ("page", "still", "png"),
}
"""What only some forms can be told."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command can be told."""
    parser.add_argument("drawing", help="its name, as train-front")
    parser.add_argument(
        "--as", dest="form", choices=("page", "moving", "still", "png"), default="page", help="what to make (default: page)"
    )
    look_options(parser)
    pixel_options(parser)
    parser.add_argument("--no-arms", action="store_true", help="wheels as plain discs")
    page = parser.add_argument_group("a page only")
    page.add_argument("--speed", type=speed, help="seconds shown in one second")
    page.add_argument("--still", action="store_true", help="starts standing still")
    page.add_argument("--folded", action="store_true", help="with its table folded")
    place_option(parser)


def make(stock: Stock, options: argparse.Namespace, told: Told) -> Made:
    """The file. Raises PackError."""
    form = options.form
    for name, forms in ONLY.items():
        if form not in forms and getattr(options, name):
            raise PackError(f"--{name.replace('_', '-')} is nothing for --as {form}; it is for: {', '.join(forms)}.")
    look = chosen(stock, options)
    sheet, name, wear = stock.plate(options.drawing).sheet, f"{stock.slug}-{options.drawing}", stock.wear
    if form == "page":
        page = embedded(stock.shown, options.drawing, stock.env, stock.frame, wear, address_options(options))
        return Made(f"{name}.html", page)
    seen = dressed(in_state(sheet, look.winding), look)
    if form == "moving":
        return Made(f"{name}.svg", seen.svg(wear.style, wear.credit).encode("utf-8"))
    if form == "still":
        return Made(f"{name}-still.svg", seen.still(wear.style, look.time_s, wear.credit).encode("utf-8"))
    cascade, width_px = Cascade(stock.css, look.dark), options.width or WIDTH_PX
    picture = png(Posed(seen, look, cascade, width_px=width_px).at(look.time_s), width_px, cascade.token("--paper"))
    return Made(f"{name}.png", signed_png(picture, Signed.of(sheet, wear)))
