"""Involute teeth: basic rack as ISO 53 (20°, addendum 1, dedendum 1.25, root fillet 0.38), without profile shift."""

from __future__ import annotations

import cmath
import math
from typing import Annotated, Literal

from pydantic import Field

from builder.ground.faults import Complaint, Finding, Refused
from builder.ground.part import Part
from builder.parts.teeth.curve import Piece, Ray, Round, Unwound, root_round
from builder.parts.teeth.gear import Flank, Gear, GearPair

FILLET = 0.38
"""Root fillet radius, modules (ISO 53 type A)."""
MOST_TEETH_TRIED = 400


class Involute(Part):
    """Involute teeth: barrels, motion work and trains of many modern movements, and all change gears."""

    kind: Literal["involute"] = "involute"
    """Tooth form."""
    pressure_angle_deg: Annotated[float, Field(ge=14, le=30)] = 20.0
    """Pressure angle."""
    addendum: Annotated[float, Field(ge=0.5, le=1.2)] = 1.0
    """Height of the teeth above the pitch circle, modules."""
    dedendum: Annotated[float, Field(ge=0.6, le=1.6)] = 1.25
    """Depth of the spaces below the pitch circle, modules."""
    backlash: Annotated[float, Field(ge=0, le=0.4)] = 0.1
    """Play between the teeth along the pitch circle, modules; each member is thinner by half of it."""

    @property
    def pressure_rad(self) -> float:
        return math.radians(self.pressure_angle_deg)

    def pair(self, driver_teeth: int, driven_teeth: int, module_mm: float) -> GearPair:
        """Driver and driven. Raises Refused under ("driver",) and ("driven",) for undercut, ("dedendum",) for no clearance."""
        refused = []
        if self.dedendum <= self.addendum:
            advice = "Make the dedendum larger than the addendum, so that tips clear the bottoms of the spaces."
            refused.append(Complaint(("dedendum",), f"{self.dedendum:g}", f"more than the addendum {self.addendum:g}", advice))
        for key, teeth, mate in (("driver", driver_teeth, driven_teeth), ("driven", driven_teeth, driver_teeth)):
            if self._undercut(teeth, mate):
                refused.append(self._too_few(key, teeth, mate))
        if refused:
            raise Refused(refused)
        found = []
        overlap = self.contact_ratio(driver_teeth, driven_teeth)
        if overlap < 1.1:
            text = f"only {overlap:.2f} pairs of teeth are in contact on average: less than about 1.1 runs roughly."
            found.append(Finding(("driven",), text + " More teeth or higher ones help."))
        return GearPair(self._gear(driver_teeth, module_mm), self._gear(driven_teeth, module_mm), tuple(found))

    def contact_ratio(self, teeth: int, mate: int) -> float:
        """Mean number of pairs in contact: length of the path of contact over the base pitch."""
        path = sum(math.sqrt((z / 2 + self.addendum) ** 2 - (z / 2 * math.cos(self.pressure_rad)) ** 2) for z in (teeth, mate))
        path -= (teeth + mate) / 2 * math.sin(self.pressure_rad)
        return path / (math.pi * math.cos(self.pressure_rad))

    def _undercut(self, teeth: int, mate: int) -> bool:
        """Whether the mate's tip reaches inside the base circle's point of tangency, where there is no involute to meet it."""
        distance = (teeth + mate) / 2
        reach = (mate / 2 * math.cos(self.pressure_rad)) ** 2 + (distance * math.sin(self.pressure_rad)) ** 2
        return (mate / 2 + self.addendum) ** 2 > reach

    def _too_few(self, key: str, teeth: int, mate: int) -> Complaint:
        least = next((z for z in range(teeth + 1, MOST_TEETH_TRIED) if not self._undercut(z, mate)), None)
        allowed = f"at least {least} against {mate} teeth at {self.pressure_angle_deg:g}°" if least else "more teeth"
        advice = (
            "With fewer the mate's tips cut into the flanks: take a larger pressure angle, a smaller addendum or cycloidal teeth."
        )
        return Complaint((key,), str(teeth), allowed, advice)

    def _gear(self, teeth: int, module_mm: float) -> Gear:
        pitch = teeth * module_mm / 2
        base = pitch * math.cos(self.pressure_rad)
        half = (math.pi / 2 - self.backlash / 2) / teeth
        springs = half + math.tan(self.pressure_rad) - self.pressure_rad
        root_mm = pitch - self.dedendum * module_mm
        tip = math.sqrt(((pitch + self.addendum * module_mm) / base) ** 2 - 1)
        fillet = min(FILLET * module_mm, 1.5 * (self.dedendum - self.addendum) * module_mm)
        pieces: tuple[Piece, ...]
        meets = self._fillet_meets(root_mm, fillet, base)
        if meets > 0:
            towards = cmath.exp(1j * (springs - meets))
            centre = base * (1 + 1j * (meets + fillet / base)) * towards
            root = Round(centre, fillet, cmath.phase(centre) - math.pi, springs - meets - math.pi / 2)
            pieces = (root, Unwound(base, springs, meets, tip))
        else:
            root = root_round(springs, math.pi / teeth, root_mm, fillet)
            pieces = (root, Ray(springs, root.outer_mm, base), Unwound(base, springs, 0.0, tip))
        return Gear(teeth, module_mm, half, Flank(pieces))

    @staticmethod
    def _fillet_meets(root_mm: float, fillet_mm: float, base_mm: float) -> float:
        """Angle unwound where a fillet on the root circle touches the involute; 0 or less: it meets the radial face below.

        The fillet's centre lies on the same base circle's involute through it, further out by the fillet's radius.
        """
        square = ((root_mm + fillet_mm) / base_mm) ** 2 - 1
        return math.sqrt(square) - fillet_mm / base_mm if square > 0 else -1.0
