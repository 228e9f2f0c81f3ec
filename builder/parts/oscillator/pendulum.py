"""The pendulum: rod, bob, suspension spring and rating nut, as they can be measured at the bench."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from builder.ground.constants import MaterialName
from builder.ground.part import Length, Part

Grams = Annotated[float, Field(gt=0, le=1_000_000)]
Celsius = Annotated[float, Field(ge=-50, le=80)]
BeatsPerHour = Annotated[float, Field(gt=100, le=100_000)]
Quality = Annotated[float, Field(ge=2, le=1_000_000)]


class Rod(Part):
    """The rod, from the suspension spring (or the pivot) down to its tip."""

    material: MaterialName
    """What the rod is made of; it decides how the rate changes with warmth."""
    length_mm: Length
    """From the lower end of the suspension spring to the tip of the rod."""
    diameter_mm: Length | None = None
    """For a round rod. Give this, or width and thickness, or the mass."""
    width_mm: Length | None = None
    """For a flat rod: its width, across the swing's axis or along it alike."""
    thickness_mm: Length | None = None
    """For a flat rod: its thickness."""
    mass_g: Grams | None = None
    """The rod's mass, where it was weighed."""


class Bob(Part):
    """The bob. Mass and size; where it hangs is either given or follows from the beat."""

    shape: Literal["lenticular", "cylinder", "sphere"]
    """lenticular (two shallow caps, edge in the plane of swing), cylinder (standing), sphere."""
    material: MaterialName
    """What fills the bob: its density gives the lift of the air."""
    mass_g: Grams
    """The bob's mass."""
    diameter_mm: Length
    """Diameter as seen from the front."""
    height_mm: Length | None = None
    """Height of a cylinder; thickness of a lenticular bob (left out: from mass and density)."""
    centre_mm: Length | None = None
    """From the top of the suspension spring (or the pivot) down to the bob's centre. Left out: it follows from the beat."""
    held_at: Literal["base", "centre"] = "base"
    """Where the bob rests on the nut or its pin: at its base (it then grows upwards when warm) or at its centre."""


class Suspension(Part):
    """The suspension spring, clamped above and below."""

    thickness_mm: Annotated[float, Field(gt=0, le=5)]
    """Thickness of one strip."""
    width_mm: Length
    """Width of one strip."""
    length_mm: Length
    """Free length between the chops."""
    strips: Annotated[int, Field(ge=1, le=4)] = 1
    """How many strips side by side."""
    material: MaterialName = "steel"
    """What the strip is made of."""


class RatingNut(Part):
    """The nut that raises and lowers the bob."""

    pitch_mm: Annotated[float, Field(gt=0, le=10)]
    """Rise in one turn."""
    divisions: Annotated[int, Field(ge=1, le=1000)] | None = None
    """Marks round the nut."""
    range_mm: Length
    """Thread that the nut can use in all: half of it upwards, half downwards from where the bob hangs."""


class Gridiron(Part):
    """Bars of a second metal that rise when warm, while the rods of the first let the bob down."""

    kind: Literal["gridiron"]
    material: MaterialName = "brass"
    """Metal of the rising bars."""
    rising_mm: Length
    """Total length of the rising bars, one after the other (not side by side)."""


class MercuryJar(Part):
    """A jar of mercury for a bob: its column grows upwards when warm. The bob is the mercury: a cylinder of it."""

    kind: Literal["mercury"]
    jar: MaterialName = "glass"
    """What the jar is made of."""
    jar_mass_g: Annotated[float, Field(ge=0, le=100_000)] = 0.0
    """Mass of the jar, taken as even along the column."""


class Pendulum(Part):
    """A pendulum, swinging with the pallets on a crutch."""

    kind: Literal["pendulum"]
    beats_per_hour: BeatsPerHour | None = None
    """Beats an hour (3600 for a seconds pendulum). Left out: the train decides."""
    rod: Rod
    bob: Bob
    suspension: Suspension | None = None
    """Left out: a knife edge or a thread, without stiffness of its own."""
    rating_nut: RatingNut | None = None
    """Left out: the bob stays where it was put."""
    compensation: Annotated[Gridiron | MercuryJar, Field(discriminator="kind")] | None = None
    """Left out: a plain rod."""
    q_factor: Quality | None = None
    """Quality factor, 2π × energy stored / energy lost in a period. Left out: an estimate is made."""
    out_of_beat_deg: Annotated[float, Field(ge=-10, le=10)] = 0.0
    """How far the pallets' middle stands from the pendulum's rest; + when the pallets lean to the entry side lifted."""
    temperature_c: Celsius = 20.0
    """Temperature at which it runs; dimensions hold at 20 °C."""
