"""Movements by chance, as data of a movement file: composed from nothing, and real ones with something changed."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

from hypothesis import assume
from hypothesis import strategies as st

from builder.ground.faults import Refused
from builder.starter.example import EXAMPLE
from builder.starter.layout import NoRoom, laid_out
from tests.fuzz.by_schema import REPAIR, SCHEMA, Schema, at, choices, fitting, rounded
from tests.movement_texts import eight_day, movement_data

Data = dict[str, Any]
ROOT = Path(__file__).resolve().parents[2]
FACTORS = (0.01, 0.1, 0.5, 0.8, 0.95, 1.05, 1.3, 2.0, 10.0, 100.0)


@cache
def real() -> dict[str, Data]:
    """Movements that are known to be right."""
    files = [*ROOT.glob("models/*/movement.toml"), *ROOT.glob("tests/models/*/movement.toml")]
    found = {path.parent.name: tomllib.loads(path.read_text("utf-8")) for path in sorted(files)}
    return found | {"example": EXAMPLE, "counted": eight_day()}


@st.composite
def changed(draw: st.DrawFn) -> Data:
    """A real movement with one to four things changed, each to what the schema allows."""
    data = copy.deepcopy(real()[draw(st.sampled_from(sorted(real())))])
    for _ in range(draw(st.integers(1, 4))):
        draw(st.sampled_from([scaled, scaled, left_out, added, added, another, doubled]))(draw, data)
    return data


@cache
def real_repairs() -> list[tuple[str, Data]]:
    """Repairs that are known to be right, each with its movement's folder; their pictures and beats stay at home."""
    found = []
    for path in sorted(ROOT.glob("models/*/repairs/*.toml")):
        data = tomllib.loads(path.read_text("utf-8"))
        for finding in data["findings"]:
            finding.pop("picture", None), finding.pop("picture_shows", None)
        for reading in data.get("readings", []):
            reading.pop("beats", None)
        found.append((path.parent.parent.name, data))
    return found


@st.composite
def repaired(draw: st.DrawFn) -> tuple[str, Data]:
    """The folder of a movement, and a repair of it with one to three things changed to what its schema allows."""
    slug, data = copy.deepcopy(draw(st.sampled_from(real_repairs())))
    for _ in range(draw(st.integers(1, 3))):
        what = draw(st.sampled_from(["scaled", "left out", "finding", "added"]))
        if what == "scaled":
            scaled(draw, data)
        elif what == "left out":
            left_out(draw, data)
        elif what == "finding":
            data["findings"] = [*data.get("findings", []), draw(fitting(REPAIR["properties"]["findings"]["items"]))]
        else:
            table, schema = draw(st.sampled_from(list(_tables(data, REPAIR))))
            key = draw(st.sampled_from(sorted(schema.get("properties", {"kind": {}}))))
            table[key] = draw(fitting(schema.get("properties", {}).get(key, {"const": "?"})))
    return slug, data


def scaled(draw: st.DrawFn, data: Data) -> None:
    """One number made larger or smaller."""
    holder, key = draw(st.sampled_from(list(_numbers(data))))
    value = holder[key] * draw(st.sampled_from(FACTORS))
    holder[key] = round(value) if isinstance(holder[key], int) else rounded(value)


def left_out(draw: st.DrawFn, data: Data) -> None:
    """One key gone, or one of several tables."""
    holder, key = draw(st.sampled_from(list(_steps(data))))
    del holder[key]


def added(draw: st.DrawFn, data: Data) -> None:
    """A key that was left out gets a value, or one that is there gets another."""
    table, schema = draw(st.sampled_from(list(_tables(data, SCHEMA))))
    key = draw(st.sampled_from(sorted(schema.get("properties", {"kind": {}}))))
    table[key] = draw(fitting(schema.get("properties", {}).get(key, {"const": "?"})))


def another(draw: st.DrawFn, data: Data) -> None:
    """Another source, escapement, oscillator, motion work or frame, drawn whole; what it is fixed to stays."""
    name = draw(st.sampled_from(["source", "escapement", "oscillator", "motion_work", "plates", "heights", "dial", "keyless"]))
    made = draw(fitting(SCHEMA["properties"][name], fewer=True))
    kept = {key: value for key, value in data.get(name, {}).items() if key in ("arbor", "on", "teeth", "radius_mm", "width_mm")}
    allowed = at(made, SCHEMA["properties"][name])
    data[name] = made | {key: value for key, value in kept.items() if allowed and key in allowed.get("properties", {})}


def doubled(draw: st.DrawFn, data: Data) -> None:
    """One of several tables twice."""
    tables = draw(st.sampled_from([value for value in data.values() if isinstance(value, list) and value] or [[{}]]))
    tables.append(copy.deepcopy(draw(st.sampled_from(tables))))


def _steps(value: Any) -> Iterator[tuple[Any, Any]]:
    """Every key of every table and place of every list, with what holds it."""
    for key in list(value) if isinstance(value, dict) else range(len(value)):
        yield value, key
        if isinstance(value[key], dict | list):
            yield from _steps(value[key])


def _numbers(value: Any) -> Iterator[tuple[Any, Any]]:
    found = [(h, k) for h, k in _steps(value) if isinstance(h[k], int | float) and not isinstance(h[k], bool)]
    yield from found or [({"x": 1}, "x")]


def _tables(value: Data, schema: Schema) -> Iterator[tuple[Data, Schema]]:
    """Every table with its schema."""
    here = at(value, schema)
    if here is None:
        return
    yield value, here
    for key, inner in value.items():
        below = here.get("properties", {}).get(key)
        if below is None:
            continue
        if isinstance(inner, dict):
            yield from _tables(inner, below)
        elif isinstance(inner, list):
            for each in inner:
                if isinstance(each, dict):
                    yield from _tables(each, choices(below)[0]["items"])


@st.composite
def composed(draw: st.DrawFn) -> Data:
    """A movement of two to six wheels with usual sizes, laid out so that nothing is in the way of anything."""
    pairs = draw(st.lists(st.tuples(st.integers(36, 100), st.sampled_from([6, 7, 8, 10, 12])), min_size=2, max_size=6))
    wheels, pinions = zip(*sorted(pairs, reverse=True), strict=True)
    first = draw(st.sampled_from([0.25, 0.6, 1.0, 2.0]))
    modules = [rounded(first * 0.82**step) for step in range(len(wheels))]
    swings = draw(st.sampled_from(["pendulum", "balance", "counted"]))
    data = movement_data(wheels, pinions, modules_mm=modules, motion_work=_motion(draw, first))
    data["movement"]["sort"] = draw(st.sampled_from(["timepiece", "clock", "regulator", "watch"]))
    data["escapement"] = _escapement(draw, swings, rounded(modules[-1] * wheels[-1] * draw(st.sampled_from([0.25, 0.35, 0.5]))))
    data["source"] = _source(draw, first, wheels[0])
    if data.get("motion_work"):
        data["source"]["hours"] = 1.0
    beats = _beats_per_hour(data, pairs)
    assume(200 < beats < 90_000)
    data["oscillator"] = _oscillator(draw, swings, beats, first)
    if draw(st.booleans()):
        data["arbors"][-1]["hand"] = "seconds"
    if draw(st.booleans()):
        data["dial"] = {"diameter_mm": 60.0 * first}
    if draw(st.integers(0, 3)) == 0:
        data["keyless"] = {}
    try:
        placed, _ = laid_out(data)
    except (Refused, NoRoom):
        assume(False)
    if draw(st.integers(0, 2)) == 0:
        del placed["plates"]
    return placed


def _beats_per_hour(data: Data, pairs: list[tuple[int, int]]) -> float:
    """With the first wheel once in `hours`, in whole beats as a person would count them."""
    turns = 1.0
    for teeth, leaves in pairs:
        turns *= teeth / leaves
    hours = data["source"].pop("hours")
    return round(turns * data["escapement"]["teeth"] * 2 / hours)


def _motion(draw: st.DrawFn, module_mm: float) -> Data | None:
    work = {
        "kind": "minute_and_hour", "on": "great", "cannon_leaves": 36, "minute_wheel_teeth": 36, "minute_pinion_leaves": 6,
        "hour_wheel_teeth": 72, "module_mm": rounded(0.8 * module_mm),
    }  # fmt: skip
    return work if draw(st.booleans()) else None


def _escapement(draw: st.DrawFn, swings: str, radius_mm: float) -> Data:
    kinds = {"pendulum": ["recoil_anchor", "dead_beat"], "balance": ["club_lever", "pin_lever", "cylinder"], "counted": []}[
        swings
    ]
    kind = draw(st.sampled_from([*kinds, "counted"]))
    teeth = [15] if kind in ("cylinder", "club_lever", "pin_lever") else [12, 15, 20, 30, 36]
    made = {"kind": kind, "arbor": "escape", "teeth": draw(st.sampled_from(teeth))}
    return made | ({"name": "verge"} if kind == "counted" else {"radius_mm": max(radius_mm, 0.5)})


def _source(draw: st.DrawFn, module_mm: float, teeth: int) -> Data:
    size = module_mm * teeth
    made: Data = {"arbor": "great", "hours": draw(st.sampled_from([1.0, 3.0, 6.0, 12.0, 36.0]))}
    kind = draw(st.sampled_from(["weight", "open_spring", "going_barrel", "fusee"]))
    strip = {"thickness_mm": rounded(0.008 * size), "height_mm": rounded(0.15 * size), "length_mm": rounded(28.0 * size)}
    barrel = {"inside_diameter_mm": rounded(0.85 * size), "arbor_diameter_mm": rounded(0.28 * size)}
    known: Data = {
        "weight": {"mass_kg": rounded(0.02 * size), "drum_diameter_mm": rounded(0.4 * size), "cord_mm": 1.0},
        "open_spring": {"spring": strip, "arbor_diameter_mm": rounded(0.2 * size), "room_diameter_mm": size},
        "going_barrel": {"spring": strip, "barrel": barrel},
        "fusee": {
            "spring": strip, "barrel": barrel, "line": {"thickness_mm": 0.8}, "large_diameter_mm": rounded(0.6 * size),
            "set_up_turns": 0.5,
        },
    }[kind]  # fmt: skip
    turns = {"turns": draw(st.sampled_from([2.0, 5.5, 16.0]))}
    measured = {"measured": [[0.0, 0.5 * size], [turns["turns"], 1.3 * size]]}
    more = draw(st.sampled_from([turns, known | (turns if kind == "weight" else {}), turns | measured, {}]))
    return {"kind": kind, **made, **more}


def _oscillator(draw: st.DrawFn, swings: str, beats_per_hour: float, module_mm: float) -> Data:
    if swings == "counted":
        return {"kind": "counted", "name": "counted", "beats_per_hour": beats_per_hour}
    if swings == "pendulum":
        long_mm = 994.0 * (3600.0 / beats_per_hour) ** 2
        assume(20 < long_mm < 4000)
        return {
            "kind": "pendulum",
            "beats_per_hour": beats_per_hour,
            "rod": {"material": "iron", "length_mm": rounded(1.15 * long_mm), "diameter_mm": 3.0},
            "bob": {
                "shape": "lenticular",
                "material": "lead",
                "mass_g": rounded(0.005 * long_mm**2),
                "diameter_mm": 0.2 * long_mm,
            },
        }
    size = rounded(70 * module_mm)
    spring = draw(st.sampled_from([{}, {"height_mm": 0.2, "length_mm": 8 * size}]))
    return {
        "kind": "balance", "beats_per_hour": beats_per_hour, "diameter_mm": size, "inertia_mg_cm2": rounded(0.002 * size**4),
        "hairspring": spring,
    }  # fmt: skip
