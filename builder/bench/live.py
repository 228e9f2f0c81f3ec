"""The closed sums as the calculator page works them: which lines, in which order, and when; the formulas are the wording's own.

A line is worked where every quantity of its formula is known and its own is not, unless `when` (all known and not nought) or
`unless` (none known) says more. The page's script reads these plans and evaluates the very formulas that it shows. That the plans
come to what the sums themselves come to is tested on random questions in a browser.
"""

from __future__ import annotations

from typing import Any

from builder.bench.pendulums.beat import GYRATION
from builder.ground.constants import GRAVITY_STANDARD_M_S2, MATERIALS
from builder.parts.source.spring import MODULUS_GPA

Step = dict[str, Any]

LOOK: dict[str, dict[str, float]] = {
    "expansion": {name: round(1e6 * of.expansion_per_k, 6) for name, of in MATERIALS.items()},
    "modulus": {name: of.young_pa / 1e9 for name, of in MATERIALS.items() if of.young_pa},
    "spring": {str(name): modulus for name, modulus in MODULUS_GPA.items()},
    "gyration": GYRATION,
}
"""Figures by name: expansion in millionths a °C and modulus in GPa by material, gyration by the shape of a bob."""


def line(name: str, by: str = "", when: str = "", unless: str = "", **more: Any) -> Step:
    """One line, shown. more: value (a constant), look (table of LOOK, field), swing (a quantity in radians), teeth (driver,
    driven and which of the two), let (a formula to work by, where the one shown is only near), exact (rational where what was
    given is: written as a fraction).
    """
    return {"name": name, "by": by or name, "when": when.split(), "unless": unless.split(), **more}


def let(name: str, template: str = "", unless: str = "", **more: Any) -> Step:
    """A quantity that is put into later lines without a line of its own."""
    return {"name": name, "let": template, "unless": unless.split(), **more}


def one(*ways: str) -> Step:
    """Just one of these ways is told, each by all of its fields."""
    return {"ways": [way.split() for way in ways], "most": 1}


def any_of(*ways: str) -> Step:
    """At least one of these ways is told."""
    return {"ways": [way.split() for way in ways]}


def with_it(field: str, other: str) -> Step:
    """Where the field is told, so is the other."""
    return {"told": field, "with": other}


def above_nought(template: str) -> Step:
    """Where all its quantities are known, it is above 0."""
    return {"above": template}


ADDENDA = [
    line("wheel_addendum", "addendum", teeth=["wheel_teeth", "pinion_leaves", 0]),
    line("leaf_addendum", "addendum", teeth=["wheel_teeth", "pinion_leaves", 1]),
]


def _gravity(unless: str) -> list[Step]:
    by_place = line("gravity_m_s2", "gravity_of_place", unless=unless)
    return [by_place, line("gravity_m_s2", "gravity_standard", unless=unless, value=GRAVITY_STANDARD_M_S2)]


def _expansion(field: str, name: str) -> list[Step]:
    return [one(field, name), line(name, "expansion_of_material", look=["expansion", field])]


PLANS: dict[str, list[Step]] = {
    "pendulum-length": [
        one("beat_s", "beats_per_hour"),
        line("beat_s", exact=True),
        line("length_mm", "length_by_standard"),
        *_gravity("length_mm"),
        line("length_mm"),
        line("semi_arc_rad"),
        line("period_ratio", swing="semi_arc_rad"),
        line("swung_mm"),
    ],
    "pendulum-beat": [
        one("length_mm", "to_centre_mm"),
        let("gyration", look=["gyration", "bob"]),
        line("length_mm", "length_by_bob"),
        line("beats_per_hour", "beats_by_standard"),
        line("beat_s", "beat_by_beats"),
        *_gravity("beats_per_hour"),
        line("beat_s"),
        line("beats_per_hour"),
        line("beats_per_minute"),
    ],
    "rating-nut": [
        one("length_mm", "beats_per_hour"),
        line("length_mm"),
        above_nought("{length_mm} − {pitch_mm}"),
        line("raise_mm"),
        line("nut_turns"),
        line("nut_marks"),
        line("turn_s_per_day"),
        line("mark_s_per_day"),
    ],
    "added-weight": [
        one("added_g", "rate_s_per_day"),
        line("depth_mm"),
        line("depth_part"),
        line("rate_part"),
        above_nought("{depth_part} − (1 + {rate_part})² × {depth_part}²"),
        line("added_g"),
        line("mass_part", unless="rate_part"),
        above_nought("1 + {mass_part} × {depth_part}"),
        above_nought("1 + {mass_part} × {depth_part}²"),
        line("rate_s_per_day"),
    ],
    "circular-error": [
        one("semi_arc_deg", "swing_mm"),
        with_it("swing_mm", "at_mm"),
        with_it("to_swing_mm", "at_mm"),
        any_of("-to_deg", "-to_swing_mm"),
        above_nought("{at_mm} × tan(30°) − {swing_mm} / 2"),
        above_nought("{at_mm} × tan(30°) − {to_swing_mm} / 2"),
        line("semi_arc_deg", "semi_arc_by_swing"),
        line("semi_arc_rad"),
        line("degree_mm"),
        let("ratio", swing="semi_arc_rad"),
        line("circular_s_per_day", let="86400 × (1 / {ratio} − 1)"),
        line("rule_s_per_day"),
        line("to_deg", "to_by_swing"),
        line("to_rad"),
        let("to_ratio", swing="to_rad"),
        line("to_circular_s_per_day", let="86400 × (1 / {to_ratio} − 1)"),
        line("difference_s_per_day"),
    ],
    "place": [
        one("from_latitude_deg to_latitude_deg", "from_standard_mm to_standard_mm"),
        line("rate_s_per_day", "rate_by_standards"),
        line("from_gravity_m_s2", unless="rate_s_per_day"),
        line("to_gravity_m_s2", unless="rate_s_per_day"),
        line("rate_s_per_day"),
        line("minutes_per_day"),
    ],
    "warmth": [
        *_expansion("rod", "expansion_ppm_per_c"),
        line("growth_part"),
        line("growth_mm"),
        line("rate_s_per_day"),
        line("minute_days", when="rate_s_per_day"),
    ],
    "gridiron": [
        *_expansion("falling", "falling_ppm_per_c"),
        *_expansion("rising", "rising_ppm_per_c"),
        above_nought("{rising_ppm_per_c}"),
        line("rising_mm"),
    ],
    "mercury-jar": [
        *_expansion("rod", "expansion_ppm_per_c"),
        let("mercury", value=3 * LOOK["expansion"]["mercury"]),
        let("widening", look=["expansion", "jar"]),
        line("net_rise_ppm_per_c"),
        above_nought("{net_rise_ppm_per_c} − {expansion_ppm_per_c}"),
        line("half_height_mm"),
        line("column_mm"),
    ],
    "hairspring": [
        with_it("height_mm", "length_mm"),
        with_it("length_mm", "height_mm"),
        line("period_s", exact=True),
        line("stiffness_nnm"),
        let("modulus_gpa", look=["modulus", "material"]),
        line("thickness_mm"),
        line("swing_uj"),
    ],
    "vibrations": [
        line("counted_per_hour", exact=True),
        line("rate_s_per_day"),
        line("length_ratio", exact=True),
        line("new_length_mm"),
        line("take_up_mm"),
    ],
    "shorter-spring": [
        one("shorter_mm", "rate_s_per_day"),
        line("shorter_mm"),
        above_nought("{length_mm} − {shorter_mm}"),
        line("rate_s_per_day"),
    ],
    "timing-screws": [
        one("out_mm", "washer_mg", "rate_s_per_day"),
        any_of("mass_mg", "washer_mg"),
        line("inertia_more_mg_cm2", "inertia_by_rate"),
        line("out_mm", unless="washer_mg"),
        line("inertia_more_mg_cm2", "inertia_by_washers"),
        line("inertia_more_mg_cm2", "inertia_by_screws"),
        above_nought("{radius_mm} + {out_mm}"),
        above_nought("{inertia_mg_cm2} + {inertia_more_mg_cm2}"),
        line("rate_s_per_day"),
    ],
    "mainspring": [
        one("turns", "thickness_mm"),
        above_nought("{barrel_mm} − {arbor_mm}"),
        line("room_mm"),
        line("thickness_mm"),
        line("most_turns", unless="turns"),
        line("half_area_mm"),
        line("coils_reach_mm"),
        line("fill_percent"),
        line("area_over_pi_mm2"),
        above_nought("({barrel_mm}² − {arbor_mm}²) / 4 − {area_over_pi_mm2}"),
        line("ring_turns"),
        let("turns_had", "{ring_turns}"),
        let("turns_had", "{room_mm} / (2 × {thickness_mm})"),
        let("length_mm", "{half_area_mm}"),
        let("modulus_gpa", look=["spring", "material"]),
        line("pull_nmm_per_turn"),
        line("coils_down", when="height_mm"),
        line("down_nmm"),
        line("wound_nmm"),
        line("energy_j"),
        line("stress_gpa"),
    ],
    "weight-fall": [
        one("drum_mm", "fall_mm"),
        any_of("turns", "great_hours going_hours"),
        above_nought("0.000000000001 − |{great_hours} × {turns} / {going_hours} − 1|"),
        line("turns", exact=True),
        line("going_hours", exact=True),
        line("great_hours", exact=True),
        line("pull_diameter_mm"),
        line("cord_per_turn_mm"),
        line("cord_run_mm"),
        line("fall_mm"),
        line("cord_run_mm", "cord_by_fall"),
        line("cord_per_turn_mm", "cord_by_run"),
        line("pull_diameter_mm", "pull_by_cord"),
        above_nought("{pull_diameter_mm} − {cord_mm}"),
        line("drum_mm"),
        line("drum_length_mm", when="cord_mm"),
        line("torque_nmm"),
        line("energy_j"),
        let("hours", "{going_hours}"),
        line("power_uw"),
        line("fall_per_beat_mm"),
    ],
    "fusee": [
        one("small_mm", "large_mm"),
        above_nought("{wound_nmm} − {down_nmm}"),
        line("large_mm"),
        line("small_mm"),
        line("chain_mm"),
        line("barrel_turns"),
        line("fusee_nmm", when="barrel_turns"),
        line("pull_nmm_per_turn"),
        line("set_up_turns"),
    ],
    "module": [
        line("addendum", teeth=["teeth", "mate", "drives"]),
        line("module_mm"),
        line("pitch_diameter_mm"),
        line("centres_mm"),
    ],
    "pair": [
        any_of("distance_mm wheel_mm", "distance_mm pinion_mm", "wheel_mm pinion_mm"),
        *ADDENDA,
        line("centres_module_mm"),
        line("wheel_module_mm"),
        line("pinion_module_mm"),
        line("module_mm", "module_by_centres"),
        line("module_mm", "module_by_wheel"),
        line("wheel_off_percent", when="distance_mm"),
        line("pinion_off_percent"),
        line("centres_mm"),
        line("wheel_diameter_mm"),
        line("pinion_diameter_mm"),
    ],
    "depth": [
        line("wheel_pitch_mm", exact=True),
        line("pinion_pitch_mm", exact=True),
        line("centres_mm", exact=True),
        *ADDENDA,
        line("wheel_diameter_mm"),
        line("pinion_diameter_mm"),
    ],
    "rate": [line("gained_s", exact=True), line("rate_s_per_day"), line("week_s", exact=True)],
    "beat-error": [
        one("error_ms", "long_ms short_ms"),
        line("error_ms"),
        line("period_s", exact=True),
        above_nought("500 × {period_s} − {error_ms} + 0.000000001"),
        above_nought("{error_ms} + 0.000000001"),
        line("off_rest_deg"),
    ],
    "amplitude": [
        line("period_s", exact=True),
        above_nought("500 × {period_s} − {lift_ms}"),
        line("amplitude_deg"),
        line("true_amplitude_deg"),
    ],
}
"""By the name of the sum, in the order of SUMS."""
