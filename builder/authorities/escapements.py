"""Published figures of escapements, measured on the escapements that the builder drafts and solves."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Any, cast

import numpy as np

from builder.authorities.entry import Entry
from builder.ground.geometry import polar, turned
from builder.parts.escapement import ESCAPEMENTS
from builder.parts.escapement.action import Action, PalletReport
from builder.parts.escapement.club_lever import ClubLever
from builder.parts.escapement.cylinder import Cylinder
from builder.parts.escapement.dead_beat import DeadBeat
from builder.parts.escapement.draft import Draft
from builder.parts.escapement.drafting import half_span_rad, stations, tangent_centre_mm, tangent_length_mm
from builder.parts.escapement.fork import LeverTable, fork_for


def _made(kind: str, **keys: Any) -> Any:
    return ESCAPEMENTS[kind].model_validate({"kind": kind, "arbor": "escape", **keys})


@lru_cache(maxsize=64)
def _action(part: DeadBeat | ClubLever | Cylinder) -> Action:
    """Solved once for all entries of a build."""
    return part.action()


@lru_cache(maxsize=64)
def _draft(part: DeadBeat | ClubLever | Cylinder) -> Draft:
    return part.draft()


def _club(**keys: Any) -> ClubLever:
    return cast(ClubLever, _made("club_lever", **{key: float(v) if key.endswith("_deg") else v for key, v in keys.items()}))


def tangents(entry: Entry) -> dict[str, Any]:
    """Centre distance and mean pallet radius by the tangents to the wheel."""
    r, teeth, span = entry.given["wheel_radius"], entry.given["escape_teeth"], entry.given["span_teeth"]
    values = {"centre_distance": tangent_centre_mm(r, teeth, span), "pallet_radius": tangent_length_mm(r, teeth, span)}
    return values | {
        "over_diameter": values["centre_distance"] / (2 * r),
        "obliquity_deg": 90 - math.degrees(half_span_rad(teeth, span)),
    }


def graham(entry: Entry) -> dict[str, Any]:
    """The same on a whole dead-beat that locks at the tangents: at both locking corners."""
    r = 10.0
    part = _made(
        "dead_beat", teeth=entry.given["escape_teeth"], span=entry.given["span_teeth"], lockings="equidistant", radius_mm=r
    )
    draft = _draft(part)
    corners = [next(s for s in nib.spots if s.name == "locking corner").at_mm for nib in draft.surfaces.values()]
    return {"centre_distance": draft.centre_mm / r, "pallet_radius": [math.hypot(*at) / r for at in corners]}


def impulse_placing(entry: Entry) -> dict[str, Any]:
    """Where the impulse lies about the middle of the swing, on both pallets."""
    angles = {key: float(entry.given[key]) for key in ("lock_deg", "impulse_deg")}
    action = _action(_made("dead_beat", teeth=30, radius_mm=20.0, span=9.5, **angles))
    before, after = [], []
    for swing, way in ((action.up, 1), (action.down, -1)):
        (impulse,) = [piece for piece in swing.pieces if "impulse" in piece.surface]
        before.append(-way * math.degrees(impulse.start_rad) * 60)
        after.append(way * math.degrees(impulse.end_rad) * 60)
    return {
        "before_arcmin": before,
        "after_arcmin": after,
        "impulse_total_arcmin": [a + b for a, b in zip(after, before, strict=True)],
        "gamma_minus_beta_arcmin": [a - b for a, b in zip(after, before, strict=True)],
    }


def _driven_deg(action: Action) -> list[tuple[float, float]]:
    """What the wheel turns and what the lever turns while the wheel drives it, for each pallet."""
    found = []
    for swing in (action.up, action.down):
        driving = [p for p in swing.pieces if p.pallet == swing.pieces[0].pallet and "locking face" not in p.surface]
        first, last = driving[0], driving[-1]
        wheel = float(last.wheel_rad(last.end_rad) - first.wheel_rad(first.start_rad))
        found.append((math.degrees(wheel), math.degrees(abs(last.end_rad - first.start_rad))))
    return found


def _lock_to_lock_deg(part: ClubLever) -> float:
    """Angle at the wheel between the locking corners, each turned to where it unlocks."""
    draft = _draft(part)
    unlocking = {"entry": (part.lock_deg - part.lift_deg) / 2, "exit": (part.lift_deg - part.lock_deg) / 2}
    at = {}
    for name, nib in draft.surfaces.items():
        corner = next(s for s in nib.spots if s.name == "locking corner").at_mm
        place = turned(corner, math.radians(unlocking[name]))
        at[name] = math.degrees(math.atan2(place[1] + draft.centre_mm, place[0]))
    return at["exit"] - at["entry"]


def equidistant_lever(entry: Entry) -> dict[str, Any]:
    """A lever that locks at the tangents."""
    given = entry.given
    part = _club(
        radius_mm=5.0, lockings="equidistant", teeth=given["escape_teeth"], lock_deg=given["lock_deg"],
        lift_deg=given["lift_deg"], draw_deg=given["draw_deg"], drop_deg=given["drop_deg"],
    )  # fmt: skip
    action = _action(part)
    interval = 360 / part.teeth
    return {
        "span_teeth": part.embraced,
        "tooth_interval_deg": interval,
        "half_interval_deg": math.degrees(action.pitch_rad) / 2,
        "lock_to_lock_deg": _lock_to_lock_deg(part),
        "wheel_action_deg": [wheel for wheel, _ in _driven_deg(action)],
        "fork_action_deg": [fork + part.lock_deg for _, fork in _driven_deg(action)],
        "drop_loss_percent": 100 * math.degrees(part.drop_rad) / interval,
        "draw_deg": action.entry.draw_deg,
    }


def _reports(action: Action) -> tuple[PalletReport, PalletReport]:
    return action.entry, action.exit


def club_teeth(entry: Entry) -> dict[str, Any]:
    """Lift shared between tooth and stone; half of the stone lies each side of the radius to the tangent point."""
    given = entry.given
    part = _club(
        radius_mm=5.0, tooth_deg=given["wheel_on_tooth_deg"], tooth_lift_deg=given["fork_on_tooth_deg"],
        lock_deg=given["lock_deg"], lift_deg=given["fork_on_tooth_deg"] + given["fork_on_pallet_deg"], drop_deg=given["drop_deg"],
    )  # fmt: skip
    action = _action(part)
    at = stations(5.0, part.teeth, part.embraced, part.drop_rad, part.tooth_rad, 0.5)
    tangent = 90 - math.degrees(half_span_rad(part.teeth, part.embraced))
    return {
        "wheel_total_deg": [wheel for wheel, _ in _driven_deg(action)],
        "fork_total_deg": [report.lock_deg + report.lift_deg for report in _reports(action)],
        "half_pallet_deg": [
            tangent - math.degrees(at.entry_first_rad),
            math.degrees(at.entry_last_rad - part.tooth_rad) - tangent,
        ],
    }


def lever_budget(entry: Entry) -> dict[str, Any]:
    """Where the fork's angle goes: lock, run, lift on stone and tooth, from banking to banking."""
    keys = {key: entry.given[key] for key in ("lock_deg", "run_deg", "lift_deg") if key in entry.given}
    part = _club(radius_mm=3.75, **keys)
    action = _action(part)
    let_off = math.degrees(action.up.drops[0].at_rad)
    on_stone = [
        math.degrees(sum(abs(p.end_rad - p.start_rad) for p in swing.pieces if "toe on impulse face" in p.surface))
        for swing in (action.up, action.down)
    ]
    return {
        "total_lock_deg": [report.lock_deg + report.run_deg for report in _reports(action)],
        "pallet_lift_deg": sum(on_stone) / 2,
        "tooth_lift_deg": part.tooth_lift_deg,
        "drop_to_drop_deg": let_off - math.degrees(action.down.drops[0].at_rad),
        "banking_to_let_off_deg": math.degrees(action.reach_rad) + let_off,
        "banking_to_banking_deg": 2 * math.degrees(action.reach_rad),
    }


def spans(entry: Entry) -> dict[str, Any]:
    """Lock to lock at the wheel for pairs of teeth and spaces embraced."""
    angles = []
    for teeth, span in entry.given["cases"]:
        at = stations(1.0, int(teeth), span, math.radians(1.5), 0.0, 0.0)
        angles.append(math.degrees(at.exit_first_rad - at.entry_first_rad))
    return {"lock_to_lock_deg": angles}


def heel(entry: Entry) -> dict[str, Any]:
    """From the heels' circle to the pallet arbor."""
    part = _club(radius_mm=entry.given["primitive_diameter_mm"] / 2, tooth_lift_deg=entry.given["tooth_lift_deg"])
    draft = _draft(part)
    return {"heel_to_pallet_centre_mm": draft.centre_mm - draft.tip_mm}


def lift_lost(entry: Entry) -> dict[str, Any]:
    """How far the heels' circle falls from the tangent over the width of a stone, at the pallets."""
    part = _club(radius_mm=float(entry.given["wheel_radius"]), tooth_lift_deg=entry.given["tooth_lift_deg"])
    at = stations(part.radius_mm, part.teeth, part.embraced, part.drop_rad, part.tooth_rad, 0.5)
    tangent = math.pi / 2 + half_span_rad(part.teeth, part.embraced)
    points = [
        at.seen_from_pallets(tangent + math.radians(more), part.heel_mm, 0.0) for more in (0.0, entry.given["pallet_width_deg"])
    ]
    first, last = (math.degrees(math.atan2(x, -y)) for x, y in points)
    return {"loss_deg": last - first}


def fork(entry: Entry) -> dict[str, Any]:
    """Fork to impulse radius for the angles that fork and balance turn."""
    ratios = []
    for balance_deg in entry.given["impulse_deg"]:
        made = fork_for(
            LeverTable(balance_lift_deg=float(balance_deg)), 4.0, math.radians(1.75), math.radians(entry.given["fork_deg"]) / 2
        )
        ratios.append((made.centre_mm - made.pin_circle_mm) / made.pin_circle_mm)
    return {"ratio": ratios}


def usual_lever(entry: Entry) -> dict[str, Any]:
    """A lever of which only the size is told."""
    part = _club(radius_mm=3.75)
    made = part.fork()
    acting = made.centre_mm - made.pin_circle_mm
    return {
        "lock_deg": part.lock_deg,
        "run_deg": part.run_deg,
        "drop_deg": math.degrees(part.drop_rad),
        "drop_to_drop_deg": 2 * math.degrees(part.half_rad),
        "pin_shake_deg": math.degrees((made.slot_mm - 2 * made.pin_mm) / acting),
        "dart_free_deg": math.degrees(made.guard_freedom_rad),
        "horn_free_deg": math.degrees(made.horn_freedom_rad),
        "safety_roller": made.safety_mm / made.pin_circle_mm,
        "balance_lift_deg": part.lever.balance_lift_deg,
    }


def cylinder(entry: Entry) -> dict[str, Any]:
    """A cylinder wheel's tooth, by its chord, its height and its slant to the radius."""
    part = cast(Cylinder, _made("cylinder", radius_mm=10.0, lift_deg=float(2 * entry.given["lift_each_way_deg"])))
    heel_at = polar(part.radius_mm, -part.tooth_rad)
    face = np.array([part.form().point_mm, 0.0]) - heel_at
    return {
        "escape_teeth": part.teeth,
        "wheel_movement_per_impulse_deg": math.degrees(_action(part).pitch_rad) / 2,
        "heel_to_point_deg": math.degrees(part.tooth_rad),
        "inner_diameter": math.hypot(*face),
        "incline_height": part.radius_mm - part.form().point_mm,
        "tooth_face_to_radius_deg": math.degrees(math.acos(-face @ heel_at / math.hypot(*face) / part.radius_mm)),
    }
