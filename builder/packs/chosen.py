"""How a drawing is to be seen, as the options of a command say it."""

from __future__ import annotations

import argparse
import math
import re
from pathlib import Path
from urllib.parse import urlencode

from builder.drawing.sheet import START_S
from builder.packs.error import PackError
from builder.packs.posed import Look
from builder.packs.stock import Stock

CLOCK = re.compile(r"(\d{1,3}):([0-5]\d)(?::([0-5]\d(?:\.\d+)?))?")
WIDTHS_PX = (16, 4096)
SPEEDS = (1e-4, 1e6)


def look_options(parser: argparse.ArgumentParser) -> None:
    """Part, labels, lines, winding and time."""
    parser.add_argument("--mark", metavar="PART", help="a part to mark, as third-wheel")
    parser.add_argument("--bare", action="store_true", help="without numbers and names")
    parser.add_argument("--lines", action="store_true", help="with pitch circles and lines of centres")
    parser.add_argument("--winding", metavar="STATE", help="wound, half-wound or nearly-down")
    parser.add_argument("--time", metavar="H:MM:SS", help="the time on the dial (default: eight past ten)")


def pixel_options(parser: argparse.ArgumentParser) -> None:
    """Width and paper of a picture."""
    parser.add_argument("--width", type=width, metavar="PX", help="of a picture in pixels; the height follows")
    parser.add_argument("--dark", action="store_true", help="a picture in the colours of a dark screen")


def place_option(parser: argparse.ArgumentParser) -> None:
    """Where to."""
    parser.add_argument("--out", type=Path, help="file or folder (default: a name that says what it is, in this folder)")


def width(text: str) -> int:
    """A width in pixels. Raises ArgumentTypeError."""
    if not (text.isdecimal() and len(text) < 7 and WIDTHS_PX[0] <= int(text) <= WIDTHS_PX[1]):
        raise argparse.ArgumentTypeError(f"{text!r}: a width is from {WIDTHS_PX[0]} to {WIDTHS_PX[1]} pixels")
    return int(text)


def speed(text: str) -> float:
    """Seconds shown in one second. Raises ArgumentTypeError."""
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not SPEEDS[0] <= value <= SPEEDS[1]:
        raise argparse.ArgumentTypeError(f"{text!r}: a speed is a number from {SPEEDS[0]:g} to {SPEEDS[1]:g}, as 0.05")
    return value


def chosen(stock: Stock, options: argparse.Namespace) -> Look:
    """The look that the options ask for. Raises PackError for a part, state or time that the drawing does not have."""
    sheet = stock.plate(options.drawing).sheet
    states = stock.states(sheet)
    if options.winding is not None and options.winding not in states:
        there = ", ".join(states) or "none, for it looks alike in all"
        raise PackError(f"--winding {options.winding}: no such state in this drawing. There are: {there}.")
    parts = sheet.parts()
    if options.mark is not None and options.mark not in parts:
        raise PackError(f"--mark {options.mark}: no such part in this drawing. There are: {', '.join(sorted(parts)) or 'none'}.")
    return Look(
        mark=options.mark,
        labels=not options.bare,
        lines=options.lines,
        winding=states[options.winding] if options.winding else None,
        time_s=START_S if options.time is None else _seconds(options.time),
        dark=options.dark,
        arms=not getattr(options, "no_arms", False),
    )


def _seconds(text: str) -> float:
    said = CLOCK.fullmatch(text)
    if said is None:
        raise PackError(f"--time {text}: write it as 10:08 or 10:08:30.")
    hours, minutes, seconds = (float(step or 0) for step in said.groups())
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
