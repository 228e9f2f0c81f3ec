"""From contacts to action: what each stretch does, fitted smoothly, and the stretches of both pallets joined into swings."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np

from builder.ground import words
from builder.ground.faults import Complaint
from builder.ground.geometry import cross
from builder.parts.escapement.action import Drop, Piece, Swing
from builder.parts.escapement.contact import Floats, Touch
from builder.parts.escapement.drafting import refuse
from builder.parts.escapement.fit import fitted
from builder.parts.escapement.stretches import CUTS, THINNEST, Contacts, Stretch

JOINS = 1e-9
"""Angle, rad, within which two pieces lie end to end."""


def leverage(touch: Touch, centre_mm: float) -> tuple[Floats, Floats]:
    """Slope d phi / d theta, and how fast the wheel slides on the pallet along the tangent per unit of rising theta, mm."""
    c, n = touch.point_mm, touch.normal
    b = c - np.array([0.0, centre_mm])
    slope = cross(b, n) / cross(c, n)
    return slope, slope * np.sum(c * n, axis=-1) - np.sum(b * n, axis=-1)


def gain(touch: Touch, centre_mm: float, friction: float, slide: float) -> Floats:
    """Torque on the pallets per torque on the wheel, with the wheel sliding along the tangent towards the sign of `slide`.

    Raises Refused where the force would pass the wheel's arbor on the wrong side: friction would hold the wheel fast.
    """
    c, n = touch.point_mm, touch.normal
    tangent = np.stack((-n[..., 1], n[..., 0]), axis=-1)
    force = n + friction * slide * tangent
    arm = cross(c, force)
    if np.any(arm <= 0):
        steepest = float(np.min(cross(c, n) / np.abs(cross(c, tangent) * slide)))
        allowed = f"at most {steepest:.3f} on these faces, or a tooth sticks fast on a pallet"
        refuse([Complaint(("friction",), f"{friction:g}", allowed, "Oil it, or draft a flatter face.")])
    return cross(c - np.array([0.0, centre_mm]), force) / arm


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
    done: list[Piece] = []
    for stretch in contact.stretches:
        if stretch.end_rad <= low + THINNEST or stretch.start_rad >= high - THINNEST:
            continue
        first = low if stretch.start_rad < low + THINNEST else stretch.start_rad
        last = high if stretch.end_rad > high - THINNEST else stretch.end_rad
        turns = [cut for cut in _slide_cuts(contact, stretch) if first + THINNEST < cut < last - THINNEST]
        for a, b in pairwise([first, *turns, last]):
            done += _fitted_pieces(contact, stretch.which, a, b, friction, end_rad > start_rad)
    return done if end_rad > start_rad else done[::-1]


def _fitted_pieces(contact: Contacts, which: int, start: float, end: float, friction: float, rising: bool) -> list[Piece]:
    """Pieces over one stretch with one way of sliding, in rising theta."""
    centre = contact.pair.centre_mm
    middle = leverage(contact.pair.touch(which, np.array([(start + end) / 2])), centre)[1]
    slide = (1.0 if rising else -1.0) * float(np.sign(middle[0]))
    name = contact.pair.meetings[which].name

    def law(theta: Floats) -> Floats:
        touch = contact.pair.touch(which, theta)
        slope, _ = leverage(touch, centre)
        return np.stack((touch.wheel_rad, slope, gain(touch, centre, friction, slide), *touch.point_mm.T), axis=1)

    done = []
    for fit in fitted(law, start, end):
        first, last = (fit.start_rad, fit.end_rad) if rising else (fit.end_rad, fit.start_rad)
        wheel, slope, with_friction, x, y = fit.columns
        done.append(Piece(contact.pallet, name, first, last, wheel, slope, with_friction, (x, y)))
    return done


def swings(entry: Contacts, exit: Contacts, pitch_rad: float, reach_rad: float, friction: float) -> tuple[Swing, Swing]:
    """Both swings: up from the entry pallet's hold at -reach, then down from +reach; phi gains one pitch.

    Raises Refused where a pallet does not hold the wheel to its let-off, the other does not catch it, contact jumps, or
    friction holds the wheel fast.
    """
    refuse(_unheld(entry, -reach_rad) + _unheld(exit, reach_rad))
    up_drop, down_drop = entry.stretches[-1].end_rad, exit.stretches[0].start_rad
    refuse(_uncaught(exit, up_drop) + _uncaught(entry, down_drop))
    runs = (
        (_pieces(entry, friction, -reach_rad, up_drop), _pieces(exit, friction, up_drop, reach_rad)),
        (_pieces(exit, friction, reach_rad, down_drop), _pieces(entry, friction, down_drop, -reach_rad)),
    )
    shift = 0.0
    done = []
    for held, caught in runs:
        refuse(_jumps(held) + _jumps(caught))
        leaves = float(held[-1].wheel_rad(held[-1].end_rad)) + shift
        lands = float(caught[0].wheel_rad(caught[0].start_rad))
        onward = math.ceil((leaves - lands) / pitch_rad - JOINS) * pitch_rad
        drop = Drop(held[-1].end_rad, held[0].pallet, caught[0].pallet, leaves, lands + onward)
        done.append(Swing(tuple(_onward(held, shift) + _onward(caught, onward)), (drop,)))
        shift = onward
    up, down = done
    return up, down


def _unheld(contact: Contacts, far_rad: float) -> list[Complaint]:
    """What is wrong with a pallet that should hold the wheel without a gap from the far end of the swing to its let-off."""
    outward = contact.stretches if far_rad < 0 else contact.stretches[::-1]
    ends = [far_rad]
    for stretch in outward:
        ends += [stretch.start_rad, stretch.end_rad] if far_rad < 0 else [stretch.end_rad, stretch.start_rad]
    gaps = [(a, b) for a, b in zip(ends[0:-1:2], ends[1::2], strict=True) if abs(a - b) > JOINS]
    if gaps or not outward:
        at_deg = math.degrees(gaps[0][0] if gaps else far_rad)
        advice = "Check span, radius and angles against each other."
        allowed = f"the {contact.pallet} pallet would not meet a tooth with the pallets at {words.signed(at_deg, 2)}°"
        return [Complaint(("span",), "this drawing", allowed, advice)]
    if abs(ends[-1] + far_rad) < JOINS:
        allowed = f"the {contact.pallet} pallet would never let its tooth go"
        return [Complaint(("span",), "this drawing", allowed, "Check span, radius and angles against each other.")]
    return []


def _uncaught(contact: Contacts, drop_rad: float) -> list[Complaint]:
    """A wheel let off by one pallet must be caught by the other, or it runs away."""
    if any(stretch.start_rad - JOINS <= drop_rad <= stretch.end_rad + JOINS for stretch in contact.stretches):
        return []
    allowed = f"the {contact.pallet} pallet would not be there to catch the next tooth: the wheel would run away"
    return [Complaint(("span",), "this drawing", allowed, "Give more lock, or check span and radius.")]


def _jumps(run: list[Piece]) -> list[Complaint]:
    """A tooth must pass smoothly from face to face."""
    for one, after in pairwise(run):
        jump = float(after.wheel_rad(after.start_rad) - one.wheel_rad(one.end_rad))
        if abs(jump) > JOINS or abs(after.start_rad - one.end_rad) > JOINS:
            allowed = f"the wheel would jump {words.figure(math.degrees(jump))}° between {one.surface} and {after.surface}"
            return [Complaint(("span",), "this drawing", allowed, "Check the lifts of tooth and pallet against each other.")]
    return []


def _onward(run: list[Piece], shift_rad: float) -> list[Piece]:
    return [replace(piece, wheel_rad=piece.wheel_rad + shift_rad) for piece in run]
