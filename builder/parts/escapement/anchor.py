"""What dead-beat and recoil anchors share: pointed teeth, and the body that carries both nibs clear of the wheel."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from builder.ground.faults import Complaint
from builder.ground.geometry import Points, arc, polar
from builder.parts.escapement.action import Pallet
from builder.parts.escapement.draft import Draft, Drawn
from builder.parts.escapement.drafting import CHORD, FINE, Stations, deepest_mm, refuse, shape_points, wheel_outline
from builder.parts.escapement.shape import Shape, chain

CLEAR = math.radians(2.0)
"""Pallet angle that is left between arms and wheel at the end of the reach. Common practice, no source."""


@dataclass(frozen=True)
class Anchor:
    """Where the arms of an anchor lie: rays from its arbor, at `arm_rad` each side of the line to the escape arbor."""

    stations: Stations
    reach_rad: float
    reach_given: bool = True
    """Whether the file gives the reach; else it follows from the impulse, and the lock."""

    @property
    def arm_rad(self) -> float:
        """The underside of an arm: the tangent to the tip circle, the reach and a clearance."""
        return math.asin(self.stations.radius_mm / self.stations.centre_mm) + self.reach_rad + CLEAR

    def up_to_arm_rad(self, corner: Points, thickness_mm: float = 0.0) -> float:
        """Turn about the pallet arbor (> 0) that lifts a corner, on whichever side, to the underside of its arm, or above it by
        the arm's thickness."""
        return self.arm_rad + thickness_mm / math.hypot(*corner) - abs(math.atan2(corner[0], -corner[1]))

    @property
    def thickness_mm(self) -> float:
        """Thickness of an arm where it carries its nib. Common practice, no source."""
        return 0.09 * self.stations.radius_mm

    @property
    def hub_mm(self) -> float:
        """Radius of the middle of the anchor, well off the wheel. Common practice, no source."""
        return min(0.4 * (self.stations.centre_mm - self.stations.radius_mm), 0.16 * self.stations.radius_mm)

    def outline(self, entry: Shape, exit: Shape) -> Points:
        """The whole anchor about its arbor, counter-clockwise (N, 2): hub, entry arm and nib, over the top, exit likewise."""
        chord = CHORD * self.stations.radius_mm
        right = shape_points(entry, chord)
        left = shape_points(exit, chord)
        hub = self.hub_mm
        down = -math.pi / 2
        under = arc((0.0, 0.0), hub, down - self.arm_rad, down + self.arm_rad, FINE * hub)
        top_right, top_left = right[-1], left[0]
        rise = math.pi / 2 - 0.6
        crown = arc((0.0, 0.0), 1.25 * hub, rise, math.pi - rise, FINE * 1.25 * hub)
        return np.concatenate((under, right, _bow(top_right, crown[0]), crown, _bow(crown[-1], top_left), left))


def _bow(start: Points, end: Points) -> Points:
    """The hollow upper side of an arm: points between two ends, (N, 2), bent towards the arbor at (0, 0)."""
    middle = 0.5 * (start + end)
    pull = middle * 0.86
    t = np.linspace(0, 1, 18)[1:-1, None]
    return (1 - t) ** 2 * start + 2 * t * (1 - t) * pull + t**2 * end


def pointed_tooth(radius_mm: float, root_mm: float, pitch_rad: float, undercut_rad: float, root_part: float) -> Shape:
    """A tooth about O whose tip lies on the x axis and leans forward, so that only the tip can touch a pallet.

    The land behind the tip is 3 per cent of a tooth space. Common practice, no source.
    """
    depth = radius_mm - root_mm
    lean = math.atan2(depth * math.tan(undercut_rad), root_mm)
    return chain(
        ("root", polar(root_mm, -lean - root_part * pitch_rad), "back of the tooth"),
        ("heel of the tip", polar(radius_mm, -0.03 * pitch_rad), "land"),
        ("tooth tip", polar(radius_mm, 0.0), "front of the tooth"),
        ("root", polar(root_mm, -lean), ""),
    )


def anchor_draft(anchor: Anchor, teeth: int, nibs: dict[Pallet, Shape], undercut_rad: float, root_part: float) -> Draft:
    """Everything of an anchor escapement from its nibs, the lean of the teeth and their thickness at the root per pitch.

    Raises Refused where the pallets dip so deep at the end of the reach that no tooth could be left.
    """
    st = anchor.stations
    radius = st.radius_mm
    corners = [spot.at_mm for nib in nibs.values() for spot in nib.spots]
    deepest = deepest_mm(corners, st.centre_mm, anchor.reach_rad)
    root = min(deepest - 0.03 * radius, radius * (1 - 0.5 * st.pitch_rad))
    if root < radius * max(0.45, 1 - 1.6 * st.pitch_rad):
        key, less = ("reach_deg", "reach") if anchor.reach_given else ("impulse_deg", "impulse or lock")
        reach = f"{math.degrees(anchor.reach_rad):.2f}"
        allowed = (
            f"the pallets, {reach}° from the middle, would dip {radius - deepest:.2f} mm into a wheel of radius {radius:g} mm"
        )
        refuse([Complaint((key,), reach, allowed, f"Take less {less}, fewer teeth or a smaller span.")])
    tooth = pointed_tooth(radius, root, st.pitch_rad, undercut_rad, root_part)
    chord = CHORD * radius
    return Draft(
        wheel=Drawn("escape wheel", "brass", wheel_outline(shape_points(tooth, chord), teeth, root)),
        pallets=(Drawn("anchor", "steel", anchor.outline(nibs["entry"], nibs["exit"])),),
        balance=(),
        centre_mm=st.centre_mm,
        balance_mm=None,
        bankings=(),
        tip_mm=radius,
        root_mm=root,
        pitch_rad=st.pitch_rad,
        reach_rad=anchor.reach_rad,
        tooth=tooth,
        surfaces=nibs,
        meets_rad={
            "entry": (st.entry_first_rad + st.entry_last_rad) / 2,
            "exit": (st.exit_first_rad + st.exit_last_rad) / 2,
        },
    )


def anchor_complaints(pitch_rad: float, drop_rad: float, half_action_rad: float, reach_rad: float) -> list[Complaint]:
    """What no anchor can have: a drop that leaves no pallet, or a reach that ends before let-off."""
    found = []
    if drop_rad > 0.4 * pitch_rad:
        found.append(
            Complaint(
                ("drop_deg",),
                f"{math.degrees(drop_rad):.3f}",
                f"less than {math.degrees(0.4 * pitch_rad):.3f}, or no width is left for a pallet",
                f"Take about {math.degrees(pitch_rad / 8):.2f}.",
            )
        )
    if reach_rad < 1.02 * half_action_rad:
        found.append(
            Complaint(
                ("reach_deg",),
                f"{math.degrees(reach_rad):.3f}",
                f"more than {math.degrees(1.02 * half_action_rad):.3f}, where a tooth is let off",
                f"Take about {math.degrees(3 * half_action_rad):.1f}.",
            )
        )
    return found
