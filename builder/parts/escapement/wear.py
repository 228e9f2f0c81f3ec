"""A pallet whose face is worn away: the same draft with that face lying deeper, and its corners where the faces then meet."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from builder.ground.faults import Complaint, Refused
from builder.ground.geometry import Points, cross, line_circle
from builder.parts.escapement.action import Pallet
from builder.parts.escapement.draft import Draft
from builder.parts.escapement.shape import Edge, Shape, Spot

PARALLEL = 1e-9


def worn_draft(draft: Draft, pallet: Pallet, face: str, depth_mm: float) -> Draft:
    """The draft with one face of one pallet worn evenly by `depth_mm` across it; 'pin' for a round pallet.

    A face that goes straight on under another name wears with it. A worn pin is taken as a thinner one, though it wears to a
    flat. What is drawn of the pallets' bodies stays as it was made. Neglected: grooves narrower than the wheel is thick, and
    the step at their edge. Raises Refused (key depth_mm) where nothing would be left of the face or of its neighbours.
    """
    shape = draft.surfaces[pallet]
    worn = _thinner(shape, depth_mm) if face == "pin" else _deeper(shape, face, depth_mm)
    return replace(draft, surfaces={**draft.surfaces, pallet: worn})


def _thinner(shape: Shape, depth_mm: float) -> Shape:
    spots = tuple(replace(spot, radius_mm=spot.radius_mm - depth_mm) if spot.radius_mm > 0 else spot for spot in shape.spots)
    least = min((spot.radius_mm for spot in shape.spots if spot.radius_mm > 0), default=0.0)
    if depth_mm >= 0.8 * least:
        raise _gone(depth_mm, 0.8 * least)
    return Shape(shape.edges, spots)


def _deeper(shape: Shape, face: str, depth_mm: float) -> Shape:
    first, last = _run(shape.edges, face)
    moved = [_shifted(edge, depth_mm) if first <= i <= last else edge for i, edge in enumerate(shape.edges)]
    corners = [edge.start_mm for edge in moved] + [moved[-1].end_mm]
    room = min(float(np.hypot(*(e.end_mm - e.start_mm))) for e in shape.edges[max(first - 1, 0) : last + 2])
    for k in (first, last + 1):
        if 0 < k < len(moved):
            corners[k] = _meet(moved[k - 1], moved[k], shape.edges[k].start_mm, depth_mm, room)
    edges = tuple(replace(edge, start_mm=corners[i], end_mm=corners[i + 1]) for i, edge in enumerate(moved))
    for old, new in zip(shape.edges, edges, strict=True):
        if old.centre_mm is None and float((new.end_mm - new.start_mm) @ (old.end_mm - old.start_mm)) <= 0:
            raise _gone(depth_mm, room)
    spots = tuple(Spot(spot.name, corners[i + 1], spot.radius_mm) for i, spot in enumerate(shape.spots))
    return Shape(edges, spots)


def _run(edges: tuple[Edge, ...], face: str) -> tuple[int, int]:
    """First and last edge of the face, with those that go straight on from it."""
    first = last = next(i for i, edge in enumerate(edges) if edge.name == face)
    while first > 0 and _straight_on(edges[first - 1], edges[first]):
        first -= 1
    while last + 1 < len(edges) and _straight_on(edges[last], edges[last + 1]):
        last += 1
    return first, last


def _straight_on(one: Edge, other: Edge) -> bool:
    if one.centre_mm is not None or other.centre_mm is not None:
        return False
    a, b = one.end_mm - one.start_mm, other.end_mm - other.start_mm
    return bool(abs(float(cross(a, b))) < PARALLEL * float(np.hypot(*a) * np.hypot(*b)))


def _shifted(edge: Edge, depth_mm: float) -> Edge:
    """The edge moved into its material, which lies on its left."""
    if edge.centre_mm is None:
        along = edge.end_mm - edge.start_mm
        inward = depth_mm * np.array([-along[1], along[0]]) / np.hypot(*along)
        return replace(edge, start_mm=edge.start_mm + inward, end_mm=edge.end_mm + inward)
    scale = 1 - depth_mm / edge.radius_mm * (1 if edge.bulges else -1)
    start, end = (edge.centre_mm + scale * (point - edge.centre_mm) for point in (edge.start_mm, edge.end_mm))
    return replace(edge, start_mm=start, end_mm=end)


def _meet(one: Edge, other: Edge, near: Points, depth_mm: float, room_mm: float) -> Points:
    """Where two neighbours meet, nearest to their old corner. Raises Refused where they do not, or only far away."""
    if one.centre_mm is not None and other.centre_mm is None:
        one, other = other, one
    if one.centre_mm is not None:
        raise _gone(depth_mm, 0.0)  # two arcs end to end: no kind has that
    along = one.end_mm - one.start_mm
    if other.centre_mm is None:
        across = other.end_mm - other.start_mm
        t = float(cross(other.start_mm - one.start_mm, across) / cross(along, across))
        found = [one.start_mm + t * along]
    else:
        hits = np.atleast_1d(line_circle(one.start_mm, along, other.centre_mm, other.radius_mm))
        found = [one.start_mm + float(t) * along for t in hits if np.isfinite(t)]
    best = min(found, key=lambda point: float(np.hypot(*(point - near))), default=None)
    if best is None or float(np.hypot(*(best - near))) > room_mm:
        raise _gone(depth_mm, room_mm)
    return np.asarray(best)


def _gone(depth_mm: float, most_mm: float) -> Refused:
    allowed = f"well under the {most_mm:.3g} mm that the pallet has there"
    return Refused([Complaint(("depth_mm",), f"{depth_mm:g}", allowed, "Measure the depth across the face again.")])
