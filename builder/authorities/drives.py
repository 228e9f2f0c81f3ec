"""Published figures of springs, weights, the fusee and the friction of the hands, through the parts of a movement file."""

from __future__ import annotations

import math
from typing import Any

from builder.authorities.entry import Entry
from builder.authorities.pendulums import FOOT_M, INCH_MM, POUND_FOOT_J, POUND_KG
from builder.parts.clutch import SpringWasher
from builder.parts.source import Fusee, GoingBarrel, Weight
from builder.parts.source.housed import half_area_length_mm
from builder.parts.source.spring import MODULUS_GPA, bending_stress_gpa

FOOT_MM = 1000 * FOOT_M


def weight(**keys: Any) -> Weight:
    """A weight on the great arbor."""
    return Weight.model_validate({"kind": "weight", "arbor": "great", **keys})


def half_area(entry: Entry) -> dict[str, Any]:
    """A barrel that a spring fills by half of its free area, as rings."""
    barrel, arbor, thick = (entry.given[key] for key in ("barrel_inside_mm", "arbor_diameter_mm", "thickness_mm"))
    length = half_area_length_mm(barrel, arbor, thick)
    made = GoingBarrel.model_validate(
        {
            "kind": "going_barrel",
            "arbor": "great",
            "spring": {"thickness_mm": thick, "height_mm": 10 * thick, "length_mm": length},
            "barrel": {"inside_diameter_mm": barrel, "arbor_diameter_mm": arbor},
        }
    )
    housed = made.mainspring.housed
    assert housed is not None
    reach = math.sqrt(arbor**2 / 4 + length * thick / math.pi)
    return {"turns": housed.handbook_turns, "reach_over_barrel_radius": 2 * reach / barrel}


def inner_coil(entry: Entry) -> dict[str, Any]:
    """Bending stress of a strip laid round an arbor."""
    given = entry.given
    return {"stress_gpa": bending_stress_gpa(given["modulus_gpa"], given["thickness_mm"], given["arbor_radius_mm"])}


def spring_steel(entry: Entry) -> dict[str, Any]:
    """The modulus that springs are reckoned with."""
    return {"modulus_gpa": MODULUS_GPA[entry.given["material"]]}


def fusee(entry: Entry) -> dict[str, Any]:
    """The small end of a cone that evens a spring whose torque is in proportion to its turns beyond its free shape."""
    drum, line, large = 20.0, 1.0, entry.given["radius_large_mm"]
    spring = {"thickness_mm": 0.3, "height_mm": 20.0, "length_mm": 1800.0}
    made = {
        "kind": "fusee",
        "arbor": "great",
        "spring": spring,
        "barrel": {"inside_diameter_mm": 37.0, "arbor_diameter_mm": 12.0, "outside_diameter_mm": 2 * drum - line},
        "line": {"kind": "chain", "thickness_mm": line},
        "large_diameter_mm": 2 * large - line,
        "turns": 1.0,
    }
    loose = Fusee.model_validate({**made, "set_up_turns": 0.0}).chained
    assert loose is not None
    wound_on = loose.housed.preload_turns
    full = wound_on * entry.given["torque_full"] / entry.given["torque_end"]
    turns = drum * (full**2 - wound_on**2) / (2 * large * wound_on)
    chained = Fusee.model_validate({**made, "set_up_turns": 0.0, "turns": turns}).chained
    assert chained is not None
    return {"radius_small_mm": chained.cone.small_mm}


def barrel(entry: Entry) -> dict[str, Any]:
    """A barrel for cord: its turns from its diameter; cord a turn, fall and beats from the diameter to the cord's middle."""
    given = entry.given
    cord = given["cord_thickness_in"] * INCH_MM
    middle = given["cord_ft"] * FOOT_MM / given["barrel_turns"] / math.pi
    thick = weight(drum_diameter_mm=given["drum_diameter_in"] * INCH_MM, fall_mm=given["cord_ft"] * FOOT_MM)
    double = weight(drum_diameter_mm=middle - cord, cord_mm=cord, turns=given["barrel_turns"], lines=2)
    single = weight(drum_diameter_mm=middle - cord, cord_mm=cord)
    beats = given["going_days"] * given["beats_per_day"]
    return {
        "barrel_turns": thick.usable_turns,
        "cord_per_turn_in": (single.fall_per_turn_mm or 0.0) / INCH_MM,
        "fall_double_line_ft": (double.falls_mm or 0.0) / FOOT_MM,
        "beats_for_an_inch": beats * INCH_MM / (double.falls_mm or math.inf),
    }


def going_time(entry: Entry) -> dict[str, Any]:
    """How long so many turns of a barrel last."""
    hours = (weight(turns=float(entry.given["barrel_turns"])).usable_turns or 0.0) * entry.given["great_wheel_hours"]
    return {"going_hours": hours, "going_days": hours / 24}


def pulley(entry: Entry) -> dict[str, Any]:
    """A heavier weight on a pulley: turns and torque by the single line's."""
    keys = {"drum_diameter_mm": 40.0, "cord_mm": 1.5}
    single = weight(mass_kg=4.0, fall_mm=entry.given["single_fall_ft"] * FOOT_MM, **keys)
    mass = 4.0 * entry.given["weight_multiplier"]
    double = weight(mass_kg=mass, lines=2, turns=single.usable_turns, **keys)
    assert single.drive is not None and double.drive is not None
    return {
        "double_fall_ft": (double.falls_mm or 0.0) / FOOT_MM,
        "torque_ratio": float(double.drive.torque_nmm(1.0)) / float(single.drive.torque_nmm(1.0)),
    }


def falling_weight(entry: Entry) -> dict[str, Any]:
    """Energy and power of a weight."""
    given = entry.given
    made = weight(mass_kg=given["weight_lb"] * POUND_KG, drum_diameter_mm=50.0, cord_mm=1.6, fall_mm=given["fall_ft"] * FOOT_MM)
    assert made.drive is not None and made.stored is not None
    values = {"energy_lb_ft": made.stored.energy_j / POUND_FOOT_J}
    if "days" in given:
        values["power_w"] = made.drive.mean_power_uw(given["days"] * 24 / (made.usable_turns or math.inf)) / 1e6
        values["clocks_for_a_motor"] = given["motor_w"] / values["power_w"]
    return values


def disc_spring(entry: Entry) -> dict[str, Any]:
    """A disc spring pressed by three quarters of its dish."""
    given = entry.given
    washer = SpringWasher(
        kind="spring_washer", outside_diameter_mm=given["outside_mm"], inside_diameter_mm=given["inside_mm"],
        thickness_mm=given["thickness_mm"], dish_mm=given["dish_mm"], pressed_mm=0.75 * given["dish_mm"], material="steel",
    )  # fmt: skip
    return {"force_n": washer.cone_force_n()}
