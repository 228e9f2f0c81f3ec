"""The dead-beat anchor after Graham: locking faces concentric with the pallet arbor, so the wheel stands dead at each beat."""

from __future__ import annotations

import math
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from builder.ground.faults import Complaint
from builder.ground.geometry import turned
from builder.ground.part import Angle, Length, Part, Slug
from builder.parts.escapement.action import Action
from builder.parts.escapement.anchor import Anchor, anchor_complaints, anchor_draft
from builder.parts.escapement.draft import Draft
from builder.parts.escapement.drafting import ARBOR, refuse, span_complaints, stations, usual_span
from builder.parts.escapement.shape import chain
from builder.parts.escapement.solve import solved


class DeadBeat(Part):
    """Each tooth rests on a locking face that is an arc about the pallet arbor, then drives the inclined impulse face."""

    beats_per_tooth: ClassVar[int] = 2
    beats_with: ClassVar[Literal["pendulum", "balance"]] = "pendulum"

    kind: Literal["dead_beat"]
    """What kind of escapement this is."""
    arbor: Slug
    """The arbor that carries the escape wheel."""
    teeth: Annotated[int, Field(ge=12, le=120)]
    """Teeth of the escape wheel; 30 where the arbor carries a seconds hand."""
    radius_mm: Length
    """Radius of the escape wheel over the tips of its teeth, mm."""
    span: Annotated[float, Field(gt=1, le=60)] | None = None
    """Tooth spaces embraced, a whole number and a half (7.5, 9.5); left out: about a quarter of the teeth, at most 12.5."""
    lock_deg: Annotated[float, Field(gt=0, le=5)] = 0.75
    """Lock: how far the pallet turns from the tooth's fall on the locking face to unlocking, degrees at the pallets."""
    impulse_deg: Annotated[float, Field(gt=0, le=12)] = 2.0
    """Impulse (lift): how far the pallets turn while a tooth drives an impulse face, degrees at the pallets."""
    drop_deg: Annotated[float, Field(gt=0, le=10)] | None = None
    """Drop: how far the wheel runs free between the pallets, degrees at the wheel; left out: an eighth of a tooth space."""
    reach_deg: Annotated[float, Field(gt=0, le=25)] | None = None
    """How far the pallets can swing each way before anything else touches; left out: twice impulse and lock together."""
    lockings: Literal["circular", "equidistant"] = "circular"
    """'circular': impulse faces lie half each side of the tangent points; 'equidistant': both locking corners at them."""
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
        return math.radians(self.reach_deg if self.reach_deg is not None else 2 * (self.impulse_deg + self.lock_deg))

    def drawn(self) -> Draft:
        """Wheel and anchor.

        A tooth unlocks at -(half action - lock) and is let off at +(half action) on the entry pallet, mirrored on the exit one;
        locking faces and backs are arcs about the pallet arbor. Raises Refused.
        """
        half = math.radians(self.impulse_deg + self.lock_deg) / 2
        lock = math.radians(self.lock_deg)
        refuse(self._complaints(half))
        share = 0.5 if self.lockings == "circular" else 0.0
        st = stations(self.radius_mm, self.teeth, self.embraced, self.drop_rad, 0.0, share)
        anchor = Anchor(st, self.reach_rad, self.reach_deg is not None)
        r = self.radius_mm
        first = st.seen_from_pallets(st.entry_first_rad, r, -(half - lock))
        last = st.seen_from_pallets(st.entry_last_rad, r, half)
        entry = chain(
            ("", turned(last, anchor.up_to_arm_rad(last)), "back", ARBOR, False),
            ("release corner", last, "impulse face"),
            ("locking corner", first, "locking face", ARBOR, True),
            ("", turned(first, anchor.up_to_arm_rad(first, anchor.thickness_mm)), ""),
        )
        first = st.seen_from_pallets(st.exit_first_rad, r, half - lock)
        last = st.seen_from_pallets(st.exit_last_rad, r, -half)
        exit = chain(
            ("", turned(last, -anchor.up_to_arm_rad(last, anchor.thickness_mm)), "back", ARBOR, True),
            ("release corner", last, "impulse face"),
            ("locking corner", first, "locking face", ARBOR, False),
            ("", turned(first, -anchor.up_to_arm_rad(first)), ""),
        )
        undercut = max(math.radians(8), (half + self.reach_rad) / 2 + math.radians(4))
        return anchor_draft(anchor, self.teeth, {"entry": entry, "exit": exit}, undercut, root_part=0.34)

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
