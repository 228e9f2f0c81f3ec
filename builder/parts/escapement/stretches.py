"""Where one pallet holds its tooth, and by what: the whole reach cut at the pallet angles at which the touching pair changes."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from builder.ground.geometry import cross
from builder.parts.escapement.action import Pallet
from builder.parts.escapement.contact import Floats, Pair

SAMPLES = 192
"""Pallet angles at which the touching pair is looked up before its changes are closed in on."""
CUTS = 32
"""Parts into which an interval that holds a change is cut at each step of closing in."""
THINNEST = 1e-10
"""Pallet angle, rad, below which a stretch is only the rounding of a corner: its neighbour takes it over."""
ROLL_OFF = 2e-6
"""Rise, as a part of the distance from O, that a pin rolling off a corner is let off before its end."""
FLAT = 1e-3
"""Lever arm of a contact about O, as a part of its distance, below which a pin is taken to be at the top of a corner."""
GRADE = 4.0
"""How much longer each part of a rolling-off is than the one nearer its end."""


@dataclass(frozen=True)
class Stretch:
    """Pallet angles from `start_rad` up to `end_rad` over which one meeting stops the tooth."""

    start_rad: float
    end_rad: float
    which: int


@dataclass(frozen=True)
class Contacts:
    """One pallet through the whole reach: where its tooth is stopped and by what, in rising pallet angle, gaps left out."""

    pallet: Pallet
    pair: Pair
    stretches: tuple[Stretch, ...]


def contacts(pallet: Pallet, pair: Pair, reach_rad: float) -> Contacts:
    """Find the stretches of one pallet over -reach … +reach: changes are closed in on to the last digits of a float."""
    theta = np.linspace(-reach_rad, reach_rad, SAMPLES + 1)
    which = pair.rest(theta)[1]
    ends = [-reach_rad]
    kinds = [int(which[0])]
    change = np.flatnonzero(which[1:] != which[:-1])
    brackets = [(theta[i], theta[i + 1], int(which[i]), int(which[i + 1])) for i in change]
    while brackets:
        low, high = _close_in(pair, brackets)
        after = pair.rest(high)[1]
        left = []
        found = sorted(zip(low, high, after, brackets, strict=True), key=lambda f: float(f[0]))
        for lo, hi, now, (_, old_high, _, last) in found:
            ends.append(float(lo + hi) / 2)
            kinds.append(int(now))
            if now != last:  # a third meeting lay between: close in on the next change too
                left.append((float(hi), old_high, int(now), last))
        brackets = left
    order = np.argsort(ends, kind="stable")
    marks = [ends[i] for i in order] + [reach_rad]
    whole = _thick_enough([Stretch(a, b, kinds[i]) for (a, b), i in zip(pairwise(marks), order, strict=True)])
    parts = [part for stretch in whole if stretch.which >= 0 for part in _graded(pair, stretch)]
    return Contacts(pallet, pair, tuple(parts))


def _thick_enough(stretches: list[Stretch]) -> list[Stretch]:
    """The same cover without its slivers: each is taken over by the stretch before it."""
    kept: list[Stretch] = []
    for stretch in stretches:
        if kept and stretch.end_rad - stretch.start_rad <= THINNEST:
            kept[-1] = replace(kept[-1], end_rad=stretch.end_rad)
        else:
            kept.append(stretch)
    return kept


def _graded(pair: Pair, whole: Stretch) -> list[Stretch]:
    """A stretch as it is, or, where a round pin rolls off a corner at one of its ends, in parts that grow from that end.

    There the wheel's rate grows without bound, as one over the square root of what is left. The contact is cut while the pin
    still has ROLL_OFF of its distance from O to rise: what is neglected is a lift as small as the overlap allowed to drawings,
    and the wheel's travel over it counts as drop. The parts, each GRADE times the one before, keep every fit smooth.
    """
    length = whole.end_rad - whole.start_rad
    for end, inward in ((whole.end_rad, -1.0), (whole.start_rad, 1.0)):
        near = pair.touch(whole.which, np.array([end + inward * 1e-9 * length]))
        c = near.point_mm[0]
        if not cross(c, near.normal[0]) <= FLAT * math.hypot(*c):
            continue
        distance = ROLL_OFF * math.hypot(*c) / math.hypot(c[0], c[1] - pair.centre_mm)
        marks = [distance]
        while marks[-1] * GRADE < length:
            marks.append(marks[-1] * GRADE)
        edges = sorted([end + inward * mark for mark in marks] + [whole.start_rad if inward < 0 else whole.end_rad])
        return [Stretch(a, b, whole.which) for a, b in pairwise(edges)]
    return [whole]


def _close_in(pair: Pair, brackets: list[tuple[float, float, int, int]]) -> tuple[Floats, Floats]:
    """For each bracket the last angle still of the first kind and the next float-near angle that is not."""
    low = np.array([b[0] for b in brackets])
    high = np.array([b[1] for b in brackets])
    kind = np.array([b[2] for b in brackets])
    rows = np.arange(len(brackets))
    for _ in range(12):
        grid = low[:, None] + (high - low)[:, None] * np.linspace(0, 1, CUTS + 1)
        other = pair.rest(grid.ravel())[1].reshape(grid.shape) != kind[:, None]
        other[:, -1] = True
        first = np.maximum(np.argmax(other, axis=1), 1)
        low, high = grid[rows, first - 1], grid[rows, first]
        if np.all(high - low <= 4 * np.finfo(float).eps * np.maximum(np.abs(low), 1e-3)):
            break
    return low, high


def unbroken(contact: Contacts, far_rad: float) -> Contacts:
    """Only the stretches that hang together from one end of the swing to the first let-off: what a tooth can meet that stands at
    a shell, round which the balance turns so far that its other lip comes by."""
    kept: list[Stretch] = []
    for stretch in sorted(contact.stretches, key=lambda s: abs(s.start_rad + s.end_rad - 2 * far_rad)):
        near, after = (stretch.start_rad, stretch.end_rad) if far_rad < stretch.end_rad else (stretch.end_rad, stretch.start_rad)
        if abs(near - far_rad) > THINNEST:
            break
        kept.append(stretch)
        far_rad = after
    return replace(contact, stretches=tuple(sorted(kept, key=lambda s: s.start_rad)))
