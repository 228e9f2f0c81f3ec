"""Invented sources of every kind that the tests of sources share."""

from __future__ import annotations

from typing import Any

from hypothesis import settings

from builder.parts.source import SOURCES, Source

INCH_MM = 25.4  # international inch, exact by the agreement of 1959

UNHURRIED = settings(deadline=None)
"""For properties: a loaded machine is not a wrong answer; speed is tested by itself."""

SIZES: dict[str, dict[str, Any]] = {
    "open_spring": {
        "spring": {"thickness_mm": 0.4, "height_mm": 19.0, "length_mm": 2000.0},
        "arbor_diameter_mm": 9.0,
        "room_diameter_mm": 52.0,
        "ratchet": {"teeth": 24, "recoil_teeth": 1.0},
    },
    "going_barrel": {
        "spring": {"thickness_mm": 0.12, "height_mm": 1.5, "length_mm": 400.0},
        "barrel": {"inside_diameter_mm": 11.0, "arbor_diameter_mm": 3.6, "height_mm": 1.7},
    },
    "fusee": {
        "turns": 14.0,
        "spring": {"thickness_mm": 0.38, "height_mm": 36.0, "length_mm": 2300.0},
        "barrel": {"inside_diameter_mm": 50.0, "arbor_diameter_mm": 16.5, "height_mm": 40.0, "outside_diameter_mm": 53.0},
        "line": {"kind": "gut", "thickness_mm": 1.5},
        "large_diameter_mm": 28.0,
        "set_up_turns": 0.5,
    },
    "weight": {
        "mass_kg": 5.0,
        "drum_diameter_mm": 48.0,
        "cord_mm": 1.6,
        "lines": 2,
        "pulley_efficiency": 0.95,
        "fall_mm": 1250.0,
    },
}
"""Sizes that fit, one set a kind."""


def source(kind: str, **keys: Any) -> Source:
    """A source of that kind, its keys exactly as given."""
    return SOURCES[kind].model_validate({"kind": kind, "arbor": "great", **keys})


def sized(kind: str, **changed: Any) -> Source:
    """The source with sizes, some changed; a table given is laid over the sizes' own; None leaves a key out."""
    keys = dict(SIZES[kind])
    for key, value in changed.items():
        keys[key] = {**keys[key], **value} if isinstance(value, dict) and key in keys else value
    return source(kind, **{key: value for key, value in keys.items() if value is not None})
