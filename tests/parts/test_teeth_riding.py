"""The click riding over its ratchet, against shapely: it touches and never overlaps through a whole tooth, and then drops."""

import math

import numpy as np
import pytest
from shapely import Polygon, affinity

from builder.parts.teeth.ratchet import Ratchet
from builder.parts.teeth.riding import drop_rad, lift_rad

CASES = [(8, 8.0, 7.0), (24, 7.5, 5.25), (36, 24.0, 16.8), (48, 20.0, 14.0), (120, 20.0, 10.0)]
"""Teeth, radius over the tips, click from tip to screw; those of the demo movements among them."""
INSTANTS = 1000


def wheel(form: Ratchet, teeth: int, tip: float, wound: float) -> Polygon:
    return affinity.rotate(Polygon(form.outline(teeth, tip)), wound, origin=(0, 0), use_radians=True)


def click(form: Ratchet, teeth: int, tip: float, length: float, lift: float) -> Polygon:
    pivot = form.click_pivot(tip, length)
    return affinity.rotate(Polygon(form.click_outline(teeth, tip, length)), -lift, origin=pivot, use_radians=True)


@pytest.mark.parametrize(("teeth", "tip", "length"), CASES)
def test_rides_touching_and_never_in_the_wheel(teeth, tip, length):
    """From one seat until it drops, at a thousand instants: no overlap, no gap. Lifted 2 % less it would stand in the wheel."""
    form = Ratchet()
    whole = 2 * math.pi / teeth + drop_rad(form, teeth, tip, length)
    wound = np.linspace(0.0, whole, INSTANTS, endpoint=False)
    lifts = lift_rad(form, teeth, tip, length, wound)
    assert lifts[0] == pytest.approx(0, abs=1e-9) and np.all(np.diff(lifts[: INSTANTS // 2]) > 0)
    into = []
    for angle, lift in zip(wound, lifts, strict=True):
        rim, nose = wheel(form, teeth, tip, angle), click(form, teeth, tip, length, lift)
        assert rim.intersection(nose).area < 1e-9 * tip**2 and rim.distance(nose) < 1e-9 * tip
        if 0.5 < angle / whole < 0.85:  # not at the very tip, where less would be past it
            into.append(rim.intersection(click(form, teeth, tip, length, 0.98 * lift)).area)
    assert min(into) > 1e-9 * tip**2


@pytest.mark.parametrize(("teeth", "tip", "length"), CASES)
def test_drops_behind_the_tip_once_there_is_room(teeth, tip, length):
    """Just short of the drop the nose is still up; just past it it falls, free all the way, to where one tooth less has it."""
    form = Ratchet()
    pitch = 2 * math.pi / teeth
    over = drop_rad(form, teeth, tip, length)
    assert 0 < over < 0.3 * pitch
    before, after = lift_rad(form, teeth, tip, length, np.array([pitch + over * (1 - 1e-6), over * (1 + 1e-6)]))
    assert before > 2 * after > 0
    past = wheel(form, teeth, tip, pitch + over * (1 + 1e-6))
    for lift in np.linspace(before, after, 40):
        assert past.intersection(click(form, teeth, tip, length, lift)).area < 1e-7 * tip**2
    # a hair sooner the tip is still in its way
    near = wheel(form, teeth, tip, pitch + 0.8 * over)
    assert (
        max(near.intersection(click(form, teeth, tip, length, lift)).area for lift in np.linspace(before, after, 40))
        > 1e-8 * tip**2
    )
