"""Published figures of the steady beat, through an escapement drafted for them and the beat solved on it."""

from __future__ import annotations

import math
from typing import Any

from builder.authorities.entry import Entry
from builder.going.course import course, crutch
from builder.going.steady import Running, solve
from builder.parts.escapement.dead_beat import DeadBeat
from builder.parts.oscillator.terms import Terms

QUALITY = 20_000.0
"""Of a pendulum so good that the escapement's error is its impulses' alone."""


def impulse_places(entry: Entry) -> dict[str, Any]:
    """Escapement error of dead-beats without friction at one arc, by where their impulse lies; the first scaled to its value.

    Each case is (half arc, end of the impulse after the middle, beginning before it), in parts of one another.
    """
    arc = math.radians(entry.given["semi_arc_deg"])
    errors = [_error_s_per_day(arc, after / whole, before / whole) for whole, after, before in entry.given["alpha_gamma_beta"]]
    return {"relative_error": [entry.expect["relative_error"][0] * error / errors[0] for error in errors]}


def _error_s_per_day(arc_rad: float, after: float, before: float) -> float:
    """At the torque that gives the arc: what the drops leave of it keeps up the swing, and amplitude goes with its root."""
    arc = math.degrees(arc_rad)
    part = DeadBeat.model_validate(
        {
            "kind": "dead_beat", "arbor": "escape", "teeth": 30, "radius_mm": 20.0, "span": 9.5, "friction": 0.0,
            "impulse_deg": arc * (after + before), "lock_deg": arc * (after - before), "reach_deg": 1.3 * arc,
        }
    )  # fmt: skip
    action = part.action()
    inertia, speed = 5.0, math.pi
    terms = Terms(inertia, inertia * speed**2, 0.0, inertia * speed / QUALITY, 2.0)
    torque_nmm, error = 1000 * terms.loss_j(arc_rad) / (action.pitch_rad - 2 * part.drop_rad), math.nan
    for _ in range(2):
        running = solve(terms, course(action, crutch()), torque_nmm)
        if isinstance(running, Running):
            torque_nmm *= (arc_rad / running.amplitude_rad) ** 2
            error = running.escapement_s_per_day
    return error
