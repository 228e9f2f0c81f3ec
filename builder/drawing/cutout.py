"""A small still drawing of a few parts, cut out of a whole one: what a glossary shows beside a word."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np

from builder.drawing.path import Points
from builder.drawing.sheet import START_S, Figure, Sheet

MARGIN = 0.06
"""Paper left round the parts, by the longer side."""
LEAST_PX = 60.0
"""Smaller cuts show their part among nothing, and at a size that says nothing of it."""


def cutout(sheet: Sheet, parts: frozenset[str], name: str, title: str, at_s: float = START_S) -> Sheet | None:
    """The parts as they stand at a moment, alone, the box drawn close round them. None where the drawing has none of them."""
    kept = tuple(each for figure in sheet.stopped(at_s).figures if (each := _only(figure, parts)) is not None)
    seen = [outline for figure in kept for outline in _points(figure)]
    if not seen:
        return None
    points = np.concatenate(seen)
    low, high = points.min(axis=0), points.max(axis=0)
    side = max(LEAST_PX, float(max(high - low)))
    margin = MARGIN * side
    left, top = (float(v) - margin for v in low)
    width, height = (float(v) + 2 * margin for v in high - low)
    return Sheet(name, title, sheet.title, (left, top, width, height), kept)


def _only(figure: Figure, parts: frozenset[str]) -> Figure | None:
    """The figure with those of its parts alone; balloons and other states of winding are left out."""
    if "balloon" in figure.classes or figure.state:
        return None
    if figure.part in parts:
        return replace(figure, inner=tuple(inner for inner in figure.inner if not inner.state and "balloon" not in inner.classes))
    inner = tuple(each for one in figure.inner if (each := _only(one, parts)) is not None)
    return replace(figure, part=None, label=None, shapes=(), words=(), inner=inner) if inner else None


def _points(figure: Figure) -> list[Points]:
    """What it covers, as points in the frame that it is laid in: (N, 2) for each shape."""
    own = [outline(shape.d) for shape in figure.shapes if shape.d and "gap" not in shape.classes]
    own += [points for inner in figure.inner for points in _points(inner)]
    turn = math.radians(figure.turned_deg)
    c, s = math.cos(turn), math.sin(turn)
    return [points @ np.array([[c, s], [-s, c]]) + figure.at for points in own]


ROUND = 24
"""Points that stand for a circle, however it is turned."""
NUMBERS = {"m": 2, "l": 2, "t": 2, "h": 1, "v": 1, "c": 6, "s": 4, "q": 4, "a": 7, "z": 0}


def outline(d: str) -> Points:
    """Points that a path's box can be read from: its corners and handles, and some round full circles (N, 2).

    Arcs of less than half a turn count by their ends; handles lie outside their curve. So a box may be a little too large or,
    beside a bulging arc, a little too small: good enough for a margin, not for measuring.
    """
    at, start, found = (0.0, 0.0), (0.0, 0.0), []
    for command, text in re.findall(r"([a-zA-Z])([^a-zA-Z]*)", d):
        values = [float(v) for v in re.findall(r"-?(?:\d+\.?\d*|\.\d+)(?:e-?\d+)?", text)]
        key, relative = command.lower(), command.islower()
        size = NUMBERS[key]
        for n in range(0, len(values), size) if size else ():
            step = values[n : n + size]
            x, y = at if relative else (0.0, 0.0)
            if key in "hv":
                spots = [(x + step[0], at[1])] if key == "h" else [(at[0], y + step[0])]
            elif key == "a":
                end = (x + step[5], y + step[6])
                spots = [*_circle(at, end, step[0]), end]
            else:
                spots = [(x + step[k], y + step[k + 1]) for k in range(0, size, 2)]
            found += spots
            at = spots[-1]
            if key == "m" and n == 0:
                start = at
        if key == "z":
            at = start
    return np.array(found)


def _circle(start: tuple[float, float], end: tuple[float, float], radius: float) -> list[tuple[float, float]]:
    """Points round the circle where an arc is half of it."""
    if math.dist(start, end) < 1.98 * radius:
        return []
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    turns = (math.tau * k / ROUND for k in range(ROUND))
    return [(x + radius * math.cos(turn), y + radius * math.sin(turn)) for turn in turns]
