"""The steady beat in time: what a drawing follows over one period."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from builder.going.at_once import Event
from builder.going.phase_plane import Array, Leg
from builder.going.steady import Running

AT_ONCE_S = 1e-10
"""Where the wheel's angle jumps (a wheel without inertia, let off), it does so within this time of the instant."""


@dataclass(frozen=True)
class Path:
    """One period from the turn on the falling side; K instants, strictly rising, every event among them."""

    times_s: Array
    """(K,) from 0 to the period."""
    oscillator_rad: Array
    """(K,) from the oscillator's rest."""
    pallet_rad: Array
    """(K,)"""
    wheel_rad: Array
    """(K,) unwrapped: it gains one pitch."""
    events: tuple[Event, ...]
    """(time s, what, pallet)."""


def path(running: Running, tolerance: float = 1e-3) -> Path:
    """The path of a steady beat, sampled so that straight lines between the instants err by less than `tolerance` times
    the amplitude (oscillator), the pallets' furthest angle (pallets) and the pitch (wheel).

    Inside a leg the solution itself is good to about 1e-9 of these; at its ends, which hold all events, to rounding.
    """
    scales = np.array([running.amplitude_rad, 1.0, running.works.course.action.pitch_rad])
    legs = [(leg, 0.0) for leg in running.up.legs] + [(leg, running.up.time_s) for leg in running.down.legs]
    scales[1] = max(float(np.abs(leg.touch.theta).max()) for leg, _ in legs)
    rest = running.works.terms.out_of_beat_rad
    times, rows = [np.zeros(1)], [_states(legs[0][0], np.zeros(1), rest)[1]]
    for leg, later in legs:
        t, states = _sampled(leg, rest, tolerance * scales)
        jump = abs(states[0, 2] - rows[-1][-1, 2])
        if jump > 1e-9 * scales[2]:
            before, at = rows[-1][-1:], float(times[-1][-1])
            times += [np.array([at + AT_ONCE_S])]
            rows += [np.column_stack([before[:, :2], states[:1, 2]])]
            times[-2] = np.insert(times[-2], len(times[-2]) - 1, at - AT_ONCE_S)
            rows[-2] = np.vstack([rows[-2][:-1], before, before])
        times.append(later + t[1:])
        rows.append(states[1:])
    onward = rows[0][0, 2] + running.works.course.action.pitch_rad
    if abs(rows[-1][-1, 2] - onward) > 1e-9 * scales[2]:  # put on its pallet at the very turn
        times[-1] = np.append(times[-1][:-1], [times[-1][-1] - AT_ONCE_S, times[-1][-1]])
        rows[-1] = np.vstack([rows[-1], [*rows[-1][-1, :2], onward]])
    t, q, theta, phi = np.concatenate(times), *np.vstack(rows).T
    kept = np.concatenate([[True], np.diff(t) > 0.0])
    return Path(t[kept], q[kept], theta[kept], phi[kept], running.events)


def _states(leg: Leg, v: Array, rest: float) -> tuple[Array, Array]:
    """Times (m,) and (m, 3) oscillator, pallets, wheel at some v."""
    x, t = leg.at(v)
    touch = leg.stretch.touch(x)
    phi = touch.phi if leg.flight is None else leg.flight.at(t)
    return t, np.column_stack([x - rest, touch.theta, phi])


def _sampled(leg: Leg, rest: float, allowed: Array) -> tuple[Array, Array]:
    """Even steps in v, halved until the middle of every step lies within `allowed` (3,) of the straight line."""
    steps = 1
    v = np.linspace(0.0, 1.0, 2 * steps + 1)
    t, states = _states(leg, v, rest)
    t[0], t[-1] = leg.t_s[0], leg.t_s[-1]
    while steps < 4096:
        share = ((t[1::2] - t[:-1:2]) / np.maximum(t[2::2] - t[:-1:2], 1e-300))[:, None]
        straight = states[:-1:2] + share * (states[2::2] - states[:-1:2])
        if np.all(np.abs(states[1::2] - straight) <= allowed):
            break
        steps *= 2
        v = np.linspace(0.0, 1.0, 2 * steps + 1)
        t, states = _states(leg, v, rest)
        t[0], t[-1] = leg.t_s[0], leg.t_s[-1]
    return t[::2], states[::2]
