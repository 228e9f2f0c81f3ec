"""From a draft to its action, tried against everything that would stop it."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Any, Protocol, Self

import numpy as np

from builder.ground import words
from builder.ground.faults import Complaint, Refused
from builder.parts.escapement.action import Action, Pallet, Swing
from builder.parts.escapement.contact import Floats, Pair
from builder.parts.escapement.draft import Draft
from builder.parts.escapement.follow import swings
from builder.parts.escapement.report import measured
from builder.parts.escapement.stretches import contacts, unbroken

FOULS = 1e-9
"""Wheel angle, rad, that a pallet may seem to enter a tooth by rounding alone."""


class Kind(Protocol):
    """What of a model is needed to draw and solve it."""

    @property
    def embraced(self) -> float:
        """Tooth spaces embraced."""

    @property
    def friction(self) -> float:
        """Coefficient of friction of tooth on pallet."""

    def drawn(self) -> Draft:
        """The draft, before it is tried whether it runs."""

    def model_copy(self, *, update: dict[str, Any]) -> Self:
        """The model with other values."""


class Fouled(Refused):
    """Two parts would run into each other."""


@lru_cache(maxsize=64)
def solved(kind: Kind, friction: float) -> tuple[Draft, Action]:
    """Draft and action of a model.

    Raises Refused where a pallet misses the wheel, never lets go, or runs into a neighbouring tooth; then with the largest
    smaller span that would do, if there is one.
    """
    draft = kind.drawn()
    try:
        return draft, action_of(draft, friction)
    except Fouled as fouled:
        what = fouled.complaints[0].allowed
    span = _narrower(kind, friction)
    advice = "Give more drop or less reach, lock and run." if span is None else f"A span of {span:g} would do, or more drop."
    raise Refused([Complaint(("span",), f"{kind.embraced:g}", what, advice)])


def _narrower(kind: Kind, friction: float) -> float | None:
    span = kind.embraced - 1
    while span >= 1.5:
        try:
            action_of(kind.model_copy(update={"span": span}).drawn(), friction)
        except Refused:
            span -= 1
        else:
            return span
    return None


@lru_cache(maxsize=64)
def action_of(draft: Draft, friction: float) -> Action:
    """What a draft does at the pallets. Raises Refused where a pallet misses the wheel, never lets go, or runs into a tooth.

    A draft is itself alone: what was worked out for it is kept.
    """
    pairs = {
        name: Pair(draft.tooth, nib, draft.centre_mm, draft.meets_rad[name], draft.past_rad.get(name, -math.inf))
        for name, nib in draft.surfaces.items()
    }
    entry = contacts("entry", pairs["entry"], draft.reach_rad)
    exit = contacts("exit", pairs["exit"], draft.reach_rad)
    if draft.hollow:
        entry, exit = unbroken(entry, -draft.reach_rad), unbroken(exit, draft.reach_rad)
    up, down = swings(entry, exit, draft.pitch_rad, draft.reach_rad, friction)
    if not draft.hollow:
        _try_fouling(pairs, up, down, draft)
    reports = measured("entry", up, down, draft), measured("exit", down, up, draft)
    return Action(up, down, draft.pitch_rad, draft.reach_rad, *reports)


def wheel_at(swing: Swing, theta_rad: Floats) -> Floats:
    """The wheel angle (K,) at pallet angles (K,) of one swing; at a drop, before it."""
    way = np.sign(swing.pieces[-1].end_rad - swing.pieces[0].start_rad)
    ends = np.array([piece.end_rad for piece in swing.pieces]) * way
    which = np.minimum(np.searchsorted(ends, theta_rad * way - 1e-15), len(ends) - 1)
    wheel = np.empty_like(theta_rad)
    for i, piece in enumerate(swing.pieces):
        wheel[which == i] = piece.wheel_rad(theta_rad[which == i])
    return wheel


def _try_fouling(pairs: dict[Pallet, Pair], up: Swing, down: Swing, draft: Draft) -> None:
    """Raise Fouled where a pallet would stand inside a tooth, at pallet angles through both swings."""
    theta = np.linspace(-draft.reach_rad, draft.reach_rad, 241)
    worst = (FOULS, "", 0.0)
    for name, pair in pairs.items():
        first, last = pair.rest(theta)[0], pair.clear(theta)
        deep = last - first
        for swing in (up, down):
            since = np.remainder(wheel_at(swing, theta) - first + FOULS, draft.pitch_rad) - FOULS
            into = np.where(since > FOULS, deep - since, deep - since - draft.pitch_rad)
            k = int(np.nanargmax(into))
            worst = max(worst, (float(into[k]), name, float(theta[k])))
    depth, pallet, at = worst
    if pallet:
        way = f"with the pallets at {words.signed(math.degrees(at), 2)}°"
        where = f"{words.figure(math.degrees(depth))}° into the back of a tooth {way}"
        raise Fouled([Complaint(("span",), "this drawing", f"the {pallet} pallet would run {where}", "")])
