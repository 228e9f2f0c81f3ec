"""Movements of which nothing is known but their counts, as published trains are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

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
