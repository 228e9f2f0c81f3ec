"""From contacts to action: follow pallet and tooth through both swings, split where the touching pair changes, fit each piece."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.polynomial import Chebyshev

from builder.ground.faults import Complaint, Refused
from builder.ground.geometry import cross
from builder.parts.escapement.action import Drop, Pallet, Piece, Swing
from builder.parts.escapement.contact import Floats, Pair, Touch

SAMPLES = 192
"""Pallet angles at which the touching pair is looked up before its changes are closed in on."""
CUTS = 32
"""Parts into which an interval that holds a change is cut at each step of closing in."""
DEGREE = 24
NODES = (DEGREE + 1, 2 * DEGREE + 1, 4 * DEGREE + 1)
THINNEST = 1e-12
"""Pallet angle, rad, below which a stretch is only the rounding of a corner between two others."""
ROLL_OFF = 2e-6
GRADE = 4.0
SETTLED = 1e-13
"""A fit is taken when its last coefficients are below this part of its size."""

ROUNDING = 4e-15
"""Coefficients below this part of a fit's size are rounding, and are left out."""


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

    def at(self, theta_rad: float) -> float:
        """Wheel angle at which a tooth is stopped, nan where it passes freely."""
        return float(self.pair.rest(np.array([theta_rad]))[0][0])


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
    starts = [ends[i] for i in order] + [reach_rad]
    stretches: list[Stretch] = []
    for start, end, i in zip(starts[:-1], starts[1:], order, strict=True):
        if kinds[i] >= 0 and end - start > THINNEST:
            stretches += _graded(pair, Stretch(start, end, kinds[i]))
    return Contacts(pallet, pair, tuple(stretches))


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
        if cross(c, near.normal[0]) > 1e-3 * math.hypot(*c):
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


@lru_cache(maxsize=8)
def _fitting(nodes: int) -> tuple[Floats, Floats]:
    """Chebyshev points of the first kind on -1 … 1 and the matrix from values there to coefficients."""
    angle = (np.arange(nodes) + 0.5) * math.pi / nodes
    matrix = 2 / nodes * np.cos(np.arange(nodes)[:, None] * angle[None, :])
    matrix[0] /= 2
    return np.cos(angle), matrix


def fitted(law: Callable[[Floats], Floats], start_rad: float, end_rad: float) -> list[Chebyshev]:
    """Fits of all columns of law(theta) (K, C) over start … end, of the degree that their smoothness asks for."""
    domain = (min(start_rad, end_rad), max(start_rad, end_rad))
    for nodes in NODES:
        points, matrix = _fitting(nodes)
        values = law(0.5 * (domain[0] + domain[1]) + 0.5 * (domain[1] - domain[0]) * points)
        weights = matrix @ values
        size = np.max(np.abs(values), axis=0) + 1e-300
        if np.all(np.abs(weights[-3:]) <= SETTLED * size + 1e-15):
            break
    return [_trimmed(weights[:, i], domain, float(size[i])) for i in range(values.shape[1])]


def _trimmed(weights: Floats, domain: tuple[float, float], size: float) -> Chebyshev:
    """Without the coefficients that are only rounding: those below what the highest ones are."""
    noise = max(ROUNDING * size, 4 * float(np.max(np.abs(weights[-4:]))))
    keep = np.flatnonzero(np.abs(weights) > noise)
    return Chebyshev(weights[: int(keep[-1]) + 1] if len(keep) else weights[:1], domain=domain)


def leverage(touch: Touch, centre_mm: float) -> tuple[Floats, Floats]:
    """Slope d phi / d theta, and how fast the wheel slides on the pallet along the tangent per unit of rising theta, mm."""
    c, n = touch.point_mm, touch.normal
    b = c - np.array([0.0, centre_mm])
    slope = cross(b, n) / cross(c, n)
    return slope, slope * np.sum(c * n, axis=-1) - np.sum(b * n, axis=-1)


def gain(touch: Touch, centre_mm: float, friction: float, slide: float) -> Floats:
    """Torque on the pallets per torque on the wheel, with the wheel sliding along the tangent towards the sign of `slide`."""
    c, n = touch.point_mm, touch.normal
    tangent = np.stack((-n[..., 1], n[..., 0]), axis=-1)
    force = n + friction * slide * tangent
    return cross(c - np.array([0.0, centre_mm]), force) / cross(c, force)


def _slide_cuts(contact: Contacts, stretch: Stretch) -> list[float]:
    """Angles inside a stretch at which the sliding turns round, so that friction has one sign between them."""

    def slide(theta: Floats) -> Floats:
        return leverage(contact.pair.touch(stretch.which, theta), contact.pair.centre_mm)[1]

    theta = np.linspace(stretch.start_rad, stretch.end_rad, 34)[1:-1]
    speed = slide(theta)
    cuts = []
    for i in np.flatnonzero(np.sign(speed[1:]) * np.sign(speed[:-1]) < 0):
        low, high, sign = theta[i], theta[i + 1], np.sign(speed[i])
        for _ in range(12):
            grid = np.linspace(low, high, CUTS + 1)
            first = int(np.argmax(np.sign(slide(grid[1:])) != sign)) + 1
            low, high = grid[first - 1], grid[first]
        cuts.append(float(low + high) / 2)
    return cuts


def _pieces(contact: Contacts, friction: float, start_rad: float, end_rad: float) -> list[Piece]:
    """All pieces of one pallet from start to end, in that order of travel, with phi as the pair has it (its own tooth)."""
    low, high = min(start_rad, end_rad), max(start_rad, end_rad)
    done = []
    for stretch in contact.stretches:
        cuts = [max(low, stretch.start_rad), *_slide_cuts(contact, stretch), min(high, stretch.end_rad)]
        cuts = [cut for cut in cuts if cuts[0] <= cut <= cuts[-1]]
        done += [
            _piece(contact, stretch.which, a, b, friction, end_rad > start_rad) for a, b in pairwise(cuts) if b - a > THINNEST
        ]
    return done if end_rad > start_rad else done[::-1]


def _piece(contact: Contacts, which: int, start: float, end: float, friction: float, rising: bool) -> Piece:
    way = 1.0 if rising else -1.0
    centre = contact.pair.centre_mm
    middle = leverage(contact.pair.touch(which, np.array([(start + end) / 2])), centre)[1]
    slide = way * float(np.sign(middle[0]))

    def law(theta: Floats) -> Floats:
        touch = contact.pair.touch(which, theta)
        slope, _ = leverage(touch, centre)
        return np.stack((touch.wheel_rad, slope, gain(touch, centre, friction, slide), *touch.point_mm.T), axis=1)

    wheel, slope, with_friction, x, y = fitted(law, start, end)
    first, last = (start, end) if rising else (end, start)
    name = contact.pair.meetings[which].name
    return Piece(contact.pallet, name, first, last, wheel, slope, with_friction, (x, y))


def swings(entry: Contacts, exit: Contacts, pitch_rad: float, reach_rad: float, friction: float) -> tuple[Swing, Swing]:
    """Both swings: up from the entry pallet's hold at -reach, then down from +reach; phi gains one pitch.

    Raises Refused where a pallet does not hold the wheel to its let-off, the other does not catch it, or contact jumps.
    """
    faults = _unheld(entry, -reach_rad) + _unheld(exit, reach_rad)
    if faults:
        raise Refused(faults)
    up_drop, down_drop = entry.stretches[-1].end_rad, exit.stretches[0].start_rad
    runs = {
        "up": (_pieces(entry, friction, -reach_rad, up_drop), _pieces(exit, friction, up_drop, reach_rad)),
        "down": (_pieces(exit, friction, reach_rad, down_drop), _pieces(entry, friction, down_drop, -reach_rad)),
    }
    shift = 0.0
    done = []
    for held, caught in runs.values():
        leaves = float(held[-1].wheel_rad(held[-1].end_rad)) + shift
        lands = float(caught[0].wheel_rad(caught[0].start_rad))
        onward = math.ceil((leaves - lands) / pitch_rad - 1e-9) * pitch_rad
        drop = Drop(held[-1].end_rad, held[0].pallet, caught[0].pallet, leaves, lands + onward)
        done.append(Swing(tuple(_onward(held, shift) + _onward(caught, onward)), (drop,)))
        shift = onward
    up, down = done
    return up, down


def _unheld(contact: Contacts, far_rad: float) -> list[Complaint]:
    """What is wrong with a pallet that should hold the wheel without a gap from the far end of the swing to its let-off."""
    if far_rad > 0:
        ends = [far_rad, *(s for st in reversed(contact.stretches) for s in (st.end_rad, st.start_rad))]
    else:
        ends = [far_rad, *(s for st in contact.stretches for s in (st.start_rad, st.end_rad))]
    gaps = [(a, b) for a, b in zip(ends[0:-1:2], ends[1::2], strict=True) if abs(a - b) > 1e-9]
    if not contact.stretches or gaps:
        at_deg = math.degrees(gaps[0][0] if gaps else far_rad)
        return [
            Complaint(
                ("reach_deg",) if abs(at_deg - math.degrees(far_rad)) < 1e-6 else ("impulse_deg",),
                f"{at_deg:.3f} deg of pallet angle",
                f"the {contact.pallet} pallet does not meet a tooth there",
                "Take a smaller reach, or check radius, span and centre distance.",
            )
        ]
    last = contact.stretches[-1].end_rad if far_rad < 0 else contact.stretches[0].start_rad
    if abs(last + far_rad) < 1e-9:
        return [
            Complaint(
                ("impulse_deg",),
                f"{math.degrees(abs(far_rad)):.3f} deg of reach",
                f"the {contact.pallet} pallet never lets its tooth go",
                "Make the reach larger than half of impulse and lock, or the pallets shallower.",
            )
        ]
    return []


def _onward(run: list[Piece], shift_rad: float) -> list[Piece]:
    return [replace(piece, wheel_rad=piece.wheel_rad + shift_rad) for piece in run]
