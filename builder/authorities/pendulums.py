"""Published figures of pendulums, through their laws or a whole pendulum as a movement file describes it."""

from __future__ import annotations

import math
from typing import Any

from builder.authorities.entry import Entry
from builder.ground.constants import GRAVITY_STANDARD_M_S2, MATERIALS, gravity_m_s2
from builder.parts.oscillator import Pendulum
from builder.parts.oscillator import rating as law
from builder.parts.oscillator.terms import Terms, circular_error_s_per_day

INCH_MM = 25.4
"""International inch, by the agreement of 1959; exact."""
FOOT_M = 0.3048
POUND_KG = 0.45359237
POUND_FOOT_J = POUND_KG * GRAVITY_STANDARD_M_S2 * FOOT_M


def seconds_length(entry: Entry) -> dict[str, Any]:
    """The seconds pendulum by latitude."""
    lengths = [law.simple_length_m(1.0, gravity_m_s2(latitude)) for latitude in entry.given["latitude_deg"]]
    return {"length_in": [1000 * length / INCH_MM for length in lengths]}


def lengthened(entry: Entry) -> dict[str, Any]:
    """Gain or loss by so many inches more or less."""
    length, rates = entry.given["length_in"], {}
    if "lengthening_in" in entry.given:
        rates["loss_s_per_day"] = -law.lengthened_s_per_day(length, entry.given["lengthening_in"])
    else:
        rates["gain_beats_per_hour"] = law.lengthened_s_per_day(length, -entry.given["one_inch_shorter"]) / 24
        rates["loss_beats_per_hour"] = -law.lengthened_s_per_day(length, entry.given["one_inch_longer"]) / 24
    return rates


def ball_on_thread(**changes: Any) -> Pendulum:
    """As near as a movement file comes to a simple pendulum."""
    plain = {
        "kind": "pendulum",
        "rod": {"material": "wood", "length_mm": 3000.0, "mass_g": 1e-4},
        "bob": {"shape": "sphere", "material": "gold", "mass_g": 8.0, "diameter_mm": 10.0, "held_at": "centre"},
    }
    return Pendulum.model_validate({**plain, **changes})


def rating_nut(entry: Entry) -> dict[str, Any]:
    """One division of the nut of a seconds pendulum."""
    divisions = entry.given["nut_divisions"]
    nut = {"pitch_mm": INCH_MM / entry.given["threads_per_in"], "divisions": divisions, "range_mm": 20.0}
    pendulum = ball_on_thread(beats_per_hour=3600.0, rating_nut=nut)
    return {"division_s_per_day": pendulum.nut_s_per_day_per_turn(pendulum.hung()) / divisions}


def ball(entry: Entry) -> dict[str, Any]:
    """A ball on a thread swings about a point below its centre."""
    to_centre, radius = entry.given["string_to_centre_cm"], entry.given["ball_radius_cm"]
    bob = {"shape": "sphere", "material": "gold", "mass_g": 500.0, "diameter_mm": 20 * radius, "centre_mm": 10 * to_centre}
    return {"centre_of_oscillation_below_centre_cm": 100 * ball_on_thread(bob=bob).hung().oscillation_m - to_centre}


def mercury_jar(entry: Entry) -> dict[str, Any]:
    """Half the column in an iron jar, the whole length being known."""
    above = entry.given["total_length_in"] - entry.given["half_column_in"]
    return {"half_column_in": law.mercury_centre(above, entry.given["effective_rise"], entry.given["alpha_steel"])}


def air(entry: Entry) -> dict[str, Any]:
    """The part of its weight that the air bears."""
    part = law.air_lift_part(1.0 / entry.given["water_over_air"], entry.given["pendulum_specific_gravity"])
    return {"reduction_inverse": 1 / part}


def circular(entry: Entry) -> dict[str, Any]:
    """What half of a change of arc each way makes."""
    by = entry.given["change_arcmin"] / 120
    narrow, wide = (circular_error_s_per_day(math.radians(entry.given["semi_arc_deg"] + way * by)) for way in (-1, 1))
    return {"loss_difference_s_per_day": narrow - wide}


def great_clock(entry: Entry) -> dict[str, Any]:
    """A heavy pendulum as one point on a rod: what it holds, and what it loses in a beat at a quality factor."""
    arm = entry.given["length_ft"] * FOOT_M
    mass = entry.given["pendulum_lb"] * POUND_KG
    moment, inertia = mass * GRAVITY_STANDARD_M_S2 * arm, mass * arm**2
    terms = Terms(inertia, moment, 0.0, math.sqrt(inertia * moment) / entry.given["Q"], 4.0)
    amplitude = math.radians(entry.given["semi_arc_deg"])
    return {
        "energy_stored_lb_ft": terms.energy_j(amplitude) / POUND_FOOT_J,
        "energy_per_beat_lb_ft": terms.loss_j(amplitude) / 2 / POUND_FOOT_J,
    }


def material(entry: Entry) -> dict[str, Any]:
    """Expansion or density of materials, as the builder's table has them."""
    table = [MATERIALS[name] for name in entry.given["material"]]
    return {
        "expansion_ppm_per_degC": [1e6 * each.expansion_per_k for each in table],
        "in_bulk_ppm_per_degC": [3e6 * each.expansion_per_k for each in table],
        "density_g_per_cm3": [each.density_kg_m3 / 1000 for each in table],
        "modulus_gpa": [each.young_pa and each.young_pa / 1e9 for each in table],
    }
