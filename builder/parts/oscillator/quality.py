"""Quality factors where none was measured: estimates, to be called so wherever they are shown."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import pi, sqrt

from builder.ground.constants import air_density_kg_m3, air_viscosity_pa_s

SUPPORT_Q = 5_000.0
"""What suspension, support and case leave of a pendulum: between a clock on its seat board and a regulator on a wall.

From memory: an eight-day clock whose five kilograms fall a metre and a half swings a four-kilogram bob some two and a half
degrees each way, which its drive allows at about 3000; a regulator comes to 10 000.
"""

PENDULUM_Q_FACTOR = 3.0
"""A pendulum's estimate may be off by so many times, either way."""

BALANCE_Q = 200.0
"""A balance with its hairspring in its pivots: the middle of what watches have. From memory: box chronometers about 400.

No law of sizes is better. The shear of the air on both faces and the edge of a rim, and dry friction of pivots under the
balance's weight, give a pocket watch some 500 and a box chronometer over 1000, since the air between balance and plates, the
drag of arms and screws, oil, and inner friction of the spring are left out; none of these is known from what is measured at
the bench.
"""

BALANCE_Q_RANGE = (100.0, 300.0)
"""What wristwatches have: orologeria.com, Magazine 4, 'Q, Quality factor'; the trade gives the same."""


@dataclass(frozen=True)
class Surface:
    """A surface moved through air."""

    second_m4: float
    """Its area times the square of its distance from the axis, m⁴."""
    slip: float
    """Mean square of the air's slip over it, in squares of its own speed: 1 along a plate, 3/2 a sphere, 2 a cylinder."""


def pendulum_q(surfaces: Iterable[Surface], inertia_kg_m2: float, period_s: float, temperature_c: float) -> float:
    """Q of a pendulum: the air's shear eta v / delta on every surface, delta = sqrt(2 eta / (rho w)), and its support.

    Neglected: eddies at wide arcs, walls of the case, the air's entry between rod and bob. Within a factor of three; skin
    friction of air: G. G. Stokes, Cambridge Philosophical Transactions IX, 1851.
    """
    w = 2.0 * pi / period_s
    eta = air_viscosity_pa_s(temperature_c)
    layer_m = sqrt(2.0 * eta / (air_density_kg_m3(temperature_c) * w))
    loss_nms = sum(surface.slip * surface.second_m4 for surface in surfaces) * eta / layer_m
    return 1.0 / (loss_nms / (inertia_kg_m2 * w) + 1.0 / SUPPORT_Q)
