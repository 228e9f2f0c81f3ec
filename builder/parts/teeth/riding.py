"""How a click rides over its ratchet while it is wound: lifted by the backs of the teeth, dropping over their tips.

The click falls on to the wheel from outside, so its place is the first at which anything touches: a corner of the nose on
the wheel, or a tip of the wheel on the nose. Neglected: the time that the click's spring takes to throw it in (some
milliseconds), and bounce.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from builder.ground.geometry import Points, turned
from builder.ground.roots import root
from builder.parts.teeth.ratchet import Ratchet

Array = NDArray[np.float64]

NEAR_RAD = 1.2
"""Only what lies within this of the seated nose, as seen from the click's screw, can be touched by it."""


MOST_PITCHES = 1.4
"""Wound on so many teeth, the click has dropped over the first, however coarse they are."""


def lift_rad(form: Ratchet, teeth: int, tip_mm: float, length_mm: float, wound_rad: ArrayLike) -> Array:
    """How far the click (`form.click_outline`) is off its seat when the wheel has been wound on by `wound_rad` from there.

    Both in rad, same shape, from 0 to one tooth and `drop_rad`: there it drops over the tip and all begins again. Raises
    Refused.
    """
    wound = np.asarray(wound_rad, dtype=float)
    pivot = np.array(form.click_pivot(tip_mm, length_mm))
    nose = form.click_outline(teeth, tip_mm, length_mm) - pivot
    behind = np.arange(-9, 1) % (2 * teeth)  # from the root of the tooth that holds it, back over the four before
    rim = form.outline(teeth, tip_mm)[behind]
    lifts = [_touch(turned(rim, angle) - pivot, nose) for angle in np.ravel(wound)]
    return np.array(lifts).reshape(wound.shape)


@lru_cache(maxsize=16)
def drop_rad(form: Ratchet, teeth: int, tip_mm: float, length_mm: float) -> float:
    """How far beyond a whole tooth the wheel must be wound before the click drops in: what falls back on letting go.

    The face is hooked and the click swings about its own screw, so its nose needs more room to pass than to sit.
    Raises Refused.
    """
    pitch = 2 * math.pi / teeth
    tried = np.linspace(pitch, MOST_PITCHES * pitch, 49)
    lifts = lift_rad(form, teeth, tip_mm, length_mm, tried)
    falls = int(np.argmin(np.diff(lifts)))  # over the tip it falls all at once; before and after it turns slowly
    half_way = float(lifts[falls] + lifts[falls + 1]) / 2

    def still_on(wound_rad: float) -> float:
        """Above 0 until the nose is over the tip."""
        return float(lift_rad(form, teeth, tip_mm, length_mm, wound_rad)) - half_way

    return root(still_on, float(tried[falls]), float(tried[falls + 1])) - pitch


def _touch(rim: Points, nose: Points) -> float:
    """The lift at which the falling click meets the wheel; both about the click's screw."""
    by_nose = _reach(rim, nose, outermost=True) - _away(nose)
    by_rim = _away(rim) - _reach(np.concatenate([nose, nose[:1]]), rim, outermost=False)
    return float(np.max(np.concatenate([by_nose, by_rim])))


def _away(points: Points) -> Array:
    """Angle (N,) about the screw, growing as the click is lifted (clockwise); the seated nose stands near 0."""
    return np.arctan2(points[:, 0], points[:, 1])


def _reach(line: Points, points: Points, outermost: bool) -> Array:
    """Angle (N,) at which the circle through each point about the screw meets an open line, −inf or +inf where it does not."""
    start, step = line[:-1], np.diff(line, axis=0)
    aa, bb = np.sum(step * step, axis=1), np.sum(start * step, axis=1)
    cc = np.sum(start * start, axis=1) - np.sum(points * points, axis=1)[:, None]
    under_root = bb * bb - aa * cc
    found = []
    for sign in (-1, 1):
        share = (sign * np.sqrt(np.maximum(under_root, 0.0)) - bb) / aa
        x, y = (start + share[..., None] * step).transpose(2, 0, 1)
        angle = np.arctan2(x, y)
        on = (under_root >= 0) & (share >= -1e-9) & (share <= 1 + 1e-9) & (np.abs(angle - _away(points)[:, None]) < NEAR_RAD)
        found.append(np.where(on, angle, -np.inf if outermost else np.inf))
    both = np.concatenate(found, axis=1)
    return both.max(axis=1) if outermost else both.min(axis=1)
