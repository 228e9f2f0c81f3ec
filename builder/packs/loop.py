"""How long a drawing runs until it looks as it did: whole periods of all that is seen to move, so that a film has no seam."""

from __future__ import annotations

import io
import math
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import numpy as np

from builder.drawing.sheet import Figure, Move, Sheet

TURNS_A_S, FLASHES_A_S, SWINGS_A_S = 2.0, 3.0, 6.0
"""What a screen shows calmly, as in player.js: faster parts stand, faint."""
ROUND_BODY = 0
"""Of what looks the same however it is turned, as a drum from its end."""
APART = (3, 5, 7, 13, 31, 61, 97)
"""Orders that have nothing in common: only what is round fits them all."""
ORDERS = 512
"""The highest symmetry that is looked for: a wheel of so many teeth without arms."""
PX = 700
ROUND, OUTWARDS, FINE = 2048, 96, 3
"""Samples round and outwards in which a part is compared with itself; each is the mean of so many further outwards, so that the
edge of a circle, which falls between pixels otherwise at every angle, is no pattern."""
MOST, FAINT = 0.97, 1e-4
"""Of what changes round the centre, so much repeats with the order; less than the second in all is a plain disc."""
EDGE, DIFFERENT = 3, 0.4
"""Samples to either side in which an edge may lie, and by how much ink more a place is another."""

Raster = Callable[[Sheet, int], bytes]
"""A drawing and a width in px → a PNG of it on white."""


def haste(move: Move) -> float:
    """How much faster than calmly it is at real speed: 2 is twice too fast."""
    if move.what in ("rotate", "translate"):
        places = [float(value.split()[0]) for value in move.values]
    else:
        places = [float(move.values.index(value)) for value in move.values]
    turns = abs(places[-1] - places[0]) / 360 if move.what == "rotate" else 0.0
    per_s = 1000 / float(_ms(move))
    if turns > 1e-9:
        return turns * per_s / TURNS_A_S
    ways = [math.copysign(1, b - a) for a, b in pairwise(places) if a != b]
    swings = sum(way != ways[n - 1] for n, way in enumerate(ways)) / 2 or 1
    return swings * per_s / (FLASHES_A_S if move.steps else SWINGS_A_S)


def standing(sheet: Sheet, speed: float) -> frozenset[str]:
    """Ids of the animations that are too quick to be seen at this speed."""
    return frozenset(id_ for id_, move in sheet.moves().items() if haste(move) * speed > 1)


def loop_ms(sheet: Sheet, speed: float, orders: dict[str, int]) -> Fraction:
    """The least time after which all that runs at this speed looks the same again; 0 where nothing runs.

    `orders`: id of an animation → how often its part looks the same within a turn.
    """
    still = standing(sheet, speed)
    periods = [
        period_ms(move, orders.get(id_, 1))
        for id_, move in sheet.moves().items()
        if id_ not in still and len(set(move.values)) > 1 and orders.get(id_, 1) != ROUND_BODY
    ]
    if not periods:
        return Fraction(0)
    return Fraction(math.lcm(*(p.numerator for p in periods)), math.gcd(*(p.denominator for p in periods)))


def period_ms(move: Move, order: int) -> Fraction:
    """The time after which one move looks the same, of a part that looks so `order` times within a turn."""
    turns = _turns(move)
    if not turns:
        return _ms(move)
    if len(move.values) == 2:
        return _ms(move) / (abs(turns) * order)
    # A wheel that steps looks the same only after whole repetitions.
    return _ms(move) * ((turns * order).denominator if move.sums else 1)


def _ms(move: Move) -> Fraction:
    return Fraction(move.exact_ms or move.dur_ms)


def _turns(move: Move) -> Fraction:
    """Turns in one repetition: a ratio of counts, which ten decimals of a degree tell."""
    if move.what != "rotate":
        return Fraction(0)
    return ((Fraction(move.values[-1]) - Fraction(move.values[0])) / 360).limit_denominator(1_000_000)


def orders(sheet: Sheet, raster: Raster, seen: dict[Figure, int] | None = None) -> dict[str, int]:
    """Id of an animation that turns something → how often that looks the same within a turn; ROUND_BODY of what always does.

    `seen`: what was found of figures before; what is found now is added.
    """
    found: dict[str, int] = {}
    seen = {} if seen is None else seen
    ids = iter(sheet.moves())

    def walk(figure: Figure) -> None:
        for move in replace(figure, inner=()).in_order():
            id_ = next(ids)
            if _turns(move):
                alone = replace(figure, at=(0.0, 0.0), turned_deg=0.0, moves=(), state=None)
                if alone not in seen:
                    seen[alone] = _order(alone, sheet, raster)
                found[id_] = seen[alone]
        for each in figure.inner:
            walk(each)

    for figure in sheet.figures:
        walk(figure)
    return found


def _order(alone: Figure, sheet: Sheet, raster: Raster) -> int:
    """Drawn alone and sampled round its centre: the ways it repeats are in its spectrum, and a turn by one of them must fit."""
    far = max(sheet.box[2:])
    ink = _ink(raster(_only(alone, sheet, far), PX))
    rows, columns = np.nonzero(ink > 0.02)
    if not len(rows):
        return ORDERS
    middle = (PX - 1) / 2
    reach = float(np.hypot(rows - middle, columns - middle).max() + 2) / (PX / 2) * far
    seen = _round(_ink(raster(_only(alone, sheet, reach), PX)))
    power = (np.abs(np.fft.rfft(seen, axis=1)) ** 2).sum(axis=0)
    power[0] = 0.0
    if power.sum() < FAINT * ROUND**2:
        return ORDERS
    if all(_fits(seen, n) for n in APART):
        return ROUND_BODY
    shares = ((n, power[::n].sum() / power.sum()) for n in range(ORDERS, 1, -1))
    return next((n for n, share in shares if share > MOST and _fits(seen, n)), 1)


def _only(figure: Figure, sheet: Sheet, reach: float) -> Sheet:
    return replace(sheet, box=(-reach, -reach, 2 * reach, 2 * reach), figures=(figure,), states={})


def _ink(png: bytes) -> np.ndarray:
    """(PX, PX) from 0, paper, to 1."""
    from PIL import Image

    return 1.0 - np.asarray(Image.open(io.BytesIO(png)).convert("L"), dtype=float) / 255


def _round(ink: np.ndarray) -> np.ndarray:
    """(OUTWARDS, ROUND) samples round the centre, between the pixels."""
    angle = np.arange(ROUND) * 2 * np.pi / ROUND
    middle = (PX - 1) / 2
    radius = np.linspace(2, middle - 1, OUTWARDS * FINE)[:, None]
    x, y = middle + radius * np.cos(angle), middle + radius * np.sin(angle)
    i, j = y.astype(int), x.astype(int)
    v, u = y - i, x - j
    above, below = ink[i, j] * (1 - u) + ink[i, j + 1] * u, ink[i + 1, j] * (1 - u) + ink[i + 1, j + 1] * u
    return (above * (1 - v) + below * v).reshape(OUTWARDS, FINE, ROUND).mean(axis=1)


def _fits(seen: np.ndarray, order: int) -> bool:
    """Turned by one part in `order`, it lies on itself, but for an edge's width."""
    at = (np.arange(ROUND) + ROUND / order) % ROUND
    whole = at.astype(int)
    turned = seen[:, whole] + (seen[:, (whole + 1) % ROUND] - seen[:, whole]) * (at - whole)
    padded = np.pad(np.pad(turned, ((1, 1), (0, 0)), mode="edge"), ((0, 0), (EDGE, EDGE)), mode="wrap")
    near = np.lib.stride_tricks.sliding_window_view(padded, (3, 2 * EDGE + 1))
    apart = np.maximum(seen - near.max(axis=(2, 3)), near.min(axis=(2, 3)) - seen)
    return float(apart.max()) < DIFFERENT
