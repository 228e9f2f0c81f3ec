"""The club-tooth lever of watches: part of the lift on the stone, part on the tooth, with draw to hold the lever banked."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from builder.ground.part import Angle, Length, Part, Slug
from builder.parts.escapement.fork import LeverTable


class ClubLever(Part):
    """A detached lever: toe locks and lifts along the stone, the stone's corner then runs along the tooth to the heel."""

    beats_per_tooth: ClassVar[int] = 2

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
