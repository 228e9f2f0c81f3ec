"""The coils of a mainspring cut through above and below the arbor: each moves in and out, and is gone when the strip has left."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from builder.drawing.path import View, number
from builder.drawing.sheet import Figure, Shape
from builder.drawing.source.cut import Box, box_d, still_twin
from builder.drawing.source.run import Run
from builder.drawing.source.strip import STATES, Bow, laid
from builder.going.motion import thinned
from builder.parts.source.coils import Coils

Array = NDArray[np.float64]

WITHIN_PX = 0.25


def coil_sections(
    coils_at: Callable[[float], Coils],
    run: Run,
    view: View,
    x: tuple[float, float],
    end_rad: float,
    mirrored: bool,
    outer_stands: bool,
    bow: Bow | None = None,
) -> list[Figure]:
    """Rectangles from `x[0]` to `x[1]` px about an axis at y = 0, in the upright plane through the arbor.

    `end_rad`: direction of the end that stands still, seen from the front: the outer one of an open spring, the inner one in a
    barrel. There a coil keeps its turn counted from that end, so it never jumps.
    """
    shares = np.linspace(0.0, 1.0, STATES)
    lays = [coils_at(run.left(float(share))) for share in shares]
    most = math.ceil(max(lay.count for lay in lays))
    counts = np.array([lay.count for lay in lays])
    way = (-1 if mirrored else 1) * (-1 if outer_stands else 1)
    made = []
    for upwards in (1, -1):
        first = way * (upwards * math.pi / 2 - end_rad) / (2 * math.pi) % 1.0
        turns: Array = first + np.arange(most + 1, dtype=float)
        radii = np.array([_radii(lay, turns, outer_stands, bow) for lay in lays])
        for n, turn in enumerate(turns):
            if turn < counts.max():
                made.append(_one(run, view, x, upwards, shares, radii[:, n], counts - turn, lays[0].thickness_mm))
    return [*made, *(still_twin(each) for each in made if each.moves[-1].values[0] == "visible")]


def _radii(lay: Coils, turns: Array, outer_stands: bool, bow: Bow | None) -> Array:
    return laid(lay, turns, bow)[0] if outer_stands else lay.radius_mm(turns)


def _one(
    run: Run, view: View, x: tuple[float, float], upwards: int, shares: Array, radius_mm: Array, there: Array, thick_mm: float
) -> Figure:
    """One coil; it is there while `there` is above 0 (the strip's other end comes past but once)."""
    inside = there > 0
    since = 0.0 if inside[0] else _passing(shares, there, int(np.argmax(inside)))
    until = 1.0 if inside[-1] else _passing(shares, there, len(inside) - int(np.argmax(inside[::-1])))
    radius = np.interp(shares, shares[inside], radius_mm[inside]) * view.scale
    kept = thinned(shares, radius, WITHIN_PX)
    home = radius[0]
    steps = tuple(f"0 {number(-upwards * float(radius[k] - home), 1)}" for k in kept)
    slide = run.move("translate", steps, tuple(float(shares[k]) for k in kept))
    half = thick_mm * view.scale / 2
    box: Box = (x[0], -upwards * home - half, x[1], -upwards * home + half)
    return Figure("mainspring", None, moves=(slide, run.seen(since, until)), shapes=(Shape(box_d(box), "blued detail"),))


def _passing(shares: Array, there: Array, index: int) -> float:
    """When `there` goes through 0 just before sample `index`."""
    a, b = there[index - 1], there[index]
    return float(shares[index - 1] + (shares[index] - shares[index - 1]) * a / (a - b))
