"""Where an escape wheel rests against a pallet: one closed-form solver for every kind of escapement.

At a given pallet angle a tooth meets a pallet where a corner (or round pin) of one lies on an edge of the other. A point that
turns about O runs on a circle, so each such meeting is a circle against a line or against a circle. The tooth comes from
upstream, so it rests at the least wheel angle among the meetings that stop it; the greatest among those that would stop it
coming from downstream is where it is clear of the pallet again.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from builder.ground.geometry import Points, cross, line_circle, turned
from builder.parts.escapement.shape import Edge, Shape, Spot

Floats = NDArray[np.float64]
SLACK = 1e-13
"""How far past its end, as a part of its length, an edge still counts: closes the crack between two edges at a corner."""


@dataclass(frozen=True)
class Meeting:
    """A corner of one body on an edge of the other; `of_tooth` says that the corner is the tooth's."""

    spot: Spot
    edge: Edge
    of_tooth: bool

    @property
    def name(self) -> str:
        """What touches, in trade words: 'toe on locking face'."""
        return f"{self.spot.name} on {self.edge.name}"


@dataclass(frozen=True)
class Touch:
    """Contacts at pallet angles (K,): all arrays (K,) or (K, 2); nan where nothing touches."""

    wheel_rad: Floats
    point_mm: Points
    """Where they touch, about O."""
    normal: Points
    """Unit normal from the wheel into the pallet."""


class Pair:
    """One tooth against one pallet: all meetings, ready to be solved at many pallet angles at once.

    The tooth is given about O at phi = 0, the pallet about the pallet arbor at theta = 0; the pallet arbor is at (0, centre_mm).
    Wheel angles are those nearest to `about_rad`, at which the tooth is near the pallet; what it would have met before
    `past_rad` it has already passed.
    """

    def __init__(self, tooth: Shape, pallet: Shape, centre_mm: float, about_rad: float, past_rad: float = -math.inf) -> None:
        self.centre_mm = centre_mm
        self.about_rad = about_rad
        self.past_rad = past_rad
        by_tooth = [Meeting(spot, edge, True) for spot in tooth.spots for edge in pallet.edges]
        by_pallet = [Meeting(spot, edge, False) for spot in pallet.spots for edge in tooth.edges]
        for pin in pallet.spots:
            if pin.radius_mm > 0:
                by_pallet += [Meeting(pin, _rounding(corner), False) for corner in tooth.spots]
        self._groups = [
            _Group([m for m in meetings if (m.edge.centre_mm is None) == straight], straight, of_tooth)
            for of_tooth, meetings in ((True, by_tooth), (False, by_pallet))
            for straight in (True, False)
        ]
        self.meetings = tuple(m for group in self._groups for m in group.meetings for _ in range(2))
        """Each meeting twice, one after the other: a circle cuts a line or a circle at two points."""

    def all(self, theta_rad: Floats) -> tuple[Floats, Floats]:
        """Wheel angle (K, M) of every meeting at pallet angles (K,), nan where there is none, and whether it stops the wheel
        (> 0) or would stop it turning backwards (< 0): the lever arm of the contact about O, mm."""
        touches = [group.solve(theta_rad, self.centre_mm) for group in self._groups if group.meetings]
        wheel = np.concatenate([t.wheel_rad.reshape(len(theta_rad), -1) for t in touches], axis=1)
        arm = np.concatenate([cross(t.point_mm, t.normal).reshape(len(theta_rad), -1) for t in touches], axis=1)
        near = self._near(wheel)
        return np.where(near >= self.past_rad, near, np.nan), arm

    def rest(self, theta_rad: Floats) -> tuple[Floats, NDArray[np.intp]]:
        """The least wheel angle (K,) at which the tooth is stopped, nan where it passes freely, and which meeting stops it
        (-1: none)."""
        wheel, arm = self.all(theta_rad)
        stopping = np.where((arm > 0) & ~np.isnan(wheel), wheel, np.inf)
        which = np.argmin(stopping, axis=1)
        least = stopping[np.arange(len(which)), which]
        free = ~np.isfinite(least)
        return np.where(free, np.nan, least), np.where(free, -1, which)

    def clear(self, theta_rad: Floats) -> Floats:
        """The wheel angle (K,) from which the tooth has passed the pallet; nan where it passes freely."""
        wheel, arm = self.all(theta_rad)
        backs = np.max(np.where((arm < 0) & ~np.isnan(wheel), wheel, -np.inf), axis=1)
        return np.where(np.isfinite(backs), backs, np.nan)

    def touch(self, which: int, theta_rad: Floats) -> Touch:
        """One meeting at pallet angles (K,) within its range."""
        meeting = self.meetings[which]
        found = _Group([meeting], meeting.edge.centre_mm is None, meeting.of_tooth, slack=1e-6).solve(theta_rad, self.centre_mm)
        one = (slice(None), 0, which % 2)
        return Touch(self._near(found.wheel_rad[one]), found.point_mm[one], found.normal[one])

    def _near(self, wheel_rad: Floats) -> Floats:
        return wheel_rad - math.tau * np.round((wheel_rad - self.about_rad) / math.tau)


def _rounding(corner: Spot) -> Edge:
    """The corner itself as an arc of no radius, all round."""
    return Edge(corner.name, corner.at_mm, corner.at_mm, corner.at_mm)


class _Group:
    """Meetings of one sort, solved together: results are (K, M, 2 roots) and (K, M, 2 roots, 2)."""

    def __init__(self, meetings: list[Meeting], straight: bool, of_tooth: bool, slack: float = SLACK) -> None:
        self.meetings = meetings
        self.straight = straight
        self.of_tooth = of_tooth
        self.slack = slack
        if not meetings:
            return
        self.spot = np.array([m.spot.at_mm for m in meetings])
        self.round = np.array([m.spot.radius_mm for m in meetings])
        if straight:
            self.start = np.array([m.edge.start_mm for m in meetings])
            self.along = np.array([m.edge.end_mm for m in meetings]) - self.start
            length = np.hypot(self.along[:, 0], self.along[:, 1])
            self.out = np.stack((self.along[:, 1], -self.along[:, 0]), axis=1) / length[:, None]
            self.start = self.start + self.round[:, None] * self.out
        else:
            self.centre = np.array([m.edge.centre_mm for m in meetings])
            self.sense = np.array([1.0 if m.edge.bulges else -1.0 for m in meetings])
            self.radius = np.array([m.edge.radius_mm for m in meetings]) + self.sense * self.round
            self.first = np.array([0.0 if m.edge.radius_mm == 0 else m.edge.span_rad[0] for m in meetings])
            self.turn = np.array([math.tau if m.edge.radius_mm == 0 else m.edge.span_rad[1] for m in meetings])

    def solve(self, theta: Floats, centre_mm: float) -> Touch:
        arbor = np.array([0.0, centre_mm])
        if self.of_tooth:  # the edge turns with the pallet, the corner runs on its own circle about O
            edge_turn = theta[:, None]
            orbit = np.hypot(self.spot[:, 0], self.spot[:, 1])[None, :]
            place: Points = arbor
        else:  # the pallet's corner is where theta puts it; seen from the wheel it lies somewhere on a circle about O
            corner = turned(self.spot[None, :, :], theta[:, None]) + arbor
            edge_turn = np.zeros((1, 1))
            orbit = np.hypot(corner[..., 0], corner[..., 1])
            place = np.zeros(2)
        if self.straight:
            hit, out = self._on_line(edge_turn, place, orbit)
        else:
            hit, out = self._on_circle(edge_turn, place, orbit)
        hit_rad = np.arctan2(hit[..., 1], hit[..., 0])
        if self.of_tooth:
            wheel = hit_rad - np.arctan2(self.spot[:, 1], self.spot[:, 0])[None, :, None]
            normal = -out
            return Touch(wheel, hit + self.round[None, :, None, None] * normal, normal)
        wheel = np.arctan2(corner[..., 1], corner[..., 0])[..., None] - hit_rad
        normal = turned(out, wheel)
        return Touch(wheel, corner[:, :, None, :] - self.round[None, :, None, None] * normal, normal)

    def _on_line(self, edge_turn: Floats, place: Points, orbit: Floats) -> tuple[Points, Points]:
        start = turned(self.start[None, :, :], edge_turn) + place
        along = turned(self.along[None, :, :], edge_turn)
        t = line_circle(start, along, (0.0, 0.0), orbit)
        t = np.where((t >= -self.slack) & (t <= 1 + self.slack), t, np.nan)
        out = np.broadcast_to(turned(self.out[None, :, :], edge_turn)[:, :, None, :], (*t.shape, 2))
        return start[:, :, None, :] + t[..., None] * along[:, :, None, :], out

    def _on_circle(self, edge_turn: Floats, place: Points, orbit: Floats) -> tuple[Points, Points]:
        centre = turned(self.centre[None, :, :], edge_turn) + place
        far = np.hypot(centre[..., 0], centre[..., 1])
        apart = orbit - far  # half-angle form of the law of cosines: exact for small circles far out too
        inner = (self.radius - apart) * (self.radius + apart)
        outer = (orbit + far - self.radius) * (orbit + far + self.radius)
        meets = (inner >= 0) & (outer >= 0)
        opening = 2 * np.arctan2(np.sqrt(np.where(meets, inner, np.nan)), np.sqrt(np.where(meets, outer, np.nan)))
        at = np.arctan2(centre[..., 1], centre[..., 0])[..., None] + opening[..., None] * np.array([-1.0, 1.0])
        hit = orbit[..., None, None] * np.stack((np.cos(at), np.sin(at)), axis=-1)
        arm = hit - centre[:, :, None, :]
        seen = np.arctan2(arm[..., 1], arm[..., 0]) - edge_turn[..., None]
        past = np.remainder((seen - self.first[:, None]) * np.sign(self.turn)[:, None] + self.slack, math.tau)
        hit = np.where((past <= np.abs(self.turn)[:, None] + 2 * self.slack)[..., None], hit, np.nan)
        out = self.sense[:, None, None] * (hit - centre[:, :, None, :]) / self.radius[:, None, None]
        return hit, out
