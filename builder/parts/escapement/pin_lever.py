"""The pin-pallet lever of alarm clocks and cheap watches: round steel pins as pallets, lift and draw on the tooth."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from builder.ground.part import Angle, Length, Part, Slug
from builder.parts.escapement.fork import LeverTable


class PinLever(Part):
    """A detached lever whose pallets are two upright pins; the teeth carry the locking face (with draw) and the lift."""

    beats_per_tooth: ClassVar[int] = 2

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
    """Diameter of a pallet pin, mm; left out: 1/25 of the wheel's radius."""
    drop_deg: Annotated[float, Field(gt=0, le=10)] | None = None
    """Drop, degrees at the wheel; left out: an eighth of a tooth space (3 of 24). Must exceed half a pin and the recoil."""
    draw_deg: Annotated[float, Field(ge=0, le=30)] = 14.0
    """Draw: how far the tooth's locking face leans from the line that would neither draw nor repel, degrees."""
    run_deg: Annotated[float, Field(ge=0, le=4)] = 0.5
    """Run to banking after the drop, degrees at the lever."""
    lever: LeverTable = LeverTable()
    """Fork, roller and safety action."""
    friction: Annotated[float, Field(ge=0, le=0.6)] = 0.15
    """Coefficient of friction of tooth on pin; 0.15 is usual for oiled steel on brass (textbook order, from memory)."""
    direction_deg: Angle = 90.0
    """Direction from the escape arbor to the pallet arbor seen from the front: 0 right, 90 above."""
