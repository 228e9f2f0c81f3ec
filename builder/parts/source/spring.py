"""The strip of a mainspring: its sizes, what it weighs on an arbor a turn, and what it does to its own inner coil."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from builder.ground.part import Part


class Spring(Part):
    """A mainspring: a flat strip of even thickness and height."""

    thickness_mm: Annotated[float, Field(gt=0.01, le=5)]
    """Thickness of the strip, mm, measured with a micrometer at several places: the torque goes with its cube."""
    height_mm: Annotated[float, Field(gt=0.1, le=200)]
    """Height (width) of the strip, mm: the size that lies along the arbor."""
    length_mm: Annotated[float, Field(gt=5, le=20000)]
    """Length of the strip, mm, laid out straight between its two eyes."""
    material: Literal["blued steel", "white alloy"] = "blued steel"
    """Blued (carbon) steel, or the white alloy of newer springs that does not rust."""
    youngs_modulus_gpa: Annotated[float, Field(ge=50, le=300)] | None = None
    """Stiffness of the material, GPa, where you know better than the handbook."""
    set: Annotated[float, Field(ge=0, lt=1)] | None = None
    """Part of the torque lost because the spring has set: 0.2 for a fifth. Left out: a fifth, but 0 if free_coils is given."""
    free_coils: Annotated[float, Field(ge=-50, le=100)] | None = None
    """Coils that the spring shows lying free on the bench: the more it has set, the more there are. Below 0: bent backwards."""
    coil_friction: Annotated[float, Field(ge=0, lt=0.5)] = 0.0
    """Part of the torque lost between the coils, less while it runs and more while it is wound; 0 leaves it out."""
