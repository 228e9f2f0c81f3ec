"""Our steady beat beside scipy's integrator in one run: time and agreement, as ratios. Run by `make bench`; no test.

Both look for the amplitude at which a period gives back what it takes, wheel and lever without inertia (the equation that
both can solve), to the same accuracy: ours by the energy of one period in the phase plane, scipy's by integrating that
period in time (DOP853, rtol 1e-12) inside a secant on whole periods, started from within 1 per cent.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from builder.going.beat import coupling
from builder.going.course import course
from builder.going.going import going
from builder.going.steady import Running, solve
from builder.movement.model import Movement
from builder.movement.reading import read
from tests.going.in_time import steady_in_time

ROOT = Path(__file__).parents[2]


def best_s(run: Callable[[], Any], times: int) -> tuple[float, Any]:
    """Shortest processor time of some runs: what the machine can do, not what else it was doing."""
    found, took = None, math.inf
    for _ in range(times):
        start = time.process_time()
        found = run()
        took = min(took, time.process_time() - start)
    return took, found


def solver() -> dict[str, Any]:
    """Movement → ms of both, their ratio, and how far their amplitudes are apart."""
    rows = {}
    for file in sorted((ROOT / "models").glob("*/movement.toml")):
        movement = read(file, Movement, ROOT / "models")
        solved = going(file.parent.name, movement)
        beat = solved.beat
        if beat is None or not isinstance(beat.windings[0].beat, Running):
            continue
        action, joint = movement.escapement.action(), replace(coupling(movement, solved.plan), inertia_kg_m2=0.0)
        on, torque_nmm = course(action, joint), beat.windings[0].power.escape_torque_nmm
        ours_s, ours = best_s(lambda: solve.__wrapped__(beat.terms, on, torque_nmm), 5)  # noqa: B023  # worked anew each time
        assert isinstance(ours, Running)

        scipy_s, (theirs, *_) = best_s(
            lambda: steady_in_time(beat.terms, action, joint, torque_nmm * 1e-3, 1.01 * ours.low_rad),  # noqa: B023
            1,
        )
        rows[file.parent.name] = {
            "ours_ms": round(1e3 * ours_s, 1),
            "scipy_ms": round(1e3 * scipy_s),
            "scipy_to_ours": round(scipy_s / ours_s, 1),
            "amplitude_apart": float(f"{abs(theirs / ours.low_rad - 1):.1e}"),
        }
    return {"rows": rows}
