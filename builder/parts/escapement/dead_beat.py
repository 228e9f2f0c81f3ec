"""The dead-beat anchor after Graham: locking faces concentric with the pallet arbor, so the wheel stands dead at each beat."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from builder.ground.part import Angle, Length, Part, Slug


class DeadBeat(Part):
    """Each tooth rests on a locking face that is an arc about the pallet arbor, then drives the inclined impulse face."""

    beats_per_tooth: ClassVar[int] = 2

    kind: Literal["dead_beat"]
    """What kind of escapement this is."""
    arbor: Slug
    """The arbor that carries the escape wheel."""
    teeth: Annotated[int, Field(ge=12, le=120)]
    """Teeth of the escape wheel; 30 where the arbor carries a seconds hand."""
    radius_mm: Length
    """Radius of the escape wheel over the tips of its teeth, mm."""
    span: Annotated[float, Field(gt=1, le=60)] | None = None
    """Tooth spaces that the pallets embrace, a whole number and a half (7.5, 9.5); left out: about a quarter of the teeth."""
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
