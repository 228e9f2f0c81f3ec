"""From the answers to the data of a file: names for the arbors, and stand-ins for what was not measured, each marked as such."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from math import inf
from typing import Any

from builder.ground import words
from builder.starter.questions import NOT_DRAFTED, Bench

Data = dict[str, Any]

FIRST_MODULE_MM = {"regulator": 1.0, "clock": 1.0, "timepiece": 0.6, "watch": 0.25}
"""Module of a first wheel by sort. Common practice, no source; used only where nothing was measured."""
LEAST_MODULE_MM = 0.05
"""No finer wheel is assumed."""
FINER = 0.9
"""Each mesh is this much finer than the one before. Common practice, no source."""
TIP_MODULES = 1.5
"""About how far teeth reach beyond the pitch circle, in modules: near enough to carry on from."""
CLEAR_PART = 0.85
"""How far the next wheel may reach back, as a part of the distance to the arbor that drives it. Common practice, no source."""
ESCAPE_PART = 0.75
"""Radius of an escape wheel as a part of the pitch radius of the wheel before it. Common practice, no source."""
MOTION_PART = 0.8
"""Module of the motion work as a part of that of the wheel on the same arbor. Common practice, no source."""
MOTION_MODULE = "motion_work.module_mm"
ASSUMED = "not measured: assumed, so that there is a drawing"

BETWEEN = ("second", "third", "fourth", "fifth", "sixth", "seventh")
SOURCE_WORDS = {"weight": "A weight", "open_spring": "An open spring", "going_barrel": "A going barrel", "fusee": "A fusee"}
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight")


def completed(bench: Bench) -> tuple[Data, dict[str, str]]:
    """The data without directions, and remarks for the file by key (arbors by their ids)."""
    names = _names(bench)
    data = _renamed(bench.data, names)
    assumed, module = sized(
        data,
        [
            (here["id"], "wheel", here["wheel"]["teeth"], above["id"], above["pinion"]["leaves"])
            for here, above in pairwise(data["arbors"])
        ],
    )
    remarks = dict.fromkeys(assumed, ASSUMED)
    _escape_radius(data, module, remarks)
    if motion_sized(data):
        remarks[MOTION_MODULE] = ASSUMED
    if not data["movement"]["summary"]:
        data["movement"]["summary"] = _summary(bench)
    return data, remarks


def sized(data: Data, pairs: Iterable[tuple[str, str, int, str, int]]) -> tuple[list[str], float]:
    """Modules for the wheels that nobody measured, each mesh finer than the one before and no wheel near the arbor before it.

    `pairs` are driver, its part, count, driven and count, from the source on. Puts the modules into the data; returns the names
    of the sizes assumed, and the module that would come next.
    """
    assumed: list[str] = []
    modules: dict[str, float] = {}
    limit_mm: dict[str, float] = {}
    arbors = {each["id"]: each for each in data["arbors"]}
    module = FIRST_MODULE_MM[data["movement"]["sort"]]
    for driver, part, count, driven, driven_count in pairs:
        toothed = (arbors[driver] if part in ("wheel", "pinion") else arbors[driver]["more"])[part]
        if "outside_diameter_mm" in toothed:
            module = toothed["outside_diameter_mm"] / (count + 2 * TIP_MODULES)
        elif "module_mm" in toothed:
            module = toothed["module_mm"]
        else:
            module = modules.get(driver, FIRST_MODULE_MM[data["movement"]["sort"]])
            module = max(LEAST_MODULE_MM, min(module, limit_mm.get(driver, inf) / (count / 2 + TIP_MODULES)))
            toothed["module_mm"] = module = float(f"{module:.2g}")
            assumed.append(f"arbors.{driver}.{part}")
        limit_mm[driven] = CLEAR_PART * module * (count + driven_count) / 2
        modules[driven] = module = FINER * module
    return assumed, module


def _names(bench: Bench) -> dict[str, str]:
    """Ids for the arbors: great or barrel, second (centre, where it carries the minute hand), third …, escape."""
    count = len(bench.arbors)
    names = ["barrel" if bench.data["source"]["kind"] == "going_barrel" else "great", *BETWEEN[: count - 2], "escape"]
    work = bench.data.get("motion_work")
    ids = [each["id"] for each in bench.arbors]
    if work and work["kind"] == "minute_and_hour" and work["on"] in ids[1:-1]:
        names[ids.index(work["on"])] = "centre"
    return dict(zip(ids, names, strict=True))


def _renamed(data: Data, names: dict[str, str]) -> Data:
    renamed: Data = {table: value if isinstance(value, list) else dict(value) for table, value in data.items()}
    for table, key in (("source", "arbor"), ("escapement", "arbor"), ("motion_work", "on")):
        if table in renamed:
            renamed[table][key] = names[renamed[table][key]]
    renamed["arbors"] = [
        {**each, "id": names[each["id"]], **({"wheel": dict(each["wheel"])} if "wheel" in each else {})}
        for each in data["arbors"]
    ]
    renamed["meshes"] = [{key: names[value] for key, value in mesh.items()} for mesh in data["meshes"]]
    return renamed


def _escape_radius(data: Data, module: float, remarks: dict[str, str]) -> None:
    escapement = data["escapement"]
    if escapement["kind"] == NOT_DRAFTED or "radius_mm" in escapement:
        return
    before = data["arbors"][-2]["wheel"]
    escapement["radius_mm"] = round(ESCAPE_PART * before["teeth"] * module / FINER / 2, 2)
    remarks["escapement.radius_mm"] = ASSUMED


def motion_sized(data: Data) -> bool:
    """Puts a module into the motion work that nobody measured; whether there was need."""
    work = data.get("motion_work")
    if work is None or "distance_mm" in work or "module_mm" in work:
        return False
    wheels = {
        each["id"]: each["wheel"] for each in data["arbors"] if {"module_mm", "outside_diameter_mm"} & {*each.get("wheel", ())}
    }
    wheel = wheels.get(work["on"]) or next(iter(wheels.values()), {"module_mm": FIRST_MODULE_MM[data["movement"]["sort"]]})
    module = wheel.get("module_mm") or wheel["outside_diameter_mm"] / (wheel["teeth"] + 2 * TIP_MODULES)
    work["module_mm"] = float(f"{MOTION_PART * module:.2g}")
    return True


def _summary(bench: Bench) -> str:
    assert bench.turning is not None, "all questions were answered"
    wheels = len(bench.arbors) - 1
    counts = bench.data["oscillator"].get("name", bench.data["oscillator"]["kind"]).split(",")[0]
    return (
        f"{SOURCE_WORDS[bench.data['source']['kind']]} drives {NUMBERS[wheels]} wheel{'s' if wheels > 1 else ''} and the escape "
        f"wheel; a {counts} counts {words.whole_and_part(bench.turning.beats_per_hour)} beats an hour."
    )
