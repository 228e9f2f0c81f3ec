"""Published figures of tooth forms, through the teeth that the site draws."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from builder.authorities.entry import Entry
from builder.parts.teeth import Cycloidal, Involute
from builder.parts.teeth.cycloidal import addendum_factor, pointed
from builder.parts.teeth.gear import Gear

ARC_RADIUS = 1.40
"""BS 978-2: radius of the arc that stands for the face, by the addendum of the pointed tooth."""


def addenda(entry: Entry) -> dict[str, Any]:
    """Wheels that drive a pinion: addendum, and the radius of the standard's arc, for each ratio."""
    leaves = entry.given["leaves"]
    counts = [ratio * leaves for ratio in entry.given["ratio"]]
    return {
        "addendum": [addendum_factor(teeth, leaves) for teeth in counts],
        "arc_radius": [ARC_RADIUS * pointed(teeth, leaves)[0] for teeth in counts],
    }


def _thickness(gear: Gear, module_mm: float) -> float:
    return 2 * gear.pitch_mm * gear.half_tooth_rad / module_mm


def wheel(entry: Entry) -> dict[str, Any]:
    """Proportions of a wheel, in modules."""
    module = 0.5
    gear = Cycloidal().pair(entry.given["teeth"], entry.given["leaves"], module).driver
    half = float(gear.flank.half_angle(np.array([gear.pitch_mm]))[0][0])
    return {"thickness": 2 * gear.pitch_mm * half / module, "dedendum": (gear.pitch_mm - gear.root_mm) / module}


def leaf_ends(entry: Entry) -> dict[str, Any]:
    """Thickness, addendum and radius of the ends of leaves, in modules; each radius from three points of the drawn end."""
    module = 2.0
    found: dict[str, list[float]] = {"thickness": [], "addendum": [], "radius": []}
    for end in entry.given["ends"]:
        pinion = Cycloidal(leaf_end=end).pair(entry.given["wheel_teeth"], entry.given["leaves"], module).driven
        points = pinion.flank.at(np.array([2.0, 2.5, 3.0]))[0] / module
        sides = np.abs(points - np.roll(points, 1))
        area = abs(((points[1] - points[0]).conjugate() * (points[2] - points[0])).imag) / 2
        found["thickness"].append(_thickness(pinion, module))
        found["addendum"].append((pinion.tip_mm - pinion.pitch_mm) / module)
        found["radius"].append(float(sides.prod() / (4 * area)))
    return found


def both_ways(entry: Entry) -> dict[str, Any]:
    """Wheels and pinions that drive and are driven, at either end of each range of counts."""
    gears = [Cycloidal(both_ways=True).pair(teeth, 60, 1.0).driver for teeth in entry.given["teeth"]]
    return {
        "addendum": [gear.tip_mm - gear.pitch_mm for gear in gears],
        "thickness": [_thickness(gear, 1.0) for gear in gears],
    }


def _pitches_after(driver: int, runner: int) -> float:
    """Driver pitches from the line of centres to the point of the tooth."""
    return pointed(driver, runner)[1] * driver / math.tau


def least_driver(entry: Entry) -> dict[str, Any]:
    """The least driver whose pointed teeth drive a runner for one whole pitch after the line of centres."""
    counts = [next(n for n in range(6, 400) if _pitches_after(n, runner) >= 1) for runner in entry.given["runner"]]
    return {"driver": counts}


def least_runner(entry: Entry) -> dict[str, Any]:
    """The least runner that a driver so drives."""
    return {"runner": next(n for n in range(6, 400) if _pitches_after(entry.given["driver"], n) >= 1)}


def pitch_diameter(entry: Entry) -> dict[str, Any]:
    """A pinion's pitch diameter from its wheel's."""
    given = entry.given
    module = given["wheel_diameter_in"] / given["wheel_teeth"]
    pinion = Cycloidal().pair(given["wheel_teeth"], given["leaves"], module).driven
    return {"pinion_diameter_in": 2 * pinion.pitch_mm}


def basic_rack(entry: Entry) -> dict[str, Any]:
    """The involute form as it is where nothing is said of it."""
    form, module = Involute(), 2.0
    gear = form.pair(entry.given["driver"], entry.given["driven"], module).driver
    return {
        "pressure_angle_deg": form.pressure_angle_deg,
        "addendum": (gear.tip_mm - gear.pitch_mm) / module,
        "dedendum": (gear.pitch_mm - gear.root_mm) / module,
    }
