"""Our steady beat beside scipy's integrator in one run: time and agreement, as ratios; and what a movement costs from its file.

Run by `make bench`; no test.

Both look for the amplitude at which a period gives back what it takes, wheel and lever without inertia (the equation that
both can solve), to the same accuracy: ours by the energy of one period in the phase plane, scipy's by integrating that
period in time (DOP853, rtol 1e-12) inside a secant on whole periods, started from within 1 per cent.
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from builder.going.beat import coupling, windings, workings
from builder.going.course import course
from builder.going.going import going
from builder.going.plan import plan
from builder.going.steady import Running, solve
from builder.going.train import train
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


def forgotten() -> None:
    """What the builder has worked out once is worked out again."""
    for name, module in list(sys.modules.items()):
        if name.startswith("builder."):
            for value in vars(module).values():
                if callable(forget := getattr(value, "cache_clear", None)):
                    forget()


def from_file_s(file: Path) -> tuple[float, float]:
    """Seconds of one core for an escapement with its oscillator, drafted and solved whole in one state, and for a movement's
    train, plan, teeth, escapement and oscillator, and its beat in three states of winding."""
    whole, three = math.inf, math.inf
    for _ in range(3):
        forgotten()
        movement = read(file, Movement, ROOT / "models")
        start = time.process_time()
        counted = train(movement)
        works = workings(movement, counted, plan(movement, counted))
        assert works is not None
        states = windings(works)
        three = min(three, time.process_time() - start)
        assert len(states) == 3
        forgotten()
        escapement = read(file, Movement, ROOT / "models").escapement
        joint = coupling(movement, plan(movement, counted))
        start = time.process_time()
        on = course(escapement.action(), joint)
        assert isinstance(solve(works.terms, on, states[0].power.escape_torque_nmm, works.wheel_kg_m2), Running)
        whole = min(whole, time.process_time() - start)
    return whole, three


def solver() -> dict[str, Any]:
    """Movement → ms of both, their ratio, what it costs from its file, and how far their amplitudes are apart."""
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
        whole_s, three_s = from_file_s(file)
        rows[file.parent.name] = {
            "ours_ms": round(1e3 * ours_s, 1),
            "scipy_ms": round(1e3 * scipy_s),
            "scipy_to_ours": round(scipy_s / ours_s, 1),
            "escapement_whole_ms": round(1e3 * whole_s),
            "three_states_ms": round(1e3 * three_s),
            "amplitude_apart": float(f"{abs(theirs / ours.low_rad - 1):.1e}"),
        }
    return {"rows": rows}
