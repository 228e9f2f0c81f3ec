"""One worked example of every sum, as it is asked of the command: the calculator page starts with it."""

from __future__ import annotations

EXAMPLES: dict[str, dict[str, str]] = {
    "count-up": {"train": "96/8, 64/8, 60/8", "escape_teeth": "30", "minute_arbor": "2", "turns": "16"},
    "missing": {
        "train": "96/8, x/8, 60/8", "escape_teeth": "30", "minute_arbor": "2", "beats_per_hour": "3600", "distance_mm": "2=43.2",
        "driven_mm": "2=11.3",
    },
    "train": {"beats_per_hour": "3600", "going_hours": "192", "turns": "16"},
    "pendulum-length": {"beat_s": "1", "latitude_deg": "51.5", "height_m": "20", "semi_arc_deg": "2"},
    "pendulum-beat": {"to_centre_mm": "240", "bob_diameter_mm": "60"},
    "rating-nut": {"beats_per_hour": "3600", "pitch_mm": "0.75", "divisions": "60", "rate_s_per_day": "-12"},
    "added-weight": {"pendulum_kg": "7.2", "length_mm": "994", "rate_s_per_day": "1"},
    "circular-error": {"semi_arc_deg": "2", "to_deg": "2.5"},
    "place": {"from_latitude_deg": "51.5", "to_latitude_deg": "40", "to_height_m": "650"},
    "warmth": {"rod": "steel", "rise_c": "10", "length_mm": "994"},
    "gridiron": {"falling_mm": "1800", "falling": "steel", "rising": "zinc"},
    "mercury-jar": {"length_mm": "994", "rod": "steel"},
    "hairspring": {"inertia_mg_cm2": "150", "beats_per_hour": "18000", "height_mm": "0.18", "length_mm": "150"},
    "vibrations": {"counted": "297", "in_s": "60", "beats_per_hour": "18000", "length_mm": "150"},
    "shorter-spring": {"length_mm": "150", "rate_s_per_day": "30"},
    "timing-screws": {"inertia_mg_cm2": "150", "mass_mg": "9", "radius_mm": "8.6", "out_mm": "0.05"},
    "mainspring": {
        "barrel_mm": "16.4", "arbor_mm": "5.4", "thickness_mm": "0.16", "length_mm": "560", "height_mm": "3",
    },
    "weight-fall": {
        "great_hours": "12", "going_hours": "192", "drum_mm": "44", "cord_mm": "1.6", "lines": "2", "mass_kg": "5",
        "beats_per_hour": "3600",
    },
    "fusee": {"wound_nmm": "60", "down_nmm": "40", "small_mm": "12", "turns": "5", "drum_mm": "24"},
    "module": {"teeth": "64", "outside_mm": "30.1", "mate": "8"},
    "pair": {"wheel_teeth": "64", "pinion_leaves": "8", "wheel_mm": "30.1", "pinion_mm": "4.2", "distance_mm": "16.2"},
    "depth": {"wheel_teeth": "64", "pinion_leaves": "8", "module_mm": "0.45"},
    "rate": {"first_s": "-3", "second_s": "12", "hours_between": "36"},
    "beat-error": {"beats_per_hour": "18000", "amplitude_deg": "270", "error_ms": "1.2"},
    "amplitude": {"lift_deg": "52", "lift_ms": "12.5", "beats_per_hour": "18000"},
}  # fmt: skip
"""By the name of the sum."""

MOVEMENT_EXAMPLES: dict[str, dict[str, str]] = {"other-spring": {"thickness_mm": "0.18"}}
"""Those that are asked of a movement's file."""
