"""The beat solved a second time, in time, by scipy's integrator with events: nothing is shared with builder/going."""

from math import sin

import numpy as np
from scipy.integrate import solve_ivp


def run_in_time(terms, action, coupling, torque_nm, start, periods=1, rtol=1e-12, trace=None):
    """Periods of the equation of motion with a massless wheel, from rest at oscillator angle -`start`.

    Returns (amplitudes at each low turn, times of the low turns, times of the drops); `trace`, a list, is given the steps
    as (times, oscillator angles).
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
                if trace is not None:
                    trace.append((done.t, done.y[0]))
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


def run_heavy(terms, action, torque_nm, wheel_kg_m2, start, rtol=1e-11):
    """One period with a heavy wheel and a crutch, from rest at oscillator angle -`start`, wheel on its pallet.

    Returns (amplitude at the next low turn, period, [(time, what)]). In contact the wheel's angle is the pallets'; off it,
    it is a body of its own; the knock at each meeting is solved as two equations for speed and blow.
    """
    t, q, w, events = 0.0, -start, 0.0, []
    flight = None

    def right(q, w):
        return -terms.gravity_nm * sin(q) - terms.stiffness_nm * q - terms.loss_nms * w

    def pushed(part, q, w):
        """(angular acceleration of the oscillator, of the wheel) in contact."""
        s, g, curl = float(part.slope(q)), float(part.gain(q)), float(part.slope.deriv()(q))
        a = (right(q, w) + g * (torque_nm - wheel_kg_m2 * curl * w * w)) / (terms.inertia_kg_m2 + g * wheel_kg_m2 * s)
        return a, s * a + curl * w * w

    def knock(part, q, w, wheel_speed):
        s, g = float(part.slope(q)), float(part.gain(q))
        matrix = np.array([[terms.inertia_kg_m2, -g], [wheel_kg_m2 * s, 1.0]])
        return float(np.linalg.solve(matrix, [terms.inertia_kg_m2 * w, wheel_kg_m2 * wheel_speed])[0])

    for swing, sign in ((action.up, 1.0), (action.down, -1.0)):
        parts = [p for p in swing.pieces if sign * p.end_rad > sign * (q + terms.out_of_beat_rad)]
        assert terms.out_of_beat_rad == 0.0
        index = 0
        while True:
            part = parts[index]

            def reach(_, y, part=part):
                return y[0] - part.end_rad

            def turn(_, y):
                return y[1]

            def lifted(_, y, part=part):
                return torque_nm - wheel_kg_m2 * pushed(part, y[0], y[1])[1]

            def met(_, y, part=part):
                return float(part.wheel_rad(y[0])) - y[2]

            reach.terminal = turn.terminal = lifted.terminal = met.terminal = True
            turn.direction, lifted.direction, met.direction = -sign, -1.0, -1.0
            options = {"method": "DOP853", "rtol": rtol, "atol": 1e-15, "max_step": 0.02 * terms.small_period_s}
            if flight is None:
                done = solve_ivp(
                    lambda _, y, part=part: [y[1], pushed(part, y[0], y[1])[0]],
                    (t, t + terms.small_period_s), [q, w], events=[reach, turn, lifted], **options,
                )  # fmt: skip
            else:
                done = solve_ivp(
                    lambda _, y: [y[1], right(y[0], y[1]) / terms.inertia_kg_m2, y[3], torque_nm / wheel_kg_m2],
                    (t, t + terms.small_period_s), [q, w, *flight], events=[reach, turn, met], **options,
                )  # fmt: skip
                flight = tuple(done.y[2:, -1])
            t, q, w = float(done.t[-1]), float(done.y[0, -1]), float(done.y[1, -1])
            what = [len(found) > 0 for found in done.t_events]
            if what[2] and flight is not None:
                w = knock(part, q, w, flight[1])
                flight = None
                events.append((t, "met"))
            elif what[2]:
                flight = (float(part.wheel_rad(q)), float(part.slope(q)) * w)
            elif what[1]:
                assert flight is None
                w = 0.0
                break
            else:
                assert what[0]
                speed = float(part.slope(q)) * w
                index += 1
                if any(abs(d.at_rad - part.end_rad) < 1e-12 for d in swing.drops):
                    events.append((t, "let off"))
                    if flight is None:
                        flight = (float(part.wheel_rad(q)), speed)
                elif flight is None:
                    wanted = float(parts[index].slope(q)) * w
                    if wanted > speed:
                        flight = (float(part.wheel_rad(q)), speed)
                    elif wanted < speed:
                        w = knock(parts[index], q, w, speed)
    return -q, t, events
