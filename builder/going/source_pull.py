"""What the source pulls its arbor to one side with, besides turning it: cord, chain, or the pillar of an open spring.

A weight hangs straight down from its drum. The chain of a fusee pulls along its own line to the barrel, whose place is not in the
file: it is taken where it is drawn. The outer end of an open spring is looped over its pillar and free to turn there, so that the
pillar holds it with one force across the line to the arbor, and the arbor is pushed with the same. Neglected: that a going
barrel's spring, held by one hook, also pushes its barrel to one side, and that an open spring's coils rub on each other.
"""

from __future__ import annotations

import cmath
import math

import numpy as np

from builder.going.plan import Plan
from builder.going.source_heights import barrel_place
from builder.going.train import Train
from builder.movement.model import Movement
from builder.parts.source.chained import line_normal
from builder.parts.source.fusee import Fusee
from builder.parts.source.open_spring import OpenSpring
from builder.parts.source.weight import Weight


def source_pull(movement: Movement, train: Train, plan: Plan, torque_nmm: float, turns_left: float) -> complex:
    """Force on the source's arbor, N, x + iy in the plan's frame, while it gives that torque; 0 where nothing pulls aside."""
    source = movement.source
    sense = train[source.arbor].sense
    if isinstance(source, Weight):
        return complex(0.0, -source.pull_n) if source.pull_n is not None else 0j
    if isinstance(source, OpenSpring) and source.pillar_distance_mm is not None:
        across = cmath.rect(1.0, math.radians(source.pillar_deg + 90 * sense))
        return torque_nmm / source.pillar_distance_mm * across
    if isinstance(source, Fusee) and source.chained is not None and (place := barrel_place(movement, plan)) is not None:
        state = source.chained.line_state(min(turns_left, source.chained.cone.turns))
        along = np.array(place) - np.array(plan.centres[source.arbor])
        normal = line_normal(sense, along, state.fusee_radius_mm, state.barrel_radius_mm)
        return torque_nmm / state.fusee_radius_mm * complex(*normal) * 1j * sense
    return 0j
