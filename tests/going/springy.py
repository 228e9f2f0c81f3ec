"""A period of the whole beat a second time, with nothing knocked: wheel and pallets meet on a stiff, well damped spring.

Wheel, lever and oscillator are bodies of their own, integrated in time by scipy's LSODA and DOP853; the wheel flies, meets, is
left behind and catches up as the spring has it. As the spring grows stiff it goes over into blows without bounce. Of ours only
the laws of contact are used (`Stretch.touch`), which other tests hold to geometry.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from scipy.integrate import solve_ivp

from builder.going.course import Stretch, Touch
from builder.going.steady import Running

STIFF_PER_RAD = {"pendulum": 2e3, "balance": 2e4}
"""Torque of the contact's spring a radian, by the torque of the train: ten times more changes nothing that a test asks for."""


def _touch(stretch: Stretch, x: float) -> Touch:
    low, high = sorted((stretch.start, stretch.end))
    return stretch.touch(np.array([x if stretch.free else min(max(x, low), high)]))


def one_period(running: Running, torque_part: float = 1.0) -> tuple[float, float, float]:
    """(amplitude on the rising side, on the falling side a period later, period) from rest on the falling side, rad and s."""
    works, terms, joint = running.works, running.works.terms, running.works.course.coupling
    inertia, rest, lever = terms.inertia_kg_m2, terms.out_of_beat_rad, joint.inertia_kg_m2
    pull, wheel = works.torque_nm * torque_part, works.wheel_kg_m2
    stiff = STIFF_PER_RAD["pendulum" if terms.gravity_nm else "balance"] * works.torque_nm
    damped = 2.0 * math.sqrt(stiff * wheel)

    def rights(x: float, v: float) -> float:
        return -terms.gravity_nm * math.sin(x - rest) - terms.stiffness_nm * (x - rest) - terms.loss_nms * v

    def free(_: float, y: Any) -> list[float]:
        return [y[1], rights(y[0], y[1]) / inertia]

    x, v, t, turned = rest - running.low_rad, 0.0, 0.0, []
    phi, speed, before = math.nan, 0.0, True
    for stretches, sign in ((works.course.up, 1.0), (works.course.down, -1.0)):
        for stretch in stretches:
            if sign * (stretch.end - x) <= 0.0:
                continue

            def joined(_: float, y: Any, stretch: Stretch = stretch) -> list[float]:
                here = _touch(stretch, y[0])
                deep, faster = y[2] - here.phi[0], y[3] - here.wheel[0] * y[1]
                press = max(0.0, stiff * deep + damped * faster) if deep > 0.0 else 0.0
                curl = lever * here.lever[0] * here.lever_bend[0] * y[1] ** 2
                push = rights(y[0], y[1]) - curl + here.gain[0] * press
                return [y[1], push / (inertia + lever * here.lever[0] ** 2), y[3], (pull - press) / wheel]

            def ends(_: float, y: Any, end: float = stretch.end, sign: float = sign) -> float:
                return sign * (y[0] - end) if math.isfinite(end) else -1.0

            def turns(_: float, y: Any, sign: float = sign) -> float:
                return sign * float(y[1])

            ends.terminal = turns.terminal = True  # type: ignore[attr-defined]
            ends.direction, turns.direction = 1.0, -1.0  # type: ignore[attr-defined]
            if math.isnan(phi) or stretch.free:  # banked: the wheel stands where the lever holds it
                phi, speed = float(_touch(stretch, x).phi[0]), 0.0
            if before and not stretch.free:  # the pin takes the lever along: momentum is kept
                v *= inertia / (inertia + lever * float(_touch(stretch, x).lever[0]) ** 2)
            before = stretch.free
            start: list[float] = [x, v] if stretch.free else [x, v, phi, speed]
            how: dict[str, Any] = {"method": "DOP853", "rtol": 1e-10, "atol": 1e-13}
            if not stretch.free:
                how = {"method": "LSODA", "rtol": 1e-9, "atol": 1e-12, "max_step": 2e-4}
            solved = solve_ivp(free if stretch.free else joined, (t, t + 2.0), start, events=[ends, turns], **how)
            t, (x, v) = float(solved.t[-1]), solved.y[:2, -1]
            if not stretch.free:
                phi, speed = solved.y[2:, -1]
            if len(solved.t_events[1]):
                break
            x = stretch.end
        turned.append(x - rest)
        v = 0.0
    return turned[0], -turned[1], t
