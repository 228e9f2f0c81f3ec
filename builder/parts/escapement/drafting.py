"""Drafting an anchor or lever from stated angles: every corner is put where a tooth must be at a stated pallet angle."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from builder.ground.faults import Complaint, Refused
from builder.ground.geometry import Points, polar, turned
from builder.parts.escapement.shape import Shape

FINE = 1e-3
"""Greatest error of a rounding that touches nothing, as a part of its radius."""
CHORD = 2e-6
"""Greatest error of an arc drawn as chords, as a part of the wheel's radius: overlap of what is drawn stays below 1e-5."""
ROOT_CHORD = 1e-4
"""The same for the root circle, which touches nothing, as a part of its own radius."""
ARBOR = np.zeros(2)
"""The pallet arbor, about which pallets are drafted."""


def half_span_rad(teeth: int, span: float) -> float:
    """Half the angle at the wheel between the two tangent points: half of span tooth spaces."""
    return math.pi * span / teeth


def tangent_centre_mm(radius_mm: float, teeth: int, span: float) -> float:
    """Centre distance at which the lines from the pallet arbor touch the tip circle at the tangent points: r / cos(half span)."""
    return radius_mm / math.cos(half_span_rad(teeth, span))


def tangent_length_mm(radius_mm: float, teeth: int, span: float) -> float:
    """Pallet arbor to tangent point, the mean radius of the pallets: r tan(half span)."""
    return radius_mm * math.tan(half_span_rad(teeth, span))


def usual_span(teeth: int, part: float) -> float:
    """The whole number and a half nearest to a part of the teeth, never less than one and a half."""
    return max(1.5, math.floor(teeth * part) + 0.5)


def span_complaints(teeth: int, span: float, part: float) -> list[Complaint]:
    """A span must be a whole number and a half, or the two pallets cannot share the teeth, and must leave the arbor room."""
    if abs(span % 1 - 0.5) > 1e-9:
        fits = f"{math.floor(span) - 0.5 if span % 1 < 0.5 and span > 2 else math.floor(span) + 0.5:g}"
        return [Complaint(("span",), f"{span:g}", "a whole number of tooth spaces and a half", f"Take {fits}.")]
    if half_span_rad(teeth, span) > math.radians(75):
        return [
            Complaint(
                ("span",),
                f"{span:g} of {teeth} teeth",
                f"at most {math.floor(teeth * 75 / 180 - 0.5) + 0.5:g}, or the pallet arbor goes out of reach",
                f"Take about {usual_span(teeth, part):g}.",
            )
        ]
    return []


@dataclass(frozen=True)
class Stations:
    """Where the locking corner of a tooth must be, as angles at the wheel in rad, at the four moments of a period.

    `width_rad` is the wheel's travel from unlocking to let-off; half a pitch is that and the drop.
    """

    radius_mm: float
    centre_mm: float
    pitch_rad: float
    entry_first_rad: float
    entry_last_rad: float
    exit_first_rad: float
    exit_last_rad: float

    def seen_from_pallets(self, wheel_rad: float, radius_mm: float, theta_rad: float) -> Points:
        """The point (2,) of the pallets, at rest angle 0 about P, that meets a wheel point when they are turned by theta."""
        return turned(polar(radius_mm, wheel_rad) - np.array([0.0, self.centre_mm]), -theta_rad)


def stations(radius_mm: float, teeth: int, span: float, drop_rad: float, tooth_rad: float, share: float) -> Stations:
    """Stations for a tooth whose heel trails its locking corner by `tooth_rad` (0: pointed).

    `share` of the pallet's width lies before the tangent point: 1/2 circular, 0 equidistant lockings.
    """
    pitch = math.tau / teeth
    width = pitch / 2 - drop_rad
    first = math.pi / 2 - half_span_rad(teeth, span) - share * (width - tooth_rad)
    other = first + width + math.floor(span) * pitch + drop_rad
    centre = tangent_centre_mm(radius_mm, teeth, span)
    return Stations(radius_mm, centre, pitch, first, first + width, other, other + width)


def wheel_outline(tooth: Points, teeth: int, root_mm: float) -> Points:
    """All teeth from one (N, 2), run through counter-clockwise from root to root, joined by arcs of the root circle."""
    pitch = math.tau / teeth
    last = math.atan2(tooth[-1, 1], tooth[-1, 0])
    first = math.atan2(tooth[0, 1], tooth[0, 0])
    gap = (first - last) % pitch
    steps = max(1, math.ceil(gap / (2 * math.acos(1 - ROOT_CHORD)) - 1e-9))
    floor = polar(root_mm, last + gap * np.arange(1, steps) / steps)
    one = np.concatenate((tooth, floor))
    return np.concatenate([turned(one, i * pitch) for i in range(teeth)])


def refuse(complaints: list[Complaint]) -> None:
    """Raise all complaints at once, if any."""
    if complaints:
        raise Refused(complaints)


def shape_points(shape: Shape, chord_error_mm: float) -> Points:
    """An open run of edges as points (N, 2), with its last corner."""
    return np.concatenate([edge.points(chord_error_mm) for edge in shape.edges] + [shape.edges[-1].end_mm[None, :]])


def deepest_mm(corners: list[Points], centre_mm: float, reach_rad: float) -> float:
    """The least distance from O that corners of the pallets come to at either end of the reach."""
    points = np.array(corners)
    r, psi = np.hypot(points[:, 0], points[:, 1]), np.abs(np.arctan2(points[:, 0], -points[:, 1]))
    return float(np.min(np.sqrt(centre_mm**2 + r**2 - 2 * centre_mm * r * np.cos(psi - reach_rad))))


def root_of(missed: Callable[[Points], Points], start: Points) -> Points:
    """Where a smooth function of N numbers of order 1 has N zeros, by Newton's method with differences, from a start (N,).

    All nan where it does not settle.
    """
    x, step = start, 1e-6
    for _ in range(40):
        slopes = np.stack([(missed(x + step * axis) - missed(x - step * axis)) / (2 * step) for axis in np.eye(len(x))], axis=1)
        if not np.all(np.isfinite(slopes)) or abs(np.linalg.det(slopes)) < 1e-12:
            break
        move = np.linalg.solve(slopes, missed(x))
        x = x - move
        if np.max(np.abs(move)) < 1e-13:
            return x
    return np.full_like(start, np.nan)
