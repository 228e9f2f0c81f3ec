"""Made-up escapements in closed form, and the beat of each solved a second time, in time, by scipy's integrator."""

from math import cos, sin, sqrt

import numpy as np
from numpy.polynomial import Chebyshev
from scipy.integrate import solve_ivp

from builder.parts.escapement.action import Action, Drop, PalletReport, Piece, Swing

REPORT = PalletReport(1.0, 2.0, 1.0, 0.0, 0.0, 0.0)


def piece(pallet, surface, start, end, wheel, gain, degree=12):
    """A piece of which wheel angle and gain are given as functions of theta."""
    domain = sorted((start, end))
    phi = Chebyshev.interpolate(wheel, degree, domain=domain)
    return Piece(pallet, surface, start, end, phi, phi.deriv(), Chebyshev.interpolate(gain, degree, domain=domain))


def made_up(before, after, slope, drop, friction, reach, efficiency=1.0, draw=0.0, curve=0.0):
    """An escapement with impulse from `before` the middle to `after` it (rad), mirrored for the other swing.

    `slope` is the wheel's angle per pallet angle on the impulse face, bent by `curve`; `drop` a wheel angle; the locked
    pallet rubs with `friction` (torque part) and is drawn in with slope `draw`.
    """

    def impulse(theta):
        return slope * (theta + before) + curve * (theta + before) ** 2

    def locked(theta, edge):  # wheel pushed back while locked parts are entered less deep
        return draw * (theta - edge)

    top = float(impulse(after)) + drop
    pitch = 2.0 * (top + draw * (before - after))
    one = np.ones_like

    def half(pallets, sign, base):
        """One swing in sign * theta, starting where the locking edge lies at -before."""
        first, second = pallets

        def gain_locked(theta):
            return sign * (-friction - draw) * one(theta)

        def gain_left(theta):
            return sign * (-friction + draw) * one(theta)

        return (
            piece(first, "locking", -sign * reach, -sign * before, lambda t: base - locked(sign * t, -before), gain_locked),
            piece(
                first,
                "impulse",
                -sign * before,
                sign * after,
                lambda t: base + impulse(sign * t),
                lambda t: sign * efficiency * (slope + 2.0 * curve * (sign * t + before)),
            ),
            piece(second, "locking", sign * after, sign * reach, lambda t: base + top + locked(sign * t, after), gain_left),
        )

    up = Swing(half(("exit", "entry"), 1.0, 0.0), (Drop(after, "exit", "entry", top - drop, top),))
    second = top + draw * (before - after)
    down = Swing(half(("entry", "exit"), -1.0, second), (Drop(-after, "entry", "exit", second + top - drop, second + top),))
    return Action(up, down, pitch, reach, REPORT, REPORT)


def fork_law(k):
    """(theta, slope) of fork and pin: tan theta = k sin q / (1 - k cos q)."""
    return (
        lambda q: np.arctan2(k * np.sin(q), 1.0 - k * np.cos(q)),
        lambda q: k * (np.cos(q) - k) / (1.0 - 2.0 * k * np.cos(q) + k * k),
    )


def run_in_time(terms, action, coupling, torque_nm, start, periods=1, rtol=1e-12):
    """Periods of the equation of motion with a massless wheel, from rest at oscillator angle -`start`.

    Returns (amplitudes at each low turn, times of the low turns, times of the drops).
    """
    drops, lows, times, t, state = [], [start], [0.0], 0.0, np.array([-start, 0.0])

    def rhs(gain):
        def f(_, y):
            x = y[0] + terms.out_of_beat_rad
            torque = 0.0
            if gain is not None:
                torque = torque_nm * gain(float(coupling.theta(np.array([x]))[0])) * float(coupling.slope(np.array([x]))[0])
            right = terms.gravity_nm * sin(y[0]) + terms.stiffness_nm * y[0]
            return [y[1], (torque - right - terms.loss_nms * y[1]) / terms.inertia_kg_m2]

        return f

    for _ in range(periods):
        for swing, sign in ((action.up, 1.0), (action.down, -1.0)):
            stops = []
            low, high = (coupling.from_rad, coupling.to_rad) if sign > 0 else (coupling.to_rad, coupling.from_rad)
            if abs(low) < np.inf:
                stops.append((low, None, False))
            for part in swing.pieces:
                cut = abs(high) < np.inf and sign * part.end_rad > sign * float(coupling.theta(np.array([high]))[0])
                end = high if cut else coupling.x_at(part.end_rad)
                drop = any(abs(d.at_rad - part.end_rad) < 1e-12 for d in swing.drops)
                stops.append((end, part.gain, drop))
            if abs(high) < np.inf:
                stops.append((sign * 100.0, None, False))
            for stop, gain, drop in stops:
                if sign * (state[0] + terms.out_of_beat_rad - stop) > -1e-15:
                    continue

                def reach(_, y, stop=stop):
                    return y[0] + terms.out_of_beat_rad - stop

                def turn(_, y):
                    return y[1]

                reach.terminal = turn.terminal = True
                turn.direction = -sign
                step = 0.02 * terms.small_period_s
                done = solve_ivp(
                    rhs(gain), (t, t + 5 * terms.small_period_s), state, "DOP853", events=[reach, turn], rtol=rtol,
                    atol=1e-16, max_step=step, first_step=1e-3 * step,
                )  # fmt: skip
                t, state = float(done.t[-1]), done.y[:, -1]
                if len(done.t_events[1]) and len(done.t_events[0]) == 0:
                    state[1] = 0.0
                    break
                if drop:
                    drops.append(t)
        lows.append(-float(state[0]))
        times.append(t)
    return lows, times, drops


def steady_in_time(terms, action, coupling, torque_nm, guess):
    """(amplitude at the low turn, period, drop times) of the steady beat, by secant on whole periods in time."""

    def gained(a):
        lows, times, drops = run_in_time(terms, action, coupling, torque_nm, a)
        return terms.energy_j(lows[1]) - terms.energy_j(a), times[1], drops

    a, b = guess, guess * 1.01
    fa, fb = gained(a)[0], gained(b)[0]
    for _ in range(12):
        a, b, fa = b, b - fb * (b - a) / (fb - fa), fb
        fb, period, drops = gained(b)
        if abs(b - a) < 1e-12 * abs(b):
            break
    return b, period, drops


__all__ = ["cos", "fork_law", "made_up", "piece", "run_in_time", "sqrt", "steady_in_time"]
