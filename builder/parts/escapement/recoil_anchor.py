"""The recoil anchor of common clocks: flat pallet faces that push the wheel back while the pendulum swings on."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from builder.ground.part import Angle, Length, Part, Slug


class RecoilAnchor(Part):
    """Each pallet has one face: a tooth falls on it, is pushed back to the end of the swing, then drives the pallet."""

    beats_per_tooth: ClassVar[int] = 2

    kind: Literal["recoil_anchor"]
    """What kind of escapement this is."""
    arbor: Slug
    """The arbor that carries the escape wheel."""
    teeth: Annotated[int, Field(ge=12, le=120)]
    """Teeth of the escape wheel; 30 where the arbor carries a seconds hand."""
    radius_mm: Length
    """Radius of the escape wheel over the tips of its teeth, mm."""
    span: Annotated[float, Field(gt=1, le=60)] | None = None
    """Tooth spaces that the pallets embrace, a whole number and a half (7.5); left out: about a quarter of the teeth."""
    impulse_deg: Annotated[float, Field(gt=0, le=15)] = 4.0
    """Impulse (lift): how far the pallets turn from the fall of a tooth on a pallet to its let-off, degrees at the pallets."""
    drop_deg: Annotated[float, Field(gt=0, le=10)] | None = None
    """Drop: how far the wheel runs free between the pallets, degrees at the wheel; left out: an eighth of a tooth space."""
    reach_deg: Annotated[float, Field(gt=0, le=25)] | None = None
    """How far the pallets can swing each way before anything else touches; left out: one and a half times the impulse."""
    friction: Annotated[float, Field(ge=0, le=0.6)] = 0.15
    """Coefficient of friction of tooth on pallet; 0.15 is usual for oiled steel on brass (textbook order, from memory)."""
    direction_deg: Angle = 90.0
    """Direction from the escape arbor to the pallet arbor seen from the front: 0 right, 90 above."""
