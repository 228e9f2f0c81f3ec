"""The pin-pallet lever of alarm clocks and cheap watches: round steel pins as pallets, lift and draw on the tooth."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated, ClassVar, Literal

import numpy as np
from pydantic import Field

from builder.ground.faults import Complaint
from builder.ground.geometry import Points, arc, line_circle, polar, turned
from builder.ground.part import Angle, Length, Part, Slug
from builder.parts.escapement.action import Action
from builder.parts.escapement.draft import Draft, Drawn, back_to_front
from builder.parts.escapement.drafting import (
    CHORD,
    FINE,
    deepest_mm,
    half_span_rad,
    refuse,
    root_of,
    shape_points,
    span_complaints,
    tangent_centre_mm,
    tangent_length_mm,
    usual_span,
    wheel_outline,
)
from builder.parts.escapement.fork import Fork, LeverTable, fork_for
from builder.parts.escapement.lever import hub_for, lever_parts
from builder.parts.escapement.shape import Shape, Spot, chain
from builder.parts.escapement.solve import solved


class PinLever(Part):
    """A detached lever whose pallets are two upright pins; the teeth carry the locking face (with draw) and the lift."""

    beats_per_tooth: ClassVar[int] = 2
    beats_with: ClassVar[Literal["pendulum", "balance"]] = "balance"

    kind: Literal["pin_lever"]
    """What kind of escapement this is."""
    arbor: Slug
    """The arbor that carries the escape wheel."""
    teeth: Annotated[int, Field(ge=10, le=40)] = 15
    """Teeth of the escape wheel; 15 in most."""
    radius_mm: Length
    """Radius of the escape wheel over the toes (locking corners) of its teeth, mm."""
    span: Annotated[float, Field(gt=1, le=20)] | None = None
    """Tooth spaces that the pins embrace, a whole number and a half; left out: about a sixth of the teeth (2.5 of 15)."""
    lock_deg: Annotated[float, Field(gt=0, le=6)] = 2.0
    """Lock at the moment of the drop, degrees at the lever."""
    lift_deg: Annotated[float, Field(gt=0, le=20)] = 9.0
    """Lift, all of it on the tooth but for the roundness of the pin, degrees at the lever."""
    pin_mm: Length | None = None
    """Diameter of a pallet pin, mm; left out: 12 per cent of a tooth space (1/20 of the radius for 15 teeth)."""
    drop_deg: Annotated[float, Field(gt=0, le=10)] | None = None
    """Drop, degrees at the wheel; left out: an eighth of a tooth space (3 of 24). Must exceed half a pin and the recoil."""
    draw_deg: Annotated[float, Field(ge=0, le=30)] = 14.0
    """Draw: how far the tooth's locking face leans back from the radius through its toe, degrees."""
    run_deg: Annotated[float, Field(ge=0, le=4)] = 0.5
    """Run to banking after the drop, degrees at the lever."""
    lever: LeverTable = LeverTable()
    """Fork, roller and safety action."""
    friction: Annotated[float, Field(ge=0, le=0.6)] = 0.15
    """Coefficient of friction of tooth on pin; 0.15 is usual for oiled steel on brass (textbook order, from memory)."""
    direction_deg: Angle = 90.0
    """Direction from the escape arbor to the pallet arbor seen from the front: 0 right, 90 above."""

    @property
    def embraced(self) -> float:
        """Tooth spaces embraced, given or usual."""
        return self.span if self.span is not None else usual_span(self.teeth, 1 / 6)

    @property
    def drop_rad(self) -> float:
        """Drop at the wheel, given or usual."""
        return math.radians(self.drop_deg) if self.drop_deg is not None else math.tau / self.teeth / 8

    @property
    def pin_radius_mm(self) -> float:
        """Half a pallet pin's diameter, given or usual."""
        return (self.pin_mm if self.pin_mm is not None else 0.12 * math.tau / self.teeth * self.radius_mm) / 2

    @property
    def half_rad(self) -> float:
        """Lever angle from the middle to let-off: half of lock and lift."""
        return math.radians(self.lock_deg + self.lift_deg) / 2

    @property
    def centre_mm(self) -> float:
        """Wheel to lever: where the tangents at the middle of the pins meet."""
        return tangent_centre_mm(self.radius_mm, self.teeth, self.embraced)

    def fork(self) -> Fork:
        """Fork, roller and safety action. Raises Refused."""
        run = math.radians(self.run_deg)
        return fork_for(self.lever, self.centre_mm, math.radians(self.lock_deg) + run, self.half_rad + run)

    def drawn(self) -> Draft:
        """Wheel, lever and rollers.

        The entry pin leaves the locking face at the toe when the lever stands a lock short of the other pin's let-off, and is
        clear of the heel at let-off; both pins lie mirrored. Raises Refused.
        """
        refuse(self._complaints())
        fork = self.fork()
        form = self._form()
        r = self.pin_radius_mm
        reach = fork.lever_half_rad
        entry, exit = form.pin, form.pin * np.array([-1.0, 1.0])
        root = min(0.8 * self.radius_mm, deepest_mm([entry], self.centre_mm, reach) - r - 0.03 * self.radius_mm)
        tooth = self._tooth(form, root)
        chord = CHORD * self.radius_mm
        hub = hub_for(fork, 0.16 * self.radius_mm)
        arms = _arms(entry, 2.2 * r, hub)
        parts = lever_parts(fork, arms, hub, hub, math.radians(self.lever.line_deg), level=1)
        ring = arc((0.0, 0.0), r, 0.0, math.tau, chord)[:-1]
        at_entry = math.pi / 2 - half_span_rad(self.teeth, self.embraced)
        return Draft(
            wheel=Drawn("escape wheel", "brass", wheel_outline(shape_points(tooth, chord), self.teeth, root)),
            pallets=back_to_front(
                *parts.body, Drawn("entry pin", "steel", entry + ring), Drawn("exit pin", "steel", exit + ring)
            ),
            balance=back_to_front(*parts.balance),
            centre_mm=self.centre_mm,
            balance_mm=parts.balance_mm,
            bankings=parts.bankings,
            tip_mm=form.heel_mm,
            root_mm=root,
            pitch_rad=math.tau / self.teeth,
            reach_rad=reach,
            tooth=tooth,
            surfaces={"entry": Shape((), (Spot("pin", entry, r),)), "exit": Shape((), (Spot("pin", exit, r),))},
            meets_rad={"entry": at_entry, "exit": math.pi - at_entry},
        )

    def draft(self) -> Draft:
        """Outlines and acting surfaces, tried. Raises Refused."""
        return solved(self, self.friction)[0]

    def action(self, friction: float | None = None) -> Action:
        """What it does at the pallets, with the model's friction or another. Raises Refused."""
        return solved(self, self.friction if friction is None else friction)[1]

    def _form(self) -> _Form:
        """Solve for the pin's place: its distance from the wheel at unlocking is that of a pin at the toe, and its mean place at
        both ends of the lift is half the span from the line of centres, which makes both drops alike. The heel then
        follows from let-off, the tooth's width from the drop."""
        radius, r = self.radius_mm, self.pin_radius_mm
        unlocks = math.radians(self.lock_deg) - self.half_rad
        draw = math.radians(self.draw_deg)
        at_toe = np.array([radius - r * math.sin(draw), r * math.cos(draw)])
        wanted = np.array([math.hypot(*at_toe) / radius, math.pi / 2 - half_span_rad(self.teeth, self.embraced)])

        def place(pin: Points, theta: float) -> Points:
            return turned(pin, theta) + np.array([0.0, self.centre_mm])

        def missed(x: Points) -> Points:
            ends = [place(radius * x, theta) for theta in (self.half_rad, -self.half_rad)]
            mean = sum(math.atan2(at[1], at[0]) for at in ends) / 2
            return np.array([math.hypot(*place(radius * x, unlocks)) / radius, mean]) - wanted

        start = turned(np.array([0.0, -tangent_length_mm(radius, self.teeth, self.embraced)]), wanted[1])
        pin = radius * root_of(missed, start / radius)
        out, back = place(pin, self.half_rad), place(pin, -self.half_rad)
        along = -polar(1.0, draw)
        landed = at_toe + along * line_circle(at_toe, along, (0.0, 0.0), math.hypot(*back))[0]
        width = math.pi / self.teeth - self.drop_rad - math.atan2(landed[1], landed[0])
        form = _Form(pin, math.hypot(*out) - r, width)
        if not (form.width_rad > math.radians(0.5) and form.heel_mm > radius):
            refuse(
                [
                    Complaint(
                        ("drop_deg",),
                        f"{math.degrees(self.drop_rad):.3f}",
                        f"with pins of {2 * r:.3f} mm no tooth is left between locking face and heel",
                        "Take thinner pins, less drop or fewer teeth.",
                    )
                ]
            )
        return form

    def _tooth(self, form: _Form, root_mm: float) -> Shape:
        """A tooth about O, its toe on the x axis. Its back is drawn by eye, clear of the pins: common practice, no source."""
        toe = polar(self.radius_mm, 0.0)
        inward = -polar(1.0, math.radians(self.draw_deg))
        foot = toe + inward * line_circle(toe, inward, (0.0, 0.0), root_mm)[0]
        lean = -math.atan2(foot[1], foot[0])
        return chain(
            ("root", polar(root_mm, -max(0.85 * form.width_rad, lean + 0.4 * form.width_rad)), "back of the tooth"),
            ("heel", polar(form.heel_mm, -form.width_rad), "impulse face"),
            ("toe", toe, "locking face"),
            ("root", foot, ""),
        )

    def _complaints(self) -> list[Complaint]:
        found = span_complaints(self.teeth, self.embraced, 1 / 6)
        least = self.pin_radius_mm / self.radius_mm
        if self.drop_rad < least:
            found.append(
                Complaint(
                    ("drop_deg",),
                    f"{math.degrees(self.drop_rad):.3f}",
                    f"more than half a pin at the wheel, {math.degrees(least):.3f}, or the pin comes back onto the tooth it left",
                    f"Take about {math.degrees(1.6 * least):.2f}, or thinner pins.",
                )
            )
        return found


@dataclass(frozen=True)
class _Form:
    """What the drafting solves for."""

    pin: Points
    """Middle of the entry pin about the pallet arbor (2,)."""
    heel_mm: float
    """Radius of the wheel over the heels."""
    width_rad: float
    """Toe to heel at the wheel."""


def _arms(pin: Points, cap_mm: float, hub_mm: float) -> Points:
    """Two arms that hold the pins, in a plane above the wheel: an open run (N, 2) from the hub's top left round to the right."""
    out_rad = math.atan2(pin[1], pin[0])
    cap = pin + arc((0.0, 0.0), cap_mm, out_rad - math.pi / 2, out_rad + math.pi / 2, FINE * cap_mm)
    right = np.concatenate((cap, polar(hub_mm, math.radians(50))[None]))
    left = right[::-1] * np.array([-1.0, 1.0])
    spread = max(math.radians(5), out_rad + math.pi / 2 - math.radians(35))
    under = arc((0.0, 0.0), hub_mm, -math.pi / 2 - spread, -math.pi / 2 + spread, FINE * hub_mm)
    return np.concatenate((left, under, right))
