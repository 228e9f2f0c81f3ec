"""Where everything may stand: directions for the meshes such that no arbor passes through a wheel, then plates round it all.

A search over angles: arbor by arbor outwards from the dial's centre, a few of the most compact layouts are kept at each
step, and the first that the real plan accepts is taken.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import islice
from typing import Any

from builder.going.plan import Plan, plan
from builder.going.sizes import Sized, sizes
from builder.going.train import Train, train
from builder.ground.faults import Refused
from builder.movement.model import Movement

Data = dict[str, Any]
Point = tuple[float, float]

STEP_DEG = 5
KEPT = 40
"""Layouts carried on from arbor to arbor."""
TRIED = 12
"""Of these, how many the real plan is asked about."""
PALLETS_DEG = (90, 60, 120, 30, 150, 0, 180, 240, 300)
"""Directions from the escape arbor to the pallets, the most usual first."""
ROOM = 0.4
"""Modules left free between a wheel's tips and an arbor, at least. Common practice, no source."""
MARGIN = 1.08
"""Plates are this much larger than what stands between them. Common practice, no source."""


class NoRoom(Exception):  # noqa: N818
    """No layout was found in which every wheel clears every arbor."""


def laid_out(data: Data) -> tuple[Data, Plan]:
    """The movement's data with all directions and plates, and its plan. Raises Refused for what no direction mends, NoRoom."""
    movement = _movement(_directed(data, {}, PALLETS_DEG[0]))
    turning = train(movement)
    found, _ = sizes(movement, turning)
    first: Refused | None = None
    for angles in islice(_layouts(movement, found), TRIED):
        for pallets_deg in (None, *PALLETS_DEG):
            trial = _directed(data, angles, pallets_deg)
            try:
                laid = plan(_movement(trial), turning)
            except Refused as refused:
                first = first or refused
                if pallets_deg is None:
                    break  # wheels and arbors alone are in one another's way
            else:
                if pallets_deg is not None:
                    return _framed(_motion_aside(trial, laid), turning)
    raise first or NoRoom


@dataclass(frozen=True)
class _Layout:
    centres: dict[str, Point]
    angles: dict[int, int]
    cost: float = 0.0


def _layouts(movement: Movement, sized: tuple[Sized, ...]) -> Iterator[dict[int, int]]:
    """Directions by mesh, the most compact layout first."""
    meshes = [one for one in sized if one.pair.key[0] == "meshes"]
    centre = movement.motion_work.on if movement.motion_work else movement.source.arbor
    tips, thick = _reach(movement, meshes)
    layouts = [_Layout({centre: (0.0, 0.0)}, {})]
    for one in _outwards(meshes, centre):
        grown = [each for layout in layouts for each in _placed(layout, one, tips, thick)]
        layouts = sorted(grown, key=lambda layout: (round(layout.cost, 9), sorted(layout.angles.items())))[:KEPT]
    yield from (layout.angles for layout in layouts)


def _reach(movement: Movement, meshes: list[Sized]) -> tuple[dict[str, float], dict[str, float]]:
    """By arbor: how far its largest wheel reaches with its room, and a little more than its own radius."""
    tips: dict[str, float] = {}
    thick: dict[str, float] = {}
    for one in meshes:
        room = ROOM * one.module_mm
        for arbor, gear in ((one.pair.driver, one.gears.driver), (one.pair.driven, one.gears.driven)):
            tips[arbor] = max(tips.get(arbor, 0.0), gear.tip_mm + room)
            thick[arbor] = max(thick.get(arbor, 0.0), 0.075 * gear.pitch_mm)
        thick[one.pair.driven] = one.gears.driven.root_mm
    radius = getattr(movement.escapement, "radius_mm", None)
    if radius is not None:
        tips[movement.escapement.arbor] = max(tips.get(movement.escapement.arbor, 0.0), 1.1 * radius)
    return tips, thick


def _outwards(meshes: list[Sized], centre: str) -> Iterator[Sized]:
    """The meshes in an order in which each hangs on what stands already."""
    placed, waiting = {centre}, list(meshes)
    while waiting:
        one = next(each for each in waiting if each.pair.driver in placed or each.pair.driven in placed)
        waiting.remove(one)
        placed |= {one.pair.driver, one.pair.driven}
        yield one


def _placed(layout: _Layout, one: Sized, tips: dict[str, float], thick: dict[str, float]) -> Iterator[_Layout]:
    """The layout with one more arbor, wherever it clears the others. What drives stands low, what is driven high."""
    upwards = one.pair.driver in layout.centres
    known, new = (one.pair.driver, one.pair.driven) if upwards else (one.pair.driven, one.pair.driver)
    x0, y0 = layout.centres[known]
    for angle in range(STEP_DEG - 180, 181, STEP_DEG):
        away = one.distance_mm if upwards else -one.distance_mm
        x, y = x0 + away * math.cos(math.radians(angle)), y0 + away * math.sin(math.radians(angle))
        if all(
            math.hypot(x - px, y - py) > max(tips[new] + thick[other], tips[other] + thick[new])
            for other, (px, py) in layout.centres.items()
            if other != known
        ):
            far = math.hypot(x, y) + tips[new]
            cost = layout.cost + far + (-0.5 if upwards else 0.5) * y + 0.3 * abs(x)
            yield replace(
                layout,
                centres={**layout.centres, new: (x, y)},
                angles={**layout.angles, int(one.pair.key[1]): angle},
                cost=cost,
            )


def _directed(data: Data, angles: dict[int, int], pallets_deg: int | None = None) -> Data:
    """With directions; without one for the pallets the escapement is only counted, which is quickly tried."""
    meshes = [{**mesh, "direction_deg": angles.get(index, 90)} for index, mesh in enumerate(data["meshes"])]
    escapement = data["escapement"]
    if pallets_deg is None:
        escapement = {"kind": "counted", "name": "-", "arbor": escapement["arbor"], "teeth": escapement["teeth"]}
    elif escapement["kind"] != "counted":
        escapement = {**escapement, "direction_deg": pallets_deg}
    return {**data, "meshes": meshes, "escapement": escapement}


def _motion_aside(data: Data, laid: Plan) -> Data:
    """The motion work turned to where its post is furthest from the other arbors, which may reach through the dial."""
    if "motion_work" not in data:
        return data
    on = data["motion_work"]["on"]
    distance = next(one.distance_mm for one in laid.sized if one.pair.key == ("motion_work",))
    x0, y0 = laid.centres[on]
    others = [laid.centres[arbor["id"]] for arbor in data["arbors"] if arbor["id"] != on]

    def free(angle: int) -> float:
        x, y = x0 + distance * math.cos(math.radians(angle)), y0 + distance * math.sin(math.radians(angle))
        return min((math.hypot(x - px, y - py) for px, py in others), default=0.0)

    best = max(range(0, 360, 15), key=lambda angle: (round(free(angle), 6), -angle))
    return {**data, "motion_work": {**data["motion_work"], "direction_deg": best}}


def _framed(data: Data, turning: Train) -> tuple[Data, Plan]:
    """Plates round all that stands between them, in whole millimetres."""
    laid = plan(_movement(data), turning)
    reach = [(laid.centres[t.arbor], t.gear.tip_mm) for t in laid.toothings]
    reach += [(laid.centres["pallets"], laid.draft.tip_mm / 2)] if laid.draft else []
    left, right = min(x - r for (x, _), r in reach), max(x + r for (x, _), r in reach)
    low, high = min(y - r for (_, y), r in reach), max(y + r for (_, y), r in reach)
    plates = {
        "width_mm": float(math.ceil(MARGIN * (right - left))),
        "height_mm": float(math.ceil(MARGIN * (high - low))),
        "centre_mm": [round((left + right) / 2, 1), round((low + high) / 2, 1)],
    }
    framed = {**data, "plates": plates}
    return {table: framed[table] for table in Movement.model_fields if table in framed}, laid


def _movement(data: Data) -> Movement:
    return Movement.model_validate(data)
