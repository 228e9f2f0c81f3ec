"""What a period looks like at every moment: angles, torque on the oscillator, its energy, leg by leg of the solved swing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from builder.going.phase_plane import Array, Leg, Works
from builder.going.steady import Running


@dataclass(frozen=True)
class Stretch:
    """One smooth leg of the period; arrays (18,), the ends of neighbours in common but for what a knock changes at once."""

    times_s: Array
    """From the turn on the falling side."""
    oscillator_rad: Array
    """From its rest."""
    velocity_rad_s: Array
    acceleration_rad_s2: Array
    pallet_rad: Array
    wheel_rad: Array
    """Unwrapped, from 0 at the start of the period."""
    torque_nm: Array
    """What the escapement gives to the oscillator: the wheel's push by way of pallets, lever and pin, less what the lever's own
    motion takes. 0 while the oscillator is free; knocks last no time here and are not in it."""
    energy_j: Array
    """Of the oscillator, motion and height or spring together."""


def beat_curves(running: Running) -> tuple[Stretch, ...]:
    """The period from the turn on the falling side, in order of time."""
    legs = [(leg, 0.0) for leg in running.up.legs] + [(leg, running.up.time_s) for leg in running.down.legs]
    start = float(_wheel(legs[0][0])[0])
    return tuple(_stretch(running.works, leg, later, start) for leg, later in legs)


def _wheel(leg: Leg) -> Array:
    return leg.touch.phi if leg.flight is None else leg.flight.at(leg.t_s)


def _stretch(works: Works, leg: Leg, later_s: float, start_rad: float) -> Stretch:
    terms, touch = works.terms, leg.touch
    q = leg.x - terms.out_of_beat_rad
    acceleration = leg.sign * leg.energy_slope
    lever = works.course.coupling.inertia_kg_m2
    pushed = works.force(leg) * touch.gain if leg.flight is None else 0.0
    carried = lever * (touch.lever**2 * acceleration + touch.lever * touch.lever_bend * leg.speed**2)
    height = 2.0 * terms.gravity_nm * np.sin(q / 2.0) ** 2 + 0.5 * terms.stiffness_nm * q**2
    return Stretch(
        times_s=leg.t_s + later_s,
        oscillator_rad=q,
        velocity_rad_s=leg.sign * leg.speed,
        acceleration_rad_s2=acceleration,
        pallet_rad=touch.theta,
        wheel_rad=_wheel(leg) - start_rad,
        torque_nm=pushed - carried,
        energy_j=0.5 * terms.inertia_kg_m2 * leg.speed**2 + height,
    )
