"""Movement files for tests, written from counts: the text goes through the same reader as a person's file.

A test makes the data of a movement, changes what it wants to, and writes it. What is only counted stays only counted,
so that nothing but the counts decides the figures.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from builder.movement.model import Movement
from builder.movement.reading import Opened, opened

Data = dict[str, Any]

BETWEEN = ("second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")


def arbor_ids(count: int) -> list[str]:
    """great, second, third …, escape: one id for each arbor of a train."""
    return ["great", *BETWEEN[: count - 2], "escape"]


def movement_data(
    wheels: Sequence[int],
    pinions: Sequence[int],
    escape_teeth: int = 15,
    *,
    beats_per_tooth: int = 2,
    turns: float | None = None,
    beats_per_hour: float | None = None,
    source: str = "weight",
    hands: Mapping[str, str] | None = None,
    motion_work: Mapping[str, Any] | None = None,
    modules_mm: Sequence[float] | None = None,
    directions_deg: Sequence[float] | None = None,
) -> Data:
    """The data of a movement file: wheel i drives pinion i, escapement and oscillator are only counted.

    `hands` says which arbor carries which hand. Without `modules_mm` and `directions_deg` (one for each mesh) the train
    can be solved, but not laid out.
    """
    ids = arbor_ids(len(wheels) + 1)
    arbors: list[Data] = [{"id": name} for name in ids]
    meshes: list[Data] = []
    for index, (teeth, leaves) in enumerate(zip(wheels, pinions, strict=True)):
        arbors[index]["wheel"] = {"teeth": teeth}
        arbors[index + 1]["pinion"] = {"leaves": leaves}
        meshes.append({"driver": ids[index], "driven": ids[index + 1]})
        if modules_mm is not None:
            arbors[index]["wheel"]["module_mm"] = modules_mm[index]
        if directions_deg is not None:
            meshes[index]["direction_deg"] = directions_deg[index]
    for name, shows in (hands or {}).items():
        arbors[ids.index(name)]["hand"] = shows
    data: Data = {
        "movement": {"name": "Counted", "sort": "clock", "summary": "Counted on the bench."},
        "source": {"kind": source, "arbor": "great"},
        "arbors": arbors,
        "meshes": meshes,
        "escapement": {
            "kind": "counted",
            "name": "counted",
            "arbor": "escape",
            "teeth": escape_teeth,
            "beats_per_tooth": beats_per_tooth,
        },
        "oscillator": {"kind": "counted", "name": "counted"},
    }
    if turns is not None:
        data["source"]["turns"] = turns
    if beats_per_hour is not None:
        data["oscillator"]["beats_per_hour"] = beats_per_hour
    if motion_work is not None:
        data["motion_work"] = dict(motion_work)
    return data


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
