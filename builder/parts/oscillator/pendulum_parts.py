"""The parts of a pendulum, each a table of its own: rod, bob, suspension spring, rating nut, compensation."""

from __future__ import annotations

from math import pi, sqrt
from typing import Annotated, Literal

from pydantic import Field

from builder.ground.constants import MATERIALS, MaterialName
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
    """For a flat rod: its width."""
    thickness_mm: Length | None = None
    """For a flat rod: its thickness."""
    mass_g: Grams | None = None
    """The rod's mass, where it was weighed."""

    def mass_kg(self) -> float:
        """Mass as weighed, or from the section."""
        if self.mass_g is not None:
            return 1e-3 * self.mass_g
        section_m2 = (
            1e-6 * self.width_mm * self.thickness_mm if self.width_mm and self.thickness_mm else pi / 4 * self.round_m() ** 2
        )
        return MATERIALS[self.material].density_kg_m3 * section_m2 * 1e-3 * self.length_mm

    def round_m(self) -> float:
        """Diameter, or that of a round rod of the same mass."""
        if self.diameter_mm is not None:
            return 1e-3 * self.diameter_mm
        mass = 1e-3 * (self.mass_g or 0.0)
        return sqrt(4.0 * mass / (pi * MATERIALS[self.material].density_kg_m3 * 1e-3 * self.length_mm))


class Bob(Part):
    """The bob. Mass and size; where it hangs is either given or follows from the beat."""

    shape: Literal["lenticular", "drum", "cylinder", "sphere"]
    """lenticular (two shallow caps), drum (a flat disc), both facing forwards; cylinder (standing); sphere."""
    material: MaterialName
    """What fills the bob: its density gives the lift of the air."""
    mass_g: Grams
    """The bob's mass."""
    diameter_mm: Length
    """Diameter as seen from the front."""
    height_mm: Length | None = None
    """Height of a standing cylinder; left out: from mass, density and diameter. No other shape has one."""
    centre_mm: Length | None = None
    """From the top of the suspension spring (or the pivot) down to the bob's centre. Left out: it follows from the beat."""
    held_at: Literal["base", "centre"] = "base"
    """Where the bob rests on the nut or its pin: at its base (it then grows upwards when warm) or at its centre."""

    def solid(self) -> bool:
        """Whether the volume follows from the measured sizes."""
        return self.shape == "sphere" or self.height_mm is not None

    def volume_m3(self) -> float:
        """Volume of the shape; of a lenticular bob, a drum or a cylinder without height, from mass and density."""
        r = 0.5e-3 * self.diameter_mm
        if self.shape == "sphere":
            return 4.0 / 3.0 * pi * r**3
        if self.height_mm is not None:
            return pi * r * r * 1e-3 * self.height_mm
        return 1e-3 * self.mass_g / MATERIALS[self.material].density_kg_m3

    def half_height_m(self) -> float:
        """From the centre down to the lower edge."""
        if self.shape != "cylinder":
            return 0.5e-3 * self.diameter_mm
        return 0.5 * self.volume_m3() / (pi * (0.5e-3 * self.diameter_mm) ** 2)

    def gyration_m2(self) -> float:
        """Square of the radius of gyration about the centre, axis fore and aft, m².

        Sphere 2/5 r², drum 1/2 r², shallow lens 1/3 r² (thickness falls as 1 - x²), standing cylinder r²/4 + h²/12.
        """
        r2 = (0.5e-3 * self.diameter_mm) ** 2
        if self.shape == "cylinder":
            return r2 / 4.0 + self.half_height_m() ** 2 / 3.0
        return {"sphere": 0.4, "drum": 0.5, "lenticular": 1.0 / 3.0}[self.shape] * r2

    def wetted_m2(self) -> float:
        """Surface in the air, m²: two faces of a flat bob (its edge neglected), the side of a cylinder, a whole sphere."""
        d = 1e-3 * self.diameter_mm
        if self.shape == "sphere":
            return pi * d * d
        if self.shape == "cylinder":
            return pi * d * 2.0 * self.half_height_m()
        return pi * d * d / 2.0


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

    def bending_n_m2(self, rise_k: float = 0.0) -> float:
        """Bending stiffness E I of all strips, N·m², at `rise_k` above 20 °C.

        Neglected: growth of the section, and the stiffening of a strip wide for its thickness (up to a tenth).
        """
        metal = MATERIALS[self.material]
        young = (metal.young_pa or 0.0) * (1.0 + (metal.young_per_k or 0.0) * rise_k)
        return young * self.strips * 1e-3 * self.width_mm * (1e-3 * self.thickness_mm) ** 3 / 12.0


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
