"""The strip of a mainspring: its sizes, how hard it pulls a turn, and what it does to its own inner coil."""

from __future__ import annotations

from math import pi
from typing import Annotated, Literal

from pydantic import Field

from builder.ground.constants import MATERIALS
from builder.ground.part import Part

SpringMaterial = Literal["blued steel", "white alloy"]

MODULUS_GPA: dict[SpringMaterial, float] = {"blued steel": (MATERIALS["steel"].young_pa or 0.0) / 1e9, "white alloy": 200.0}
"""Modulus of elasticity. White alloy: cobalt and nickel alloys run from 190 to 220 (from memory)."""

STRENGTH_GPA: dict[SpringMaterial, float] = {"blued steel": 2.0, "white alloy": 2.3}
"""Stress at which hard strip gives way for good, usual order (from memory)."""

USUAL_SET = 0.2
"""Part of the torque that a spring in use has lost (from memory: the order only; springs that lost a third are met with)."""

UNCERTAINTY = 0.3
"""How far a torque from sizes alone may be off: the set is guessed, and 3 % in the thickness is 9 % in the torque."""


def pull_nmm_per_turn(modulus_gpa: float, height_mm: float, thickness_mm: float, length_mm: float) -> float:
    """Torque of a strip for each turn that it is wound beyond its free shape, N·mm: 2π E b h³ / (12 L).

    Bending of a strip clamped at both ends whose middle line takes up the turning evenly (any book of mechanics). Neglected:
    coils of a spiral cannot all be bent alike. Packed tight and wound without friction, a strip would pull as
    E I ((1/r_inner + 1/r_outer)/2 - free curvature), which is more than this by the square of (r_outer - r_inner)/(r_outer +
    r_inner): about 2 % run down and 15 % fully wound in a half-filled barrel.
    """
    return 2 * pi * modulus_gpa * 1e3 * height_mm * thickness_mm**3 / (12 * length_mm)


def bending_stress_gpa(modulus_gpa: float, thickness_mm: float, radius_mm: float) -> float:
    """Stress in the skin of a straight strip bent elastically round a radius: E h / (2 (r + h/2)), GPa."""
    return modulus_gpa * thickness_mm / (2 * radius_mm + thickness_mm)


class Spring(Part):
    """A mainspring: a flat strip of even thickness and height."""

    thickness_mm: Annotated[float, Field(gt=0.01, le=5)]
    """Thickness of the strip, mm, measured with a micrometer at several places: the torque goes with its cube."""
    height_mm: Annotated[float, Field(gt=0.1, le=200)]
    """Height (width) of the strip, mm: the size that lies along the arbor."""
    length_mm: Annotated[float, Field(gt=5, le=20000)]
    """Length of the strip, mm, laid out straight between its two eyes."""
    material: SpringMaterial = "blued steel"
    """Blued (carbon) steel, or the white alloy of newer springs that does not rust."""
    youngs_modulus_gpa: Annotated[float, Field(ge=50, le=300)] | None = None
    """Stiffness of the material, GPa, where you know better than the handbook."""
    set: Annotated[float, Field(ge=0, lt=1)] | None = None
    """Part of the torque lost because the spring has set: 0.2 for a fifth. Left out: a fifth, but 0 if free_coils is given."""
    free_coils: Annotated[float, Field(ge=-50, le=100)] | None = None
    """Coils that the spring shows lying free on the bench: the more it has set, the more there are. Below 0: bent backwards."""
    coil_friction: Annotated[float, Field(ge=0, lt=0.5)] = 0.0
    """Part of the torque lost between the coils, less while it runs and more while it is wound; 0 leaves it out."""

    @property
    def modulus_gpa(self) -> float:
        """Modulus of elasticity, GPa."""
        return self.youngs_modulus_gpa or MODULUS_GPA[self.material]

    @property
    def set_part(self) -> float:
        """Part of the torque taken as lost by setting, beyond what the free coils tell."""
        if self.set is not None:
            return self.set
        return USUAL_SET if self.free_coils is None else 0.0

    @property
    def pull_nmm_per_turn(self) -> float:
        """Torque for each turn away from the free shape, N·mm, after setting, without coil friction."""
        whole = pull_nmm_per_turn(self.modulus_gpa, self.height_mm, self.thickness_mm, self.length_mm)
        return (1 - self.set_part) * whole
