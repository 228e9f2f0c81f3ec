"""Figures of nature and of materials, each with where it comes from: nothing here was measured by this project."""

from __future__ import annotations

from dataclasses import dataclass
from math import radians, sin
from typing import Literal

SECONDS_PER_DAY = 86_400.0

GRAVITY_STANDARD_M_S2 = 9.80665
"""Standard acceleration of free fall: 3rd General Conference on Weights and Measures, 1901 (exact by definition)."""

FREE_AIR_GRADIENT_PER_S2 = 3.086e-6
"""Fall of gravity with height in free air, m/s² a metre: the usual gravimetric figure 0.3086 mGal/m (from memory)."""

AIR_GAS_CONSTANT_J_KG_K = 287.05
"""Specific gas constant of dry air: International Standard Atmosphere, ISO 2533:1975 (287.05287)."""

AIR_PRESSURE_PA = 101_325.0
"""Standard atmosphere: ISO 2533:1975."""

ROOM_C = 20.0
"""The temperature at which the dimensions of a model hold: the usual reference of length measurement, ISO 1:2022."""


def gravity_m_s2(latitude_deg: float, height_m: float = 0.0) -> float:
    """Acceleration of free fall, m/s², at a latitude (deg) and a height above the sea (m).

    Series of the Geodetic Reference System 1980 (H. Moritz, Bulletin géodésique 54, 1980), good to 1e-7 m/s² on the
    ellipsoid, and the free-air gradient. Neglected: the rock between sea and place and local anomalies, together seldom
    more than 1e-3 m/s² (4 s a day for a pendulum).
    """
    s2 = sin(radians(latitude_deg)) ** 2
    at_sea = 9.7803267715 * (1 + s2 * (0.0052790414 + s2 * (0.0000232718 + s2 * (0.0000001262 + s2 * 0.0000000007))))
    return at_sea - FREE_AIR_GRADIENT_PER_S2 * height_m


def air_density_kg_m3(temperature_c: float = ROOM_C, pressure_pa: float = AIR_PRESSURE_PA) -> float:
    """Density of dry air as an ideal gas, kg/m³ (1.204 at 20 °C). Neglected: damp, which makes it up to 1 % lighter."""
    return pressure_pa / (AIR_GAS_CONSTANT_J_KG_K * (temperature_c + 273.15))


def air_viscosity_pa_s(temperature_c: float = ROOM_C) -> float:
    """Viscosity of air, Pa·s: Sutherland's law with the figures of ISO 2533:1975 (1.8e-5 at 20 °C)."""
    kelvin = temperature_c + 273.15
    return 1.458e-6 * kelvin**1.5 / (kelvin + 110.4)


MaterialName = Literal[
    "steel", "iron", "cast_iron", "brass", "copper", "bronze", "nickel_silver", "silver", "gold", "lead", "zinc", "aluminium",
    "mercury", "invar", "elinvar", "wood", "glass", "fused_quartz", "ruby",
]  # fmt: skip
"""Materials that a model may name."""


@dataclass(frozen=True)
class Material:
    """What the sums need to know of a material, at room temperature."""

    density_kg_m3: float
    expansion_per_k: float
    """Linear expansion; for mercury a third of the expansion in bulk."""
    young_pa: float | None
    """Modulus of elasticity; None where no spring or strip is made of it."""
    young_per_k: float | None
    """Relative change of the modulus a kelvin; None where it is not known well enough to use."""
    source: str


_BECKETT = "E. Beckett, A Rudimentary Treatise on Clocks, Watches, and Bells, 8th ed., London 1903, p. 53"
_HANDBOOK = "from memory: engineering handbooks, usual order"

MATERIALS: dict[MaterialName, Material] = {
    "steel": Material(
        7850, 11.5e-6, 206e9, -240e-6,
        f"expansion {_BECKETT}; density and modulus {_HANDBOOK}; loss of modulus from memory, and it gives the loss of Berthoud "
        "and Dent (Beckett p. 305), 10 s a day a °C with a brass balance",
    ),
    "iron": Material(7750, 12.6e-6, 200e9, None, f"{_BECKETT}; modulus {_HANDBOOK}"),
    "cast_iron": Material(7200, 11.9e-6, 110e9, None, f"{_BECKETT}; modulus {_HANDBOOK}"),
    "brass": Material(8500, 19.0e-6, 100e9, -400e-6, _HANDBOOK),
    "copper": Material(8860, 19.1e-6, 120e9, None, f"{_BECKETT}; modulus {_HANDBOOK}"),
    "bronze": Material(8800, 18.0e-6, 110e9, -400e-6, _HANDBOOK),
    "nickel_silver": Material(8700, 17.0e-6, 125e9, None, _HANDBOOK),
    "silver": Material(10_500, 20.7e-6, 80e9, None, f"{_BECKETT}; modulus {_HANDBOOK}"),
    "gold": Material(15_500, 14.5e-6, 80e9, None, f"{_HANDBOOK}, for the 18 carat gold of balance screws"),
    "lead": Material(11_350, 29.7e-6, None, None, _BECKETT),
    "zinc": Material(7000, 28.8e-6, 95e9, None, f"{_BECKETT}, the effective figure for compensations; modulus {_HANDBOOK}"),
    "aluminium": Material(2700, 23.0e-6, 70e9, None, _HANDBOOK),
    "mercury": Material(13_560, 60.0e-6, None, None, f"{_BECKETT}, a third of the expansion in bulk"),
    "invar": Material(8100, 1.21e-6, 145e9, None, f"expansion: a users' paper on fused-quartz pendulums; the rest {_HANDBOOK}"),
    "elinvar": Material(8000, 8.0e-6, 175e9, 10e-6, f"{_HANDBOOK}; the modulus is made to suit a brass or bronze balance"),
    "wood": Material(500, 4.1e-6, 11e9, None, f"deal, along the grain: {_BECKETT}; density and modulus {_HANDBOOK}"),
    "glass": Material(2500, 8.6e-6, 70e9, None, f"expansion {_BECKETT}; the rest {_HANDBOOK}"),
    "fused_quartz": Material(2200, 0.55e-6, 72e9, None, _HANDBOOK),
    "ruby": Material(4000, 5.5e-6, 400e9, None, _HANDBOOK),
}  # fmt: skip
"""Each material with its figures and their source. Neglected: alloy and temper, which shift most figures by some per cent."""
