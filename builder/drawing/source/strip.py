"""A mainspring's strip in outline, true in length and thickness, through the whole winding.

Every outline has the same points at the same angles about the arbor, counted from the outer end; only their radii differ. So
the outline between two key frames is that of the radii between: where neither frame lets coils overlap, nothing between
does. Where the strip has already left an angle, its points lie under the arbor, which is drawn over them.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from builder.drawing.path import View, joined, number
from builder.drawing.source.run import Run
from builder.parts.source.coils import Coils

Array = NDArray[np.float64]

PIECES = (4, 3)
"""Curves to a turn in a large and in a small drawing: 0.03 % and 0.15 % of the radius off at most."""
SMALL_PX = 170.0
STATES = 97
"""Lays among which the key frames are chosen."""
FEWEST, MOST_FRAMES = 5, 13
HALVINGS = 5
"""Of the search for how near to the lay so many frames can keep."""


@dataclass(frozen=True)
class Bow:
    """How an open spring and its pillar make room for each other: a layout, not the balance of forces.

    The coils shift away from the pillar, those that lie free by less. The shift goes with the cosine of the angle from the
    pillar, so lengths are kept to first order; it takes from free gaps alone, so no coil comes nearer to another than it lay.
    The last quarter turn does not shift: it leads from the coils to the pillar, where it may end further out than they lie.
    """

    inside_mm: float
    """The middle of a strip that passes the pillar on the inside lies no further out than this."""
    end_mm: float
    """Where the middle of the strip's last quarter ends, on the pillar's far side."""

    def shift_mm(self, coils: Coils) -> float:
        """Shift of the coils that lie packed outside."""
        slack = coils.radii_mm[3] - coils.radii_mm[0] - coils.thickness_mm * coils.count
        return min(max(float(coils.radius_mm(coils.count - 1)) - self.inside_mm, 0.0), max(slack, 0.0))

    def bowed(self, coils: Coils, behind: Array, radius_mm: Array, slope_mm: Array) -> tuple[Array, Array]:
        """Radius and slope (mm a radian) with the shift, from those of the round lay."""
        h, inner, outer = coils.thickness_mm, coils.radii_mm[0], coils.radii_mm[3]
        share = self.shift_mm(coils) / max(outer - inner - h * coils.count, 1e-9)
        shift_mm = share * np.maximum(radius_mm - inner - h * np.maximum(coils.count - behind, 0.0), 0.0)
        more_mm = share * (slope_mm - h / (2 * math.pi))
        angle = -2 * math.pi * behind
        moved = behind >= 0.25
        on = np.maximum(1 - 4 * behind, 0.0)
        lead_mm = (self.end_mm - outer) * on * on * (3 - 2 * on)
        lead_slope = (self.end_mm - outer) * 6 * on * (1 - on) * 2 / math.pi
        return (
            radius_mm - np.where(moved, shift_mm * np.cos(angle), -lead_mm),
            slope_mm + np.where(moved, shift_mm * np.sin(angle) - more_mm * np.cos(angle), lead_slope),
        )


@dataclass(frozen=True)
class Strip:
    """Outlines of the strip: `shares` (K,) of the time that is over, `texts` (K,) the `d` of each."""

    shares: tuple[float, ...]
    texts: tuple[str, ...]
    off_px: float
    """How far between key frames the drawn middle line may be from the true lay."""


def laid(coils: Coils, behind: Array, bow: Bow | None = None) -> tuple[Array, Array]:
    """Radius of the middle line and its slope (mm a radian) at evenly spaced turns `behind` the outer end, each (N,).

    Beyond the inner end it runs on under the arbor. Slopes are harmonic means of those of the neighbouring pieces (as in
    `drive.Curve`), so that the lay's corners, where a pack ends, are rounded without reaching into the pack.
    """
    turns = coils.count - behind
    radius = np.where(turns >= 0, coils.radius_mm(turns), coils.radii_mm[0] + coils.thickness_mm * turns)
    pieces = -np.diff(radius) / (2 * math.pi * np.diff(behind))
    outer, inner = np.concatenate((pieces[:1], pieces)), np.concatenate((pieces, pieces[-1:]))
    slope = 2 * outer * inner / (outer + inner)
    return bow.bowed(coils, behind, radius, slope) if bow else (radius, slope)


def strip(
    coils_at: Callable[[float], Coils], run: Run, view: View, mirrored: bool, bow: Bow | None = None, most_bytes: int = 56_000
) -> Strip:
    """The strip with its outer end on +x; `coils_at` gives the lay at turns left. Mirrored: inner end to outer, clockwise.

    What is drawn between key frames must be worth their bytes: at most MOST_FRAMES, at most `most_bytes`, at least FEWEST.
    """
    shares = np.linspace(0.0, 1.0, STATES)
    lays = [coils_at(run.left(float(share))) for share in shares]
    pieces = PIECES[lays[0].radii_mm[3] * view.scale < SMALL_PX]
    behind = np.arange(math.ceil(pieces * max(lay.count for lay in lays)) + 1) / pieces
    radii = np.array([laid(lay, behind, bow)[0] for lay in lays])
    in_sight = np.array([behind < lay.count for lay in lays])
    most = min(MOST_FRAMES, max(FEWEST, most_bytes // len(outline(lays[0], behind, view, mirrored, bow))))
    kept, off_mm = _frames(shares, radii, in_sight, 0.25 / view.scale, most)
    hidden_turns = max(lays[a].count - lays[b].count for a, b in pairwise(kept)) + 1 / pieces
    texts = tuple(outline(lays[k], behind, view, mirrored, bow, hidden_turns) for k in kept)
    return Strip(tuple(float(shares[k]) for k in kept), texts, off_mm * view.scale)


def outline(coils: Coils, behind: Array, view: View, mirrored: bool, bow: Bow | None = None, hidden_turns: float = 1.0) -> str:
    """The `d` of one outline: in along the outer side, back along the inner one, through the angles `behind` the outer end.

    What lies more than `hidden_turns` beyond the inner end is drawn as a point.
    """
    middle, slope = laid(coils, behind, bow)
    gone = coils.count - behind < -hidden_turns
    turn = np.exp(-2j * math.pi * behind)
    half = coils.thickness_mm / 2
    reach = 4 / 3 * math.tan(math.pi / 2 * float(behind[1] - behind[0]))
    sides = []
    for out in (half, -half):
        r = np.where(gone, 0.0, np.maximum(middle + out, 0.0))
        at = r * turn
        handle = reach * (np.where(gone, 0.0, slope) + 1j * r) * turn
        sides.append((at, handle))
    (outer, outer_handle), (inner, inner_handle) = sides
    forth = np.stack((outer[:-1] - outer_handle[:-1], outer[1:] + outer_handle[1:], outer[1:]), axis=-1)
    back = np.stack((inner[1:] + inner_handle[1:], inner[:-1] - inner_handle[:-1], inner[:-1]), axis=-1)[::-1]
    grid = [np.rint(_px(points, view, mirrored) * 10).astype(int) for points in (outer[:1], forth, inner[-1:], back)]
    start, forth_px, turn_px, back_px = grid
    text = "M" + _tenths(start[0]) + _curves(start[0], forth_px)
    return text + "L" + _tenths(turn_px[0]) + _curves(turn_px[0], back_px) + "z"


def _px(points: NDArray[np.complex128], view: View, mirrored: bool) -> Array:
    return view.px(np.stack((points.real, -points.imag if mirrored else points.imag), axis=-1))


def _curves(start: NDArray[np.int_], pieces: NDArray[np.int_]) -> str:
    """Cubic pieces (N, 3, 2) in tenths of a px, each relative to where the one before it ended."""
    before = np.concatenate([start[None], pieces[:-1, 2]])
    return "c" + _tenths((pieces - before[:, None]).ravel())


def _tenths(values: NDArray[np.int_]) -> str:
    return joined(number(value / 10, 1) for value in values.tolist())


def _frames(shares: Array, radii: Array, in_sight: NDArray[np.bool_], within_mm: float, most: int) -> tuple[list[int], float]:
    """The fewest lays between which straight lines stay `within_mm` of all, or as near as `most` frames allow."""
    low, kept = within_mm, _thinned(shares, radii, in_sight, within_mm)
    if len(kept) <= most:
        return kept, within_mm
    high = 2 * low
    while len(kept := _thinned(shares, radii, in_sight, high)) > most:
        low, high = high, 2 * high
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if len(tried := _thinned(shares, radii, in_sight, middle)) <= most:
            high, kept = middle, tried
        else:
            low = middle
    return kept, high


def _thinned(shares: Array, radii: Array, in_sight: NDArray[np.bool_], within_mm: float) -> list[int]:
    kept, last = [0], len(shares) - 1
    while kept[-1] < last:
        start = kept[-1]
        reach = start + 1
        while reach < last and _straight(shares, radii, in_sight, start, reach + 1) <= within_mm:
            reach += 1
        kept.append(reach)
    return kept


def _straight(shares: Array, radii: Array, in_sight: NDArray[np.bool_], start: int, end: int) -> float:
    """How far the lays between two are from the straight line between them, where the strip is."""
    part = ((shares[start:end] - shares[start]) / (shares[end] - shares[start]))[:, None]
    off = np.abs(radii[start:end] - radii[start] - part * (radii[end] - radii[start]))
    return float(np.max(off[in_sight[start:end]]))
