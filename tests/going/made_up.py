"""Made-up escapements in closed form."""

import numpy as np
from numpy.polynomial import Chebyshev

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
