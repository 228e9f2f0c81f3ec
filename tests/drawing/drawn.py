"""Reading a drawing as a browser would: figures found by part, numbers between key frames, paths as points."""

from __future__ import annotations

import re
from collections.abc import Iterator

import numpy as np

from builder.drawing.sheet import Figure, Move, Sheet

NUMBER = re.compile(r"-?(?:\d+\.?\d*|\.\d+)")


def figures(sheet: Sheet) -> Iterator[tuple[Figure, tuple[Figure, ...]]]:
    """Every figure with those that hold it, outermost first."""

    def inside(figure: Figure, holders: tuple[Figure, ...]) -> Iterator[tuple[Figure, tuple[Figure, ...]]]:
        yield figure, holders
        for inner in figure.inner:
            yield from inside(inner, (*holders, figure))

    for figure in sheet.figures:
        yield from inside(figure, ())


def moving(sheet: Sheet, part: str, what: str) -> list[Move]:
    """The moves of one sort of all figures of a part, and of what holds them."""
    return [m for f, holders in figures(sheet) if f.part == part for h in (*holders, f) for m in h.moves if m.what == what]


def numbers(text: str) -> np.ndarray:
    return np.array([float(each) for each in NUMBER.findall(text)])


def at_share(move: Move, share: float) -> np.ndarray:
    """The numbers of a move at a share of its duration: a straight line between key frames, as SMIL has it."""
    k = min(int(np.searchsorted(move.key_times, share, side="right")) - 1, len(move.key_times) - 2)
    part = (share - move.key_times[k]) / (move.key_times[k + 1] - move.key_times[k])
    a, b = numbers(move.values[k]), numbers(move.values[k + 1])
    return a + part * (b - a)


def strip_sides(values: np.ndarray, steps: int = 16) -> tuple[np.ndarray, np.ndarray]:
    """Outer and inner side (N, 2) of a strip's outline, both from the outer end, from the numbers of its `d`."""
    half = (len(values) - 4) // 2
    outer = _curve(values[:2], values[2 : 2 + half], steps)
    inner = _curve(values[2 + half : 4 + half], values[4 + half :], steps)
    return outer, inner[::-1]


def _curve(start: np.ndarray, relative: np.ndarray, steps: int) -> np.ndarray:
    t = np.linspace(0, 1, steps + 1)[1:, None]
    points, at = [start[None]], start
    for piece in relative.reshape(-1, 3, 2):
        a, b, c = at + piece
        points.append((1 - t) ** 3 * at + 3 * (1 - t) ** 2 * t * a + 3 * (1 - t) * t * t * b + t**3 * c)
        at = c
    return np.concatenate(points)
