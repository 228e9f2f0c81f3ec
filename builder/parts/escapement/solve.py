"""From a draft to its action, with what a practitioner would measure on each pallet."""

from __future__ import annotations

import math

import numpy as np

from builder.ground.faults import Complaint, Refused
from builder.ground.geometry import cross
from builder.parts.escapement.action import Action, Drop, Pallet, PalletReport, Piece, Swing
from builder.parts.escapement.contact import Floats, Pair
from builder.parts.escapement.draft import Draft
from builder.parts.escapement.follow import contacts, swings

FOULS = 1e-9
"""Wheel angle, rad, that a pallet may seem to enter a tooth by rounding alone."""


def solved(draft: Draft, friction: float) -> Action:
    """The action of any drafted escapement.

    Raises Refused where a pallet misses the wheel, never lets go, or runs into a neighbouring tooth.
    """
    pairs = {name: Pair(draft.tooth, draft.surfaces[name], draft.centre_mm, draft.meets_rad[name]) for name in draft.surfaces}
    entry = contacts("entry", pairs["entry"], draft.reach_rad)
    exit = contacts("exit", pairs["exit"], draft.reach_rad)
    up, down = swings(entry, exit, draft.pitch_rad, draft.reach_rad, friction)
    faults = _fouling(pairs, up, down, draft)
    if faults:
        raise Refused(faults)
    banked = bool(draft.bankings)
    entry_report = _report("entry", up, down, draft, banked)
    exit_report = _report("exit", down, up, draft, banked)
    return Action(up, down, draft.pitch_rad, draft.reach_rad, entry_report, exit_report)


def wheel_at(swing: Swing, theta_rad: Floats) -> Floats:
    """The wheel angle (K,) at pallet angles (K,) of one swing; at a drop, before it."""
    way = np.sign(swing.pieces[-1].end_rad - swing.pieces[0].start_rad)
    ends = np.array([piece.end_rad for piece in swing.pieces]) * way
    which = np.minimum(np.searchsorted(ends, theta_rad * way - 1e-15), len(ends) - 1)
    wheel = np.empty_like(theta_rad)
    for i, piece in enumerate(swing.pieces):
        wheel[which == i] = piece.wheel_rad(theta_rad[which == i])
    return wheel


def _fouling(pairs: dict[Pallet, Pair], up: Swing, down: Swing, draft: Draft) -> list[Complaint]:
    """Complaints where the drafted nibs would stand inside a tooth, at pallet angles through both swings."""
    theta = np.linspace(-draft.reach_rad, draft.reach_rad, 241)
    worst: tuple[float, str, float] | None = None
    for name, pair in pairs.items():
        first, last = pair.rest(theta)[0], pair.clear(theta)
        deep = last - first
        for swing in (up, down):
            since = np.remainder(wheel_at(swing, theta) - first + FOULS, draft.pitch_rad) - FOULS
            into = np.where(since > FOULS, deep - since, deep - since - draft.pitch_rad)
            k = int(np.nanargmax(into))
            if into[k] > FOULS and (worst is None or into[k] > worst[0]):
                worst = (float(into[k]), name, float(theta[k]))
    if worst is None:
        return []
    into_deg, at_deg = math.degrees(worst[0]), math.degrees(worst[2])
    return [
        Complaint(
            ("drop_deg",),
            f"{into_deg:.3f} deg short",
            f"the {worst[1]} pallet runs into the back of a tooth at {at_deg:.2f} deg of pallet angle",
            "Give more drop, less reach, or a smaller span.",
        )
    ]


def _report(name: Pallet, away: Swing, back: Swing, draft: Draft, banked: bool) -> PalletReport:
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
        run_deg=math.degrees(draft.reach_rad - abs(caught.at_rad)) if banked else 0.0,
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
