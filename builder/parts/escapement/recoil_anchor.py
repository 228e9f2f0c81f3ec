"""The recoil anchor of common clocks: flat pallet faces that push the wheel back while the pendulum swings on."""

from __future__ import annotations

import math
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from builder.ground.faults import Complaint
from builder.ground.geometry import Points, cross, polar, turned
from builder.ground.part import Angle, Length, Part, Slug
from builder.parts.escapement.action import Action
from builder.parts.escapement.anchor import Anchor, anchor_complaints, anchor_draft
from builder.parts.escapement.draft import Draft
from builder.parts.escapement.drafting import ARBOR, refuse, span_complaints, stations, usual_span
from builder.parts.escapement.shape import chain
from builder.parts.escapement.solve import solved


class RecoilAnchor(Part):
    """Each pallet has one face: a tooth falls on it, is pushed back to the end of the swing, then drives the pallet."""

    beats_per_tooth: ClassVar[int] = 2
    beats_with: ClassVar[Literal["pendulum", "balance"]] = "pendulum"

    kind: Literal["recoil_anchor"]
    """What kind of escapement this is."""
    arbor: Slug
    """The arbor that carries the escape wheel."""
    teeth: Annotated[int, Field(ge=12, le=120)]
    """Teeth of the escape wheel; 30 where the arbor carries a seconds hand."""
    radius_mm: Length
    """Radius of the escape wheel over the tips of its teeth, mm."""
    span: Annotated[float, Field(gt=1, le=60)] | None = None
    """Tooth spaces embraced, a whole number and a half (7.5); left out: about a quarter of the teeth, at most 12.5."""
    impulse_deg: Annotated[float, Field(gt=0, le=15)] = 4.0
    """Impulse (lift): how far the pallets turn from the fall of a tooth on a pallet to its let-off, degrees at the pallets."""
    drop_deg: Annotated[float, Field(gt=0, le=10)] | None = None
    """Drop: how far the wheel runs free between the pallets, degrees at the wheel; left out: an eighth of a tooth space."""
    reach_deg: Annotated[float, Field(gt=0, le=25)] | None = None
    """How far the pallets can swing each way before anything else touches; left out: as far as the impulse."""
    friction: Annotated[float, Field(ge=0, le=0.6)] = 0.15
    """Coefficient of friction of tooth on pallet; 0.15 is usual for oiled steel on brass (textbook order, from memory)."""
    direction_deg: Angle = 90.0
    """Direction from the escape arbor to the pallet arbor seen from the front: 0 right, 90 above."""

    @property
    def embraced(self) -> float:
        """Tooth spaces embraced, given or usual."""
        return self.span if self.span is not None else usual_span(min(self.teeth, 50), 0.25)

    @property
    def drop_rad(self) -> float:
        """Drop at the wheel, given or usual."""
        return math.radians(self.drop_deg) if self.drop_deg is not None else math.tau / self.teeth / 8

    @property
    def reach_rad(self) -> float:
        """How far the pallets can swing each way, given or usual."""
        return math.radians(self.reach_deg if self.reach_deg is not None else self.impulse_deg)

    def drawn(self) -> Draft:
        """Wheel and anchor.

        A tooth falls on a pallet at one half of the impulse and is let off at the other; one flat face runs through both points
        and on to the arm, and its further part pushes the wheel back. Raises Refused.
        """
        half = math.radians(self.impulse_deg) / 2
        refuse(self._complaints(half))
        st = stations(self.radius_mm, self.teeth, self.embraced, self.drop_rad, 0.0, 0.5)
        anchor = Anchor(st, self.reach_rad, self.reach_deg is not None)
        r = self.radius_mm
        first = st.seen_from_pallets(st.entry_first_rad, r, -half)
        last = st.seen_from_pallets(st.entry_last_rad, r, half)
        end = _carried_on(last, first, anchor.arm_rad)
        entry = chain(
            ("", turned(last, anchor.up_to_arm_rad(last)), "back", ARBOR, False),
            ("release corner", last, "impulse face"),
            ("face", first, "recoil face"),
            ("shoulder", end, "arm"),
            ("", turned(end, anchor.thickness_mm / math.hypot(*end)), ""),
        )
        first = st.seen_from_pallets(st.exit_first_rad, r, half)
        last = st.seen_from_pallets(st.exit_last_rad, r, -half)
        end = _carried_on(last, first, -anchor.arm_rad)
        exit = chain(
            ("", turned(last, -anchor.up_to_arm_rad(last, anchor.thickness_mm)), "back", ARBOR, True),
            ("release corner", last, "impulse face"),
            ("face", first, "recoil face"),
            ("", end, ""),
        )
        return anchor_draft(anchor, self.teeth, {"entry": entry, "exit": exit}, math.radians(5), root_part=0.26)

    def _complaints(self, half_rad: float) -> list[Complaint]:
        return span_complaints(self.teeth, self.embraced, 0.25) + anchor_complaints(
            math.tau / self.teeth, self.drop_rad, half_rad, self.reach_rad
        )

    def draft(self) -> Draft:
        """Outlines and acting surfaces, tried. Raises Refused."""
        return solved(self, self.friction)[0]

    def action(self, friction: float | None = None) -> Action:
        """What it does at the pallets, with the model's friction or another. Raises Refused."""
        return solved(self, self.friction if friction is None else friction)[1]


def _carried_on(start: Points, through: Points, arm_rad: float) -> Points:
    """Where the line from a release corner through the point of fall meets the underside of the arm."""
    ray = polar(1.0, arm_rad - math.pi / 2)
    along = through - start
    return start + along * float(cross(ray, start) / cross(along, ray))
