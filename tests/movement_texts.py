"""Movement files for tests, written from counts: the text goes through the same reader as a person's file.

A test makes the data of a movement, changes what it wants to, and writes it. What is only counted stays only counted,
so that nothing but the counts decides the figures.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from builder.authorities.counted import Data, movement_data
from builder.movement.model import Movement
from builder.movement.reading import Opened, opened


def eight_day() -> Data:
    """An eight-day clock with a seconds hand, laid out without a collision: the usual counts (Beckett 1903, p. 133)."""
    work = {
        "kind": "minute_and_hour",
        "on": "second",
        "cannon_leaves": 36,
        "minute_wheel_teeth": 36,
        "minute_pinion_leaves": 6,
        "hour_wheel_teeth": 72,
        "module_mm": 0.8,
    }
    return movement_data(
        [96, 64, 60],
        [8, 8, 8],
        30,
        turns=16.0,
        hands={"escape": "seconds"},
        motion_work=work,
        modules_mm=[1.0, 0.9, 0.85],
        directions_deg=[90, 60, 124],
    )


def named(name: str) -> Data:
    """The counted clock under another name: quickly built, since force, escapement and oscillator are counted only."""
    data = eight_day()
    data["movement"]["name"] = name
    return data


def toml(data: Mapping[str, Any]) -> str:
    """The data as TOML text: a table or list of tables for each key of the file, inline below that."""
    lines: list[str] = []
    for name, table in data.items():
        for each in table if isinstance(table, list) else [table]:
            lines.append(f"[[{name}]]" if isinstance(table, list) else f"[{name}]")
            lines += [f"{key} = {_value(value)}" for key, value in each.items()]
            lines.append("")
    return "\n".join(lines)


def _value(value: Any) -> str:
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{key} = {_value(each)}" for key, each in value.items()) + " }"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(_value, value)) + "]"
    return json.dumps(value, ensure_ascii=False)


def write_movement(models: Path, movement: Data | str, slug: str = "counted") -> Path:
    """Write models/slug/movement.toml from data or from text."""
    path = models / slug / "movement.toml"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(movement if isinstance(movement, str) else toml(movement), "utf-8")
    return path


def read_movement(models: Path, movement: Data | str, slug: str = "counted") -> Opened[Movement]:
    """Write the file and read it as the commands do. Raises FaultsFound."""
    return opened(write_movement(models, movement, slug), Movement, models)


def write_collection(models: Path) -> Path:
    """The least that a folder of movements says of itself."""
    models.mkdir(parents=True, exist_ok=True)
    path = models / "collection.toml"
    licence = 'licence = { name = "CC BY 4.0", address = "https://creativecommons.org/licenses/by/4.0/" }\n'
    path.write_text(f'title = "Bench"\npublisher = "Tidewater Road evening class"\n{licence}', "utf-8")
    return path
