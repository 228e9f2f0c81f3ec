"""Quality factors where none was measured: estimates, to be called so wherever they are shown."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import pi, sqrt

from builder.ground.constants import air_density_kg_m3, air_viscosity_pa_s

SUPPORT_Q = 15_000.0
"""What suspension, support and case leave of a good pendulum. From memory: with the air it makes the usual 10 000."""

BALANCE_Q = 200.0
"""A balance with its hairspring in its pivots. From memory: watches 100 to 300, box chronometers about 400."""


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
