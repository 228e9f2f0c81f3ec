"""Models of the Tidewater Road evening class, invented, that the tests of escapements share."""

from builder.parts.escapement import ESCAPEMENTS

MODELS = {
    "regulator": {"kind": "dead_beat", "teeth": 30, "radius_mm": 19.5, "span": 9.5, "impulse_deg": 1.5, "lock_deg": 0.5},
    "dead-beat, equidistant": {"kind": "dead_beat", "teeth": 30, "radius_mm": 16.0, "lockings": "equidistant"},
    "dead-beat, 40 teeth": {"kind": "dead_beat", "teeth": 40, "radius_mm": 22.0, "span": 8.5, "impulse_deg": 2.5},
    "kitchen clock": {"kind": "recoil_anchor", "teeth": 30, "radius_mm": 17.0, "span": 7.5},
    "bracket clock": {"kind": "recoil_anchor", "teeth": 36, "radius_mm": 14.0, "span": 8.5, "impulse_deg": 5.0},
    "pocket watch": {"kind": "club_lever", "teeth": 15, "radius_mm": 3.75},
    "wrist watch": {"kind": "club_lever", "teeth": 20, "radius_mm": 2.4, "span": 3.5, "lever": {"balance_lift_deg": 52.0}},
    "right-angled lever": {
        "kind": "club_lever",
        "teeth": 15,
        "radius_mm": 4.0,
        "lockings": "equidistant",
        "lever": {"line_deg": 90.0},
    },
    "alarm clock": {"kind": "pin_lever", "teeth": 15, "radius_mm": 7.5},
    "cheap watch": {"kind": "pin_lever", "teeth": 18, "radius_mm": 4.5, "span": 3.5, "pin_mm": 0.18, "lift_deg": 10.0},
}

ON_ARBOR = {
    "old watch": {"kind": "cylinder", "teeth": 15, "radius_mm": 5.0},
    "small old watch": {"kind": "cylinder", "teeth": 14, "radius_mm": 3.2, "lift_deg": 34.0, "lock_deg": 4.0, "shell_deg": 190.0},
}
"""Kinds whose pallets are part of the balance's own arbor, so that no fork and no crutch comes between."""


def escapement(table):
    """A model from its table, as the reader of model files would make it."""
    return ESCAPEMENTS[table["kind"]].model_validate({"arbor": "escape", **table})


def model(name):
    """One of the class's models."""
    return escapement((MODELS | ON_ARBOR)[name])
