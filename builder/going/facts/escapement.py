"""The escapement: the angles that a practitioner measures on each pallet, the wheel's inertia, the period by phases."""

from __future__ import annotations

import math

from builder.going.facts.fact import Fact, quantity
from builder.going.facts.power import state_key
from builder.going.going import Going
from builder.going.phases import phases, pushed_back_rad
from builder.going.steady import Running
from builder.ground import words
from builder.parts.escapement import Working
from builder.parts.escapement.action import PalletReport

ANGLES = ("lock_deg", "lift_deg", "drop_wheel_deg", "recoil_wheel_deg", "draw_deg", "run_deg")
"""Of a PalletReport; the kind in the wording has no unit in its name."""

G_CM2_PER_KG_M2 = 1e7


def escapement(going: Going) -> list[Fact]:
    """Angles wherever the escapement is drafted; inertia and phases where the beat is solved."""
    part = going.movement.escapement
    if not isinstance(part, Working) or going.plan.draft is None:
        return []
    action = part.action()
    return [*_angles("entry", action.entry), *_angles("exit", action.exit), *_solved(going)]


def _angles(pallet: str, report: PalletReport) -> list[Fact]:
    found = []
    for name in ANGLES:
        angle = float(getattr(report, name))
        kind = name.removesuffix("_deg")
        found.append(Fact(f"escapement.{pallet}.{name}", "escapement", kind, pallet, angle, "°", _degrees(angle)))
    return found


def _degrees(angle: float) -> str:
    return f"{angle:.2f}°" if abs(angle) >= 0.005 else "0°"


def _solved(going: Going) -> list[Fact]:
    beat = going.beat
    if beat is None:
        return []
    wheel = beat.wheel_kg_m2
    title = going.train[going.train.path[-1]].title
    text = quantity(wheel * G_CM2_PER_KG_M2, "g·cm²", 3)
    found = [Fact("escapement.wheel_inertia_kg_m2", "escapement", "wheel_inertia", title, wheel, "kg·m²", text)]
    for winding in going.windings:
        solved = winding.beat
        if not isinstance(solved, Running):
            continue
        ms = 1000 * solved.period_s
        if winding.path is not None:
            for pallet, back_rad in pushed_back_rad(solved, winding.path).items():
                back = math.degrees(back_rad)
                key = f"escapement.{state_key(winding.name)}.{pallet}_pushed_back_deg"
                found.append(Fact(key, "escapement", "pushed_back", pallet, back, "°", _degrees(back), state=winding.name))
        for n, phase in enumerate(phases(solved), 1):
            lasts = (phase.end - phase.start) * ms
            inputs = (("from_ms", f"{phase.start * ms:.2f}{words.THIN}ms"), ("to_ms", f"{phase.end * ms:.2f}{words.THIN}ms"))
            key = f"escapement.{state_key(winding.name)}.phase_{n:02}_{phase.name}_ms"
            found.append(
                Fact(key, "phases", f"phase_{phase.key}", phase.pallet, lasts, "ms", f"{lasts:.2f}", inputs, winding.name)
            )
    return found
