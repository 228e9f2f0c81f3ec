"""Cycloidal teeth as clocks and watches have them: epicycloidal faces on radial flanks.

Wheel that drives a pinion: proportions of BS 978-2:1952 (teeth π/2 modules thick and as deep below the pitch circle,
addendum 0.95 of the pointed tooth's), but with the true epicycloid where the standard puts the nearest arc. Pinion: radial
flanks, leaf ends A, B and C of the standard. Teeth that drive and are driven (motion work): the standard's thickness and
addendum, with the true epicycloid on both members, so that they carry exactly in both ways.
"""

from __future__ import annotations

import cmath
import math
from typing import Annotated, Literal

from pydantic import Field

from builder.ground.faults import Complaint, Finding, Refused
from builder.ground.part import Part
from builder.ground.roots import root
from builder.parts.teeth.curve import Epicycloid, Ray, Round, root_round
from builder.parts.teeth.gear import Flank, Gear, GearPair

LeafEnd = Literal["A", "B", "C"]

WHEEL_THICKNESS = math.pi / 2
WHEEL_DEDENDUM = math.pi / 2
ADDENDUM_SHARE = 0.95
"""Of the pointed tooth's addendum (BS 978-2 tables, recomputed: 0.9494 to 0.9505 in all cells)."""
LEAF_THICKNESS = {True: 1.05, False: 1.25}
"""Up to ten leaves (BS 978-2) · more than ten (from memory of the same standard)."""
LEAF_END = {"A": (1 / 2, 1 / 2), "B": (0.67 / 1.05, 2 / 3), "C": (0.855 / 1.05, 1.0)}
"""Addendum and radius of the leaf's end, as parts of its thickness (BS 978-2)."""
LEAF_CLEARANCE = 0.4
"""From the bottom of a leaf's space to the wheel's tip, modules (common practice, from memory)."""
BOTH_WAYS_THICKNESS = 1.41
BOTH_WAYS_ADDENDUM = (
    (8, 1.16), (9, 1.17), (11, 1.19), (13, 1.20), (16, 1.22), (20, 1.24),
    (25, 1.26), (34, 1.27), (54, 1.29), (134, 1.31), (100000, 1.32),
)  # fmt: skip
"""Addendum in modules up to a count of teeth, for teeth that drive and are driven (BS 978-2)."""

LEAST_LEAVES = 4
LEAST_WHEEL = 16
FEW_LEAVES = 6
NONE_BEFORE_CENTRES = 11
"""Fewest leaves that can be driven wholly after the line of centres (Willis, in Beckett 1903, p. 278)."""


def pointed(teeth: int, mate: int, thickness: float = WHEEL_THICKNESS) -> tuple[float, float]:
    """The pointed tooth: (its addendum in modules, angle of the rolling circle's centre at the point, rad).

    The epicycloid of a circle of half the mate's pitch circle, cut by the centreline of a tooth of that thickness
    (modules): f_t of BS 978-2. It always is cut: within half a roll the epicycloid has turned far past any tooth.
    """
    R, rho = teeth / 2, mate / 4

    def behind(v: float) -> complex:
        """The epicycloid's point, seen from the direction of the rolling circle's centre."""
        return R + rho - rho * cmath.exp(1j * v * R / rho)

    v = root(lambda v: v + cmath.phase(behind(v)) - thickness / teeth, 0.0, math.pi * rho / R)
    return abs(behind(v)) - R, v


def addendum_angle(teeth: int, mate: int, addendum: float) -> float:
    """Angle of the rolling circle's centre at which the epicycloid stands `addendum` modules above its base, rad."""
    R, rho = teeth / 2, mate / 4
    return 2 * math.asin(math.sqrt(((R + addendum) ** 2 - R**2) / (4 * rho * (R + rho)))) * rho / R


class Cycloidal(Part):
    """Cycloidal teeth: the form of nearly all clock trains and of older watch trains."""

    kind: Literal["cycloidal"] = "cycloidal"
    """Tooth form."""
    leaf_end: LeafEnd | None = None
    """End of driven leaves: A semicircle, B fuller, C fullest. Left out: C to 7 leaves, B for 8 and 9, A from 10."""
    leaf_thickness: Annotated[float, Field(ge=0.4, le=1.5)] | None = None
    """Thickness of driven leaves on the pitch circle, modules, as measured. Left out: 1.05 to ten leaves, 1.25 above."""
    both_ways: bool | None = None
    """Whether either may drive, as in motion work. Left out: where the driver is not clearly a wheel driving a pinion.

    Clearly means at least 16 teeth and twice the driven's count; below that leaf ends would run into the driver's flanks.
    """

    def pair(self, driver_teeth: int, driven_teeth: int, module_mm: float) -> GearPair:
        """Driver and driven. Raises Refused under ("driver",) and ("driven",) for fewer than four leaves."""
        advice = "Count the leaves again: with so few, one lets go before the next is caught."
        counts = (("driver", driver_teeth), ("driven", driven_teeth))
        refused = [Complaint((key,), str(n), f"at least {LEAST_LEAVES}", advice) for key, n in counts if n < LEAST_LEAVES]
        if refused:
            raise Refused(refused)
        small = driver_teeth < max(LEAST_WHEEL, 2 * driven_teeth)
        if small if self.both_ways is None else self.both_ways:
            driver = _either(driver_teeth, driven_teeth, module_mm)
            return GearPair(driver, _either(driven_teeth, driver_teeth, module_mm), _of_few_leaves(driven_teeth))
        driver = _wheel(driver_teeth, driven_teeth, module_mm)
        thickness = self.leaf_thickness or LEAF_THICKNESS[driven_teeth <= 10]
        driven = _pinion(driven_teeth, driver_teeth, module_mm, thickness, self.leaf_end or _suits(driven_teeth))
        return GearPair(driver, driven, _of_few_leaves(driven_teeth))


def _of_few_leaves(leaves: int) -> tuple[Finding, ...]:
    """What is worth knowing of a driven pinion with few leaves."""
    if leaves >= NONE_BEFORE_CENTRES:
        return ()
    text = (
        f"{leaves} leaves cannot be driven wholly after the line of centres: part of the action comes before it, where teeth "
        "rub towards each other and dirt or roughness tells most. Eleven leaves or more, and enough teeth, avoid it."
    )
    found = [Finding(("driven",), text)]
    if leaves < FEW_LEAVES:
        text = f"{leaves} leaves are found in old work only: such a pinion is driven roughly and wears its wheel."
        found.append(Finding(("driven",), text + " Six or more run better."))
    return tuple(found)


def addendum_factor(teeth: int, mate: int) -> float:
    """Practical addendum in modules of a wheel that drives a pinion: 0.95 f_t."""
    return ADDENDUM_SHARE * pointed(teeth, mate)[0]


def _wheel(teeth: int, leaves: int, module_mm: float) -> Gear:
    return _epicycloidal(teeth, leaves, module_mm, WHEEL_THICKNESS, addendum_factor(teeth, leaves), WHEEL_DEDENDUM)


def _either(teeth: int, mate: int, module_mm: float) -> Gear:
    """A member of a pair that drives both ways; its spaces clear the mate's tips."""

    def addendum(of: int, by: int) -> float:
        table = next(factor for upto, factor in BOTH_WAYS_ADDENDUM if of <= upto)
        return min(table, ADDENDUM_SHARE * pointed(of, by, BOTH_WAYS_THICKNESS)[0])

    deep = addendum(mate, teeth) + LEAF_CLEARANCE
    return _epicycloidal(teeth, mate, module_mm, BOTH_WAYS_THICKNESS, addendum(teeth, mate), deep)


def _epicycloidal(teeth: int, mate: int, module_mm: float, thickness: float, addendum: float, dedendum: float) -> Gear:
    """Teeth with epicycloidal faces rolled by half the mate's pitch circle, on radial flanks with a round root."""
    half = thickness / teeth
    pitch = teeth * module_mm / 2
    bottom = root_round(half, math.pi / teeth, pitch - dedendum * module_mm)
    face = Epicycloid(pitch, mate * module_mm / 4, half, addendum_angle(teeth, mate, addendum))
    return Gear(teeth, module_mm, half, Flank((bottom, Ray(half, bottom.outer_mm, pitch), face)))


def _pinion(leaves: int, wheel_teeth: int, module_mm: float, thickness: float, end: LeafEnd) -> Gear:
    """Leaves with radial flanks up to the pitch circle; the end's arc joins it there and comes to the tip.

    The arc meets the flank at a small angle (3° for A, up to 12° for C on few leaves), since radius and addendum are both
    the standard's; rounding that corner would cost the driven leaf its exact start at the line of centres.
    """
    addendum, radius = (part * thickness for part in LEAF_END[end])
    half = thickness / leaves
    pitch = leaves / 2
    shoulder, tip = cmath.rect(pitch, half), complex(pitch + addendum)
    chord = tip - shoulder
    centre = (shoulder + tip) / 2 - 1j * chord / abs(chord) * math.sqrt(radius**2 - abs(chord) ** 2 / 4)
    face = Round(centre * module_mm, radius * module_mm, cmath.phase(shoulder - centre), cmath.phase(tip - centre))
    root_mm = (pitch - addendum_factor(wheel_teeth, leaves) - LEAF_CLEARANCE) * module_mm
    bottom = root_round(half, math.pi / leaves, root_mm)
    return Gear(leaves, module_mm, half, Flank((bottom, Ray(half, bottom.outer_mm, pitch * module_mm), face)))


def _suits(leaves: int) -> LeafEnd:
    """BS 978-2 as transcribed: C for 7 leaves or fewer, B for 8 and 9, A for 10 and more."""
    return "C" if leaves <= 7 else "B" if leaves <= 9 else "A"
