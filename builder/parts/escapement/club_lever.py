"""The club-tooth lever of watches: part of the lift on the stone, part on the tooth, with draw to hold the lever banked."""

from __future__ import annotations

import math
from typing import Annotated, ClassVar, Literal

import numpy as np
from pydantic import Field

from builder.ground.faults import Complaint
from builder.ground.geometry import polar, turned
from builder.ground.part import Angle, Length, Part, Slug
from builder.parts.escapement.action import Action, Pallet
from builder.parts.escapement.draft import Draft, Drawn, back_to_front
from builder.parts.escapement.drafting import (
    CHORD,
    Stations,
    deepest_mm,
    refuse,
    shape_points,
    span_complaints,
    stations,
    tangent_length_mm,
    usual_span,
    wheel_outline,
)
from builder.parts.escapement.fork import Fork, LeverTable, fork_for
from builder.parts.escapement.lever import PalletFrame, hub_for, lever_parts
from builder.parts.escapement.shape import Shape, chain
from builder.parts.escapement.solve import solved


class ClubLever(Part):
    """A detached lever: toe locks and lifts along the stone, the stone's corner then runs along the tooth to the heel."""

    beats_per_tooth: ClassVar[int] = 2
    beats_with: ClassVar[Literal["pendulum", "balance"]] = "balance"

    kind: Literal["club_lever"]
    """What kind of escapement this is."""
    arbor: Slug
    """The arbor that carries the escape wheel."""
    teeth: Annotated[int, Field(ge=10, le=40)] = 15
    """Teeth of the escape wheel; 15 in most watches, 20 or 21 in fast ones."""
    radius_mm: Length
    """Radius of the escape wheel over the toes (locking corners) of its teeth, mm."""
    span: Annotated[float, Field(gt=1, le=20)] | None = None
    """Tooth spaces that the pallets embrace, a whole number and a half; left out: about a sixth of the teeth (2.5 of 15)."""
    lock_deg: Annotated[float, Field(gt=0, le=5)] = 1.5
    """Lock at the moment of the drop, degrees at the lever."""
    lift_deg: Annotated[float, Field(gt=0, le=20)] = 8.5
    """Lift of stone and tooth together, degrees at the lever."""
    tooth_lift_deg: Annotated[float, Field(gt=0, le=12)] = 3.0
    """The part of the lift that is on the tooth: it sets how much the heel stands above the toe."""
    tooth_deg: Annotated[float, Field(gt=0, le=15)] | None = None
    """Width of the tooth's impulse face, toe to heel, degrees at the wheel; left out: 3/16 of a tooth space (4.5 of 24)."""
    drop_deg: Annotated[float, Field(gt=0, le=10)] | None = None
    """Drop as drafted, from let-off to the locking corner, degrees at the wheel; left out: 1/16 of a tooth space (1.5 of 24).
    Draw lets the wheel run on by lock times its slope: the reported drop holds both."""
    draw_deg: Annotated[float, Field(ge=0, le=30)] = 12.0
    """Draw: how far the locking face is turned from the arc about the pallet arbor, degrees."""
    run_deg: Annotated[float, Field(ge=0, le=3)] = 0.25
    """Run to banking after the drop, degrees at the lever."""
    lockings: Literal["circular", "equidistant"] = "circular"
    """'circular': stones lie half each side of the tangent points; 'equidistant': both locking corners at them."""
    lever: LeverTable = LeverTable()
    """Fork, roller and safety action."""
    friction: Annotated[float, Field(ge=0, le=0.6)] = 0.12
    """Coefficient of friction of tooth on stone; 0.12 is usual for oiled steel on ruby (textbook order, from memory)."""
    direction_deg: Angle = 90.0
    """Direction from the escape arbor to the pallet arbor seen from the front: 0 right, 90 above."""

    @property
    def embraced(self) -> float:
        """Tooth spaces embraced, given or usual."""
        return self.span if self.span is not None else usual_span(self.teeth, 1 / 6)

    @property
    def drop_rad(self) -> float:
        """Drop as drafted, at the wheel, given or usual."""
        return math.radians(self.drop_deg) if self.drop_deg is not None else math.tau / self.teeth / 16

    @property
    def tooth_rad(self) -> float:
        """Toe to heel at the wheel, given or usual."""
        return math.radians(self.tooth_deg) if self.tooth_deg is not None else math.tau / self.teeth * 3 / 16

    @property
    def half_rad(self) -> float:
        """Lever angle from the middle to let-off: half of lock and lift."""
        return math.radians(self.lock_deg + self.lift_deg) / 2

    @property
    def heel_mm(self) -> float:
        """Radius of the wheel over the heels: above the toes by the tooth's lift, seen from the pallet arbor at the tangent."""
        rise = math.tan(math.radians(self.tooth_lift_deg))
        return self.radius_mm + tangent_length_mm(self.radius_mm, self.teeth, self.embraced) * rise

    def fork(self) -> Fork:
        """Fork, roller and safety action. Raises Refused."""
        safe = math.radians(self.lock_deg + self.run_deg)
        centre = self._stations().centre_mm
        return fork_for(self.lever, centre, safe, self.half_rad + math.radians(self.run_deg))

    def drawn(self) -> Draft:
        """Wheel, lever and rollers.

        The toe is at the locking corner when the lever stands a lock short of let-off on the other side, the heel is at the
        release corner at let-off; the locking face leans from the arc about the pallet arbor by the draw. Raises Refused.
        """
        refuse(self._complaints())
        fork = self.fork()
        st = self._stations()
        reach = fork.lever_half_rad
        frame = PalletFrame(st.centre_mm, self.heel_mm, reach, hub_for(fork, 0.17 * self.heel_mm))
        nibs: dict[Pallet, Shape] = {"entry": self._stone(st, frame, 1.0), "exit": self._stone(st, frame, -1.0)}
        corners = [spot.at_mm for nib in nibs.values() for spot in nib.spots]
        root = min(0.76 * self.radius_mm, deepest_mm(corners, st.centre_mm, reach) - 0.03 * self.radius_mm)
        tooth = self._tooth(root)
        chord = CHORD * self.radius_mm
        arms = frame.arms(nibs["entry"], nibs["exit"])
        parts = lever_parts(fork, arms, frame.hub_mm, frame.under_mm, math.radians(self.lever.line_deg), level=0)
        stones = tuple(Drawn(f"{name} stone", "ruby", shape_points(nib, chord)) for name, nib in nibs.items())
        return Draft(
            wheel=Drawn("escape wheel", "steel", wheel_outline(shape_points(tooth, chord), self.teeth, root)),
            pallets=back_to_front(*parts.body, *stones),
            balance=back_to_front(*parts.balance),
            centre_mm=st.centre_mm,
            balance_mm=parts.balance_mm,
            bankings=parts.bankings,
            tip_mm=self.heel_mm,
            root_mm=root,
            pitch_rad=st.pitch_rad,
            reach_rad=reach,
            tooth=tooth,
            surfaces=nibs,
            meets_rad={
                "entry": (st.entry_first_rad + st.entry_last_rad) / 2,
                "exit": (st.exit_first_rad + st.exit_last_rad) / 2,
            },
        )

    def draft(self) -> Draft:
        """Outlines and acting surfaces, tried. Raises Refused."""
        return solved(self, self.friction)[0]

    def action(self, friction: float | None = None) -> Action:
        """What it does at the pallets, with the model's friction or another. Raises Refused."""
        return solved(self, self.friction if friction is None else friction)[1]

    def _stations(self) -> Stations:
        share = 0.5 if self.lockings == "circular" else 0.0
        return stations(self.radius_mm, self.teeth, self.embraced, self.drop_rad, self.tooth_rad, share)

    def _stone(self, st: Stations, frame: PalletFrame, side: float) -> Shape:
        """One stone about the pallet arbor: side +1 entry, -1 exit."""
        first_rad = st.entry_first_rad if side > 0 else st.exit_first_rad
        last_rad = (st.entry_last_rad if side > 0 else st.exit_last_rad) - self.tooth_rad
        lock = math.radians(self.lock_deg)
        first = st.seen_from_pallets(first_rad, self.radius_mm, side * (lock - self.half_rad))
        last = st.seen_from_pallets(last_rad, self.heel_mm, side * self.half_rad)
        upward = side * np.array([-first[1], first[0]]) / math.hypot(*first)
        along = turned(upward, math.radians(self.draw_deg))
        end = frame.inside(first, along)
        return chain(
            ("", last + (end - first), "back of the stone"),
            ("release corner", last, "impulse face"),
            ("locking corner", first, "locking face"),
            ("", end, ""),
        )

    def _tooth(self, root_mm: float) -> Shape:
        """A club tooth about O, its toe on the x axis: the front leans back by twice the draw, so that only the toe locks.

        Foot and neck are drawn by eye: common practice, no source.
        """
        pitch = math.tau / self.teeth
        undercut = max(math.radians(20), 2 * math.radians(self.draw_deg))
        neck_mm = self.radius_mm - 0.4 * (self.radius_mm - root_mm)
        lean = (self.radius_mm - neck_mm) * math.tan(undercut) / neck_mm
        return chain(
            ("root", polar(root_mm, -lean - 0.3 * pitch), "back of the tooth"),
            ("neck", polar(neck_mm, -lean - 0.11 * pitch), "back of the foot"),
            ("heel", polar(self.heel_mm, -self.tooth_rad), "tooth face"),
            ("toe", polar(self.radius_mm, 0.0), "front of the tooth"),
            ("knee", polar(neck_mm, -lean), "front of the neck"),
            ("root", polar(root_mm, -1.25 * lean), ""),
        )

    def _complaints(self) -> list[Complaint]:
        found = span_complaints(self.teeth, self.embraced, 1 / 6)
        travel = math.pi / self.teeth - self.drop_rad
        if self.tooth_rad > 0.8 * travel:
            found.append(
                Complaint(
                    ("tooth_deg",),
                    f"{math.degrees(self.tooth_rad):.3f}",
                    f"at most {math.degrees(0.8 * travel):.3f}, since half a tooth space holds drop, tooth and stone",
                    f"Take about {math.degrees(0.43 * travel):.2f}.",
                )
            )
        if self.tooth_lift_deg > 0.8 * self.lift_deg:
            found.append(
                Complaint(
                    ("tooth_lift_deg",),
                    f"{self.tooth_lift_deg:g}",
                    f"at most {0.8 * self.lift_deg:g}, or the stone has no lift",
                    f"Take about {0.35 * self.lift_deg:.1f}.",
                )
            )
        return found
