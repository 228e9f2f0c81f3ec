"""What a practitioner would measure on each pallet of a solved escapement."""

from __future__ import annotations

import math

import numpy as np

from builder.ground.geometry import cross
from builder.parts.escapement.action import Drop, Pallet, PalletReport, Piece, Swing
from builder.parts.escapement.draft import Draft


def measured(name: Pallet, away: Swing, back: Swing, draft: Draft) -> PalletReport:
    """What one pallet does: `away` is the swing on which it lets its tooth go, `back` the one on which it catches the next."""
    mine = [piece for piece in away.pieces if piece.pallet == name]
    let_off = mine[-1].end_rad
    caught = _drop_onto(name, back)
    resting = [piece for piece in mine if "locking face" in piece.surface]
    unlocks = resting[-1].end_rad if resting else caught.at_rad
    landed = [piece for piece in back.pieces if piece.pallet == name]
    far = landed[-1]
    pushed = caught.to_rad - float(far.wheel_rad(far.end_rad))
    if resting:
        pushed = max(pushed, float(resting[0].wheel_rad(resting[0].start_rad) - resting[-1].wheel_rad(unlocks)))
    return PalletReport(
        lock_deg=math.degrees(abs(unlocks - caught.at_rad)) if resting else 0.0,
        lift_deg=math.degrees(abs(let_off - unlocks)),
        drop_wheel_deg=math.degrees(_drop_from(name, away).to_rad - _drop_from(name, away).from_rad),
        recoil_wheel_deg=math.degrees(max(pushed, 0.0)),
        draw_deg=_draw_deg(resting[-1], draft) if resting else 0.0,
        run_deg=math.degrees(draft.reach_rad - abs(caught.at_rad)) if draft.bankings else 0.0,
    )


def _drop_onto(name: Pallet, swing: Swing) -> Drop:
    return next(drop for drop in swing.drops if drop.lands_on == name)


def _drop_from(name: Pallet, swing: Swing) -> Drop:
    return next(drop for drop in swing.drops if drop.leaves == name)


def _draw_deg(resting: Piece, draft: Draft) -> float:
    """Angle between the locking face and the arc about the pallet arbor at unlocking, from the wheel's slope there:
    slope = (b × n)/(c × n), and n is turned by the draw from the direction of b."""
    assert resting.touch_mm is not None
    theta = resting.end_rad
    c = np.array([float(axis(theta)) for axis in resting.touch_mm])
    b = c - np.array([0.0, draft.centre_mm])
    slope = float(resting.slope(theta))
    # (b − slope·c) × n = 0: the normal lies along b − slope·c
    along = b - slope * c
    turn = math.atan2(float(cross(b, along)), float(np.dot(b, along)))
    return math.degrees(abs(turn)) if abs(turn) > 1e-12 else 0.0
