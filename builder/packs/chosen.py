"""How a drawing is to be seen, as the options of a command say it."""

from __future__ import annotations

import argparse
from pathlib import Path
from urllib.parse import urlencode

from builder.drawing.sheet import START_S
from builder.packs.error import PackError
from builder.packs.posed import Look
from builder.packs.stock import Stock


def look_options(parser: argparse.ArgumentParser) -> None:
    """Part, labels, lines, winding, time and colours."""
    parser.add_argument("--mark", metavar="PART", help="a part to mark, as third-wheel")
    parser.add_argument("--bare", action="store_true", help="without numbers and names")
    parser.add_argument("--lines", action="store_true", help="with pitch circles and lines of centres")
    parser.add_argument("--winding", metavar="STATE", help="wound, half-wound or nearly-down")
    parser.add_argument("--time", metavar="H:MM:SS", help="the time on the dial (default: eight past ten)")


def pixel_options(parser: argparse.ArgumentParser) -> None:
    """Width and paper of a picture."""
    parser.add_argument("--width", type=_width, default=None, metavar="PX", help="width in pixels; the height follows")
    parser.add_argument("--dark", action="store_true", help="in the colours of a dark screen")
    parser.add_argument("--solid", action="store_true", help="wheels without their arms")


def place_option(parser: argparse.ArgumentParser) -> None:
    """Where to."""
    parser.add_argument("--out", type=Path, help="the file (default: a name that says what it is, in this folder)")


def _width(text: str) -> int:
    width = int(text)
    if not 16 <= width <= 4096:
        raise argparse.ArgumentTypeError("a width from 16 to 4096 pixels")
    return width


def chosen(stock: Stock, options: argparse.Namespace) -> Look:
    """The look that the options ask for. Raises PackError for a part, state or time that the drawing does not have."""
    plate = stock.plate(options.drawing)
    states = stock.states(plate.sheet)
    if options.winding is not None and options.winding not in states:
        there = ", ".join(states) or "none; it looks alike in all"
        raise PackError(f"--winding {options.winding}: no such state in this drawing. There are: {there}.")
    parts = plate.sheet.parts()
    if options.mark is not None and options.mark not in parts:
        raise PackError(f"--mark {options.mark}: no such part in this drawing. There are: {', '.join(sorted(parts))}.")
    return Look(
        mark=options.mark,
        labels=not options.bare,
        lines=options.lines,
        winding=states[options.winding] if options.winding else None,
        time_s=START_S if options.time is None else _seconds(options.time),
        dark=getattr(options, "dark", False),
        arms=not getattr(options, "solid", False),
    )


def _seconds(text: str) -> float:
    steps = text.split(":")
    try:
        hours, minutes, seconds = (float(step) for step in (*steps, "0")[:3])
    except ValueError:
        hours, minutes, seconds = -1.0, 0.0, 0.0
    if not (len(steps) in (2, 3) and hours >= 0 and 0 <= minutes < 60 and 0 <= seconds < 60):
        raise PackError(f"--time {text}: write it as 10:08 or 10:08:30.")
    return hours * 3600 + minutes * 60 + seconds


def address_options(options: argparse.Namespace) -> str:
    """The same as a page's address says it, for those options that a page has."""
    told = {
        "mark": options.mark,
        "speed": f"{options.speed:g}" if options.speed else None,
        "labels": "off" if options.bare else None,
        "lines": "on" if options.lines else None,
        "winding": options.winding,
        "time": options.time,
        "start": "still" if options.still else None,
        "table": "off" if options.folded else None,
    }
    return urlencode({name: value for name, value in told.items() if value is not None}, safe=":")
