"""The train in force: torque on every arbor, what each mesh and each pair of pivots takes, what reaches the escape wheel.

Means over the going of the train. Each arbor: the torque that it receives less pivot friction is what its wheel passes on;
the mesh passes on its efficiency's part of it (true contact of the actual tooth form, parts/teeth/contact.py). Pivots are
pressed by the vector sum of the tooth forces on the arbor, and on the first by what the source pulls to one side; since
friction changes the forces that cause it, each arbor is a fixed point.

Neglected: weight of wheels and arbors; that two pivots share the load unevenly and in different directions (their sum is
never less than the vector sum); the push of the pallets on the escape wheel's pivots; end-shake friction on shoulders; oil
drag that grows with speed. Ripple within a pitch is averaged.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from builder.going.plan import Plan
from builder.going.sizes import Sized
from builder.going.source_pull import source_pull
from builder.going.train import Train
from builder.movement.model import Movement
from builder.parts.finding.condition import SOUND, Condition
from builder.parts.teeth import contact
from builder.parts.teeth.contact import MeshContact
from builder.parts.teeth.gear import GearPair

UW_PER_NMM_TURN_PER_HOUR = 2 * math.pi / 3600 * 1000
"""1 N·mm at one turn an hour, µW."""


@dataclass(frozen=True)
class MeshFlow:
    """One mesh of the power path."""

    driver: str
    driven: str
    torque_in_nmm: float
    torque_out_nmm: float
    efficiency: float
    force_n: float
    """Mean tooth force."""
    loss_uw: float
    """Rubbed away between the teeth: Σ μ N |sliding speed|, worked out apart from the torques."""
    least_part: float
    """Torque passed on at the worst place of a pitch, as a part of the mean; 0 where there is none."""


@dataclass(frozen=True)
class ArborFlow:
    """One arbor of the power path."""

    arbor: str
    torque_nmm: float
    """Received, before its pivots take their part."""
    power_uw: float
    pivot_load_n: float
    pivot_torque_nmm: float
    pivot_loss_uw: float


@dataclass(frozen=True)
class PowerFlow:
    """From the source to the escape wheel at one state of winding."""

    turns_left: float
    arbors: tuple[ArborFlow, ...]
    meshes: tuple[MeshFlow, ...]
    escape_torque_nmm: float
    """On the escape wheel, pivots paid for."""
    escape_uw: float

    @property
    def source_torque_nmm(self) -> float:
        return self.arbors[0].torque_nmm

    @property
    def source_uw(self) -> float:
        return self.arbors[0].power_uw

    @property
    def efficiency(self) -> float:
        """Of the whole train, source to escape wheel."""
        return self.escape_uw / self.source_uw if self.source_uw else 0.0

    @property
    def unaccounted_uw(self) -> float:
        """What the terms leave over; 0 but for the accuracy of the contact solution."""
        lost = sum(m.loss_uw for m in self.meshes) + sum(a.pivot_loss_uw for a in self.arbors)
        return self.source_uw - lost - self.escape_uw


def mesh_contact(gears: GearPair, friction: float, too_far_mm: float = 0.0) -> MeshContact:
    """The true contact of a pair."""
    return contact.solve(gears, friction, too_far_mm)


def power(
    movement: Movement,
    train: Train,
    plan: Plan,
    source_torque_nmm: float,
    turns_left: float,
    condition: Condition = SOUND,
) -> PowerFlow:
    """Follow a torque on the source's arbor up to the escape wheel. The condition tells of friction; what it changes of the
    meshes is in the plan already (worn.py)."""
    friction = movement.friction
    by_driven = {one.pair.driven: one for one in plan.sized if one.pair in train.path_pairs}
    arbors: list[ArborFlow] = []
    meshes: list[MeshFlow] = []
    torque, pushed = source_torque_nmm, source_pull(movement, train, plan, source_torque_nmm, turns_left)
    for index, name in enumerate(train.path):
        after = train.path[index + 1] if index + 1 < len(train.path) else None
        teeth = friction.teeth * condition.teeth_friction.get(name, 1.0)
        out = _force_per_torque(plan, train, by_driven[after], teeth) if after else 0j
        arm_mm = friction.pivots * condition.pivot_friction.get(name, 1.0) * pivot_radius_mm(movement, plan, name)
        pivot_torque, load = _pivots(torque, pushed, out, arm_mm)
        turns = float(abs(train[name].turns_per_hour))
        arbors.append(
            ArborFlow(
                name,
                torque,
                torque * turns * UW_PER_NMM_TURN_PER_HOUR,
                load,
                pivot_torque,
                arm_mm * load * turns * UW_PER_NMM_TURN_PER_HOUR,
            )
        )
        passed = torque - pivot_torque
        if after is None:
            break
        one = by_driven[after]
        seen = mesh_contact(one.gears, teeth, one.too_far_mm)
        received = passed * seen.efficiency / float(one.pair.ratio)
        rubbed = float(seen.weight @ seen.rubbing) * passed * turns * UW_PER_NMM_TURN_PER_HOUR
        meshes.append(MeshFlow(name, after, passed, received, seen.efficiency, abs(out) * passed, rubbed, _least(seen, one)))
        torque, pushed = received, out * passed
    escape_turns = float(abs(train[train.path[-1]].turns_per_hour))
    return PowerFlow(turns_left, tuple(arbors), tuple(meshes), passed, passed * escape_turns * UW_PER_NMM_TURN_PER_HOUR)


def _force_per_torque(plan: Plan, train: Train, one: Sized, friction: float) -> complex:
    """Force on the driven arbor, N for 1 N·mm on the driver, in the plan's frame."""
    seen = mesh_contact(one.gears, friction, one.too_far_mm)
    return seen.force_on_driven(plan.line_rad(one), not train[one.pair.driver].clockwise)


def _least(seen: MeshContact, one: Sized) -> float:
    """The least torque of a mesh over a pitch, by the mean."""
    return max(0.0, float(seen.torque_ratio.min()) * float(one.pair.ratio) / seen.efficiency) if seen.efficiency > 0 else 0.0


def _pivots(torque_nmm: float, pushed_n: complex, out_per_torque: complex, arm_mm: float) -> tuple[float, float]:
    """(friction torque, load) of an arbor's pivots: the load is what pushes it less what it pushes on the next arbor.

    Fixed point: less friction, more torque passed on, another load. It contracts since arm × force per torque is far
    below 1.
    """
    taken = 0.0
    load = abs(pushed_n - out_per_torque * torque_nmm)
    for _ in range(100):
        before, taken = taken, min(torque_nmm, arm_mm * load)
        load = abs(pushed_n - out_per_torque * (torque_nmm - taken))
        if abs(taken - before) <= 1e-15 * torque_nmm:
            break
    return taken, load


def pivot_radius_mm(movement: Movement, plan: Plan, arbor: str) -> float:
    """Radius of the pivots: measured, or 0.42 of the arbor's (an estimate; common practice, no source)."""
    diameter = movement.arbor(arbor).pivot_diameter_mm
    return diameter / 2 if diameter is not None else 0.42 * plan.arbor_mm[arbor]
