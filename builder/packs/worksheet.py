"""A worksheet of any variant, or its answers, as one file: a page that every browser prints, or a PDF."""

from __future__ import annotations

import argparse

from builder.lessons.worksheet import MOST_VARIANTS
from builder.packs.chosen import place_option
from builder.packs.pdf import pdf
from builder.packs.stock import Made, Stock, Told
from builder.pages.worksheets import file_of, page

HELP = "a worksheet from the movement's own figures, or its answers, to print"


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command can be told."""
    parser.add_argument(
        "--variant", type=_variant, default=1, metavar="N", help=f"other questions and numbers: 1 to {MOST_VARIANTS} (default: 1)"
    )
    parser.add_argument("--answers", action="store_true", help="the answers to it, with the working")
    parser.add_argument("--paper", choices=("a4", "letter"), default="a4", help="size of the paper (default: a4)")
    parser.add_argument(
        "--as", dest="form", choices=("page", "pdf"), default="page", help="a page, or a PDF by a browser (default: page)"
    )
    place_option(parser)


def _variant(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= MOST_VARIANTS:
        raise argparse.ArgumentTypeError(f"a variant from 1 to {MOST_VARIANTS}")
    return int(text)


def make(stock: Stock, options: argparse.Namespace, told: Told) -> Made:
    """The file. Raises PackError where there is no browser to make a PDF."""
    made = page(stock.shown, stock.press, options.variant, options.answers, options.paper)
    name = f"{stock.slug}-{file_of(options.variant, options.answers)}"
    if options.form == "page":
        return Made(name, made)
    return Made(name.replace(".html", f"-{options.paper}.pdf"), pdf(made))
