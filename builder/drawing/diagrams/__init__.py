"""Every drawing: slug → (going, wording) → plate, or None where the movement has nothing of the kind."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from builder.drawing.diagrams import (
    beat_chart,
    escapement,
    going_curves,
    keyless,
    motion_work,
    oscillator,
    power_flow,
    ratchet,
    setting,
    side_view,
    stack,
    taking_down,
    torque_ladder,
    train_line,
    train_plan,
    winding,
)
from builder.drawing.table import Plate
from builder.going.going import Going
from builder.ground.wording import Wording


def plates(going: Going, wording: Wording) -> dict[str, Plate]:
    """Every drawing that the movement has, with what moves otherwise in other states of winding."""
    made = {}
    for slug, draw in DIAGRAMS.items():
        plate = draw(going, wording)
        if plate is None:
            continue
        if going.movement.motion_work:
            plate = replace(plate, sheet=replace(plate.sheet, dial_hours=going.movement.motion_work.dial_hours))
        sheets = {}
        for state in going.windings:
            # what does not move in one state does not in another, and only moves are told apart
            other = plate if state is going.winding or not plate.sheet.moves() else draw(going.at(state), wording)
            if other is not None:
                sheets[state.name] = other.sheet
        made[slug] = replace(plate, sheet=plate.sheet.with_states(sheets)) if sheets else plate
    return made


DIAGRAMS: dict[str, Callable[[Going, Wording], Plate | None]] = {
    "train-front": train_plan.front,
    "train-back": train_plan.back,
    "train-line": train_line.draw,
    "motion-work": motion_work.draw,
    "setting": setting.draw,
    "keyless": keyless.draw,
    "escapement": escapement.draw,
    "oscillator": oscillator.draw,
    "beat-chart": beat_chart.draw,
    "winding": winding.draw,
    "ratchet": ratchet.draw,
    "power-flow": power_flow.draw,
    "torque-ladder": torque_ladder.draw,
    "going-curves": going_curves.draw,
    "side-view": side_view.draw,
    "stack": stack.draw,
    "taking-down": taking_down.side,
    "taking-down-dial": taking_down.dial,
    "taking-down-front": taking_down.front,
    "taking-down-back": taking_down.back,
}
