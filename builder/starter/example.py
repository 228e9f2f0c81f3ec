"""The movement that a new file begins with: a wall clock with a weight, recoil anchor and seconds pendulum. All is invented."""

from __future__ import annotations

from typing import Any

EXAMPLE: dict[str, Any] = {
    "movement": {
        "name": "New wall clock",
        "sort": "timepiece",
        "summary": "A weight drives three wheels and the escape wheel; a seconds pendulum lets them go tooth by tooth.",
        "lent_by": "Tidewater Road evening class",
    },
    "source": {
        "kind": "weight",
        "arbor": "great",
        "turns": 15.0,
        "mass_kg": 2.6,
        "drum_diameter_mm": 45.0,
        "cord_mm": 1.5,
        "lines": 2,
    },
    "arbors": [
        {"id": "great", "wheel": {"teeth": 96, "outside_diameter_mm": 98.8}},
        {"id": "centre", "pinion": {"leaves": 8}, "wheel": {"teeth": 60, "outside_diameter_mm": 56.5}},
        {"id": "third", "pinion": {"leaves": 8}, "wheel": {"teeth": 64, "module_mm": 0.8}},
        {"id": "escape", "pinion": {"leaves": 8}, "hand": "seconds"},
    ],
    "meshes": [
        {"driver": "great", "driven": "centre", "direction_deg": 90},
        {"driver": "centre", "driven": "third", "direction_deg": 60},
        {"driver": "third", "driven": "escape", "direction_deg": 120},
    ],
    "escapement": {"kind": "recoil_anchor", "arbor": "escape", "teeth": 30, "radius_mm": 18.0},
    "oscillator": {
        "kind": "pendulum",
        "rod": {"material": "iron", "length_mm": 1090.0, "diameter_mm": 4.0},
        "bob": {"shape": "lenticular", "material": "lead", "mass_g": 4000.0, "diameter_mm": 160.0},
        "suspension": {"thickness_mm": 0.15, "width_mm": 8.0, "length_mm": 14.0},
    },
    "motion_work": {
        "kind": "minute_and_hour",
        "on": "centre",
        "dial_hours": 12,
        "cannon_leaves": 30,
        "minute_wheel_teeth": 30,
        "minute_pinion_leaves": 6,
        "hour_wheel_teeth": 72,
        "module_mm": 0.8,
        "direction_deg": 180,
    },
    "plates": {"width_mm": 130.0, "height_mm": 180.0, "centre_mm": [0.0, -10.0]},
    "dial": {"diameter_mm": 250.0},
}
