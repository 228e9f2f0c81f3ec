"""The period cut into what happens, and how far each pallet pushes the wheel back in it."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from builder.going.phases import phases, pushed_back_rad
from builder.going.steady import Running
from tests.solved import demo


def beat(slug: str) -> Running:
    found = demo(slug).windings[0].beat
    assert isinstance(found, Running)
    return found


@pytest.mark.parametrize("slug", ["hall_clock", "schoolroom_dial"])
def test_an_anchor_pushes_the_wheel_back_by_what_its_face_rises(slug: str) -> None:
    """From the pallet's angle at which the tooth has come down to that at the turn, along the contact solver's own curve of the
    face: less than from the let-off, for the pallets go on while the wheel falls."""
    winding, running = demo(slug).windings[0], beat(slug)
    assert winding.path is not None
    path, action = winding.path, running.works.course.action
    found = pushed_back_rad(running, path)
    for swing, turn in ((action.up, running.high_rad), (action.down, -running.low_rad)):
        caught = swing.drops[-1]
        faces = [piece for piece in swing.pieces if piece.pallet == caught.lands_on]
        face = next(piece for piece in faces if abs(piece.start_rad) <= abs(turn) <= abs(piece.end_rad))
        (at_s,) = [t for t, what, pallet in path.events if what == "locks" and pallet == caught.lands_on]
        down_rad = float(np.interp(at_s, path.times_s, path.pallet_rad))
        rise_rad = float(face.wheel_rad(down_rad)) - float(face.wheel_rad(turn))
        assert found[caught.lands_on] == pytest.approx(rise_rad, rel=1e-3)
        assert math.radians(0.05) < rise_rad < caught.to_rad - float(face.wheel_rad(turn))


def test_a_dead_beat_pushes_nothing_back() -> None:
    """Graham's locking faces are arcs about the pallets' arbor: the wheel stands."""
    winding = demo("shop_regulator").windings[0]
    assert winding.path is not None
    assert max(pushed_back_rad(beat("shop_regulator"), winding.path).values()) < 1e-7


def test_draw_is_overcome_while_unlocking() -> None:
    """A detached lever's stones push the wheel back as they are drawn from under it, by what was measured at the pallets."""
    winding, running = demo("pocket_watch").windings[0], beat("pocket_watch")
    assert winding.path is not None
    action, found = running.works.course.action, pushed_back_rad(running, winding.path)
    for pallet, report in (("entry", action.entry), ("exit", action.exit)):
        assert math.degrees(found[pallet]) == pytest.approx(report.recoil_wheel_deg, abs=0.02)


def test_phases_lie_end_to_end() -> None:
    """From 0 to 1 without a gap, in every demo movement."""
    for slug in ("hall_clock", "shop_regulator", "pocket_watch", "shelf_timepiece"):
        these = phases(beat(slug))
        assert (these[0].start, these[-1].end) == (0.0, 1.0)
        assert all(a.end == pytest.approx(b.start, abs=1e-12) for a, b in pairwise(these))
