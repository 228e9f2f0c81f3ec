"""Cycloidal teeth as clocks and watches have them: epicycloidal faces on radial flanks.

Wheel that drives a pinion: proportions of BS 978-2:1952 (teeth π/2 modules thick and as deep below the pitch circle,
addendum 0.95 of the pointed tooth's), but with the true epicycloid where the standard puts the nearest arc. Pinion: radial
flanks, leaf ends A, B and C of the standard. Teeth that drive and are driven (motion work): the standard's thickness and
addendum, with the true epicycloid on both members, so that they carry exactly in both ways.
"""

from __future__ import annotations

import cmath
import math
from typing import Literal

from builder.ground.faults import Complaint, Finding, Refused
from builder.ground.part import Part
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
FEW_LEAVES = 6
NONE_BEFORE_CENTRES = 11
"""Fewest leaves that can be driven wholly after the line of centres (Willis, in Beckett 1903, p. 278)."""


def pointed(teeth: int, mate: int, thickness: float = WHEEL_THICKNESS) -> tuple[float, float]:
    """The pointed tooth: (its addendum in modules, angle of the rolling circle's centre at the point, rad).

    The epicycloid of a circle of half the mate's pitch circle, cut by the centreline of a tooth of that thickness
    (modules): f_t of BS 978-2. Infinite addendum never happens: the epicycloid comes back to its base within one roll.
    """
    R, rho = teeth / 2, mate / 4
    half_tooth = thickness / teeth

    def polar(v: float) -> complex:
        return complex(R + rho) - rho * complex(math.cos(v * R / rho), math.sin(v * R / rho))

    def short_of_centreline(v: float) -> float:
        """v turned on by the polar angle that the point lags the rolling circle's centre by."""
        lag = polar(v)
        return v + math.atan2(lag.imag, lag.real) - half_tooth

    low, high = 0.0, math.pi * rho / R
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (low, middle) if short_of_centreline(middle) > 0 else (middle, high)
    return abs(polar(high)) - R, high


def addendum_angle(teeth: int, mate: int, addendum: float) -> float:
    """Angle of the rolling circle's centre at which the epicycloid stands `addendum` modules above its base, rad."""
    R, rho = teeth / 2, mate / 4
    return 2 * math.asin(math.sqrt(((R + addendum) ** 2 - R**2) / (4 * rho * (R + rho)))) * rho / R


class Cycloidal(Part):
    """Cycloidal teeth: the form of nearly all clock trains and of older watch trains."""

    kind: Literal["cycloidal"] = "cycloidal"
    """Tooth form."""
    leaf_end: LeafEnd | None = None
    """End of the leaves: A semicircle, B fuller, C fullest. Left out: C to 7 leaves, B for 8 and 9, A from 10."""
    both_ways: bool | None = None
    """Whether either may drive, as in motion work. Left out: where the driver has no more teeth than the driven."""

    def pair(self, driver_teeth: int, driven_teeth: int, module_mm: float) -> GearPair:
        """Driver and driven. Raises Refused under ("driver",) and ("driven",) for fewer than four leaves."""
        refused = [
            Complaint(
                (key,),
                str(count),
                f"at least {LEAST_LEAVES}",
                "Count the leaves again: no pinion has so few, since two of them could not stay in mesh.",
            )
            for key, count in (("driver", driver_teeth), ("driven", driven_teeth))
            if count < LEAST_LEAVES
        ]
        if refused:
            raise Refused(refused)
        both_ways = driver_teeth <= driven_teeth if self.both_ways is None else self.both_ways
        if both_ways:
            driver = _either(driver_teeth, driven_teeth, module_mm)
            return GearPair(driver, _either(driven_teeth, driver_teeth, module_mm), self.findings(driver_teeth, driven_teeth))
        driver = _wheel(driver_teeth, driven_teeth, module_mm)
        driven = _pinion(driven_teeth, driver_teeth, module_mm, self.leaf_end)
        return GearPair(driver, driven, self.findings(driver_teeth, driven_teeth))

    def findings(self, driver_teeth: int, driven_teeth: int) -> tuple[Finding, ...]:
        """What is worth knowing of a driven pinion with few leaves."""
        if driven_teeth >= NONE_BEFORE_CENTRES:
            return ()
        found = []
        if driven_teeth < FEW_LEAVES:
            text = f"{driven_teeth} leaves are found in old work only: such a pinion is driven roughly and wears its wheel."
            found.append(Finding(("driven",), text + " Six or more run better."))
        text = f"{driven_teeth} leaves cannot be driven wholly after the line of centres: part of the action comes before it,"
        found.append(Finding(("driven",), text + " with more friction. Eleven leaves or more, and enough teeth, avoid it."))
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
    root = root_round(half, math.pi / teeth, pitch - dedendum * module_mm)
    face = Epicycloid(pitch, mate * module_mm / 4, half, addendum_angle(teeth, mate, addendum))
    return Gear(teeth, module_mm, half, Flank((root, Ray(half, root.outer_mm, pitch), face)))


def _pinion(leaves: int, wheel_teeth: int, module_mm: float, end: LeafEnd | None) -> Gear:
    """Leaves with radial flanks up to the pitch circle; the end's arc joins it there and comes to the tip.

    The arc meets the flank at a small angle (3° for A, up to 12° for C on few leaves), since radius and addendum are both
    the standard's; rounding that corner would cost the driven leaf its exact start at the line of centres.
    """
    thickness = LEAF_THICKNESS[leaves <= 10]
    addendum, radius = (part * thickness for part in LEAF_END[end or _suits(leaves)])
    half = thickness / leaves
    pitch = leaves / 2
    shoulder, tip = cmath.rect(pitch, half), complex(pitch + addendum)
    chord = tip - shoulder
    centre = (shoulder + tip) / 2 - 1j * chord / abs(chord) * math.sqrt(radius**2 - abs(chord) ** 2 / 4)
    face = Round(centre * module_mm, radius * module_mm, cmath.phase(shoulder - centre), cmath.phase(tip - centre))
    root_mm = (pitch - addendum_factor(wheel_teeth, leaves) - LEAF_CLEARANCE) * module_mm
    root = root_round(half, math.pi / leaves, root_mm)
    return Gear(leaves, module_mm, half, Flank((root, Ray(half, root.outer_mm, pitch * module_mm), face)))


def _suits(leaves: int) -> LeafEnd:
    """BS 978-2 as transcribed: C for 7 leaves or fewer, B for 8 and 9, A for 10 and more."""
    return "C" if leaves <= 7 else "B" if leaves <= 9 else "A"
