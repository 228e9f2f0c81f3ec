"""The train in force, against scipy's solver, frictionless gearing, and its own terms worked out apart."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import pi

import numpy as np
import pytest
from scipy.optimize import brentq, fsolve

from builder.going.facts.winding import winding as wound
from builder.going.going import Going
from builder.going.power import UW_PER_NMM_TURN_PER_HOUR, PowerFlow, mesh_contact, pivot_radius_mm, power
from builder.going.source_heights import barrel_place
from builder.going.source_pull import source_pull
from builder.movement.model import Friction, Movement
from tests.solved import DEMOS, demo

STATES = ("wound", "half wound", "nearly down")
G = 9.80665
"""Standard gravity (3rd CGPM, 1901)."""


def flow_of(going: Going, torque_nmm: float, **friction: float) -> PowerFlow:
    movement = going.movement.model_copy(update={"friction": Friction(**friction)}) if friction else going.movement
    return power(movement, going.train, going.plan, torque_nmm, 0.0)


def test_power_of_a_turning_arbor() -> None:
    """1 N·mm at one turn an hour is 2π × 10⁻³ N·m in 3600 s."""
    assert pytest.approx(2 * pi * 1e-3 / 3600 * 1e6, rel=1e-15) == UW_PER_NMM_TURN_PER_HOUR


@pytest.mark.parametrize("slug", DEMOS)
def test_without_friction_torque_falls_as_turns_rise(slug: str) -> None:
    """With no friction anywhere each arbor has the source's torque × its turns over the arbor's own, and no power is lost."""
    going = demo(slug)
    flow = flow_of(going, 100.0, teeth=0.0, pivots=0.0)
    first = going.train[going.train.path[0]].turns_per_hour
    for arbor in flow.arbors:
        ideal = 100.0 * float(abs(first / going.train[arbor.arbor].turns_per_hour))
        assert arbor.torque_nmm == pytest.approx(ideal, rel=1e-11)
        assert arbor.pivot_torque_nmm == arbor.pivot_loss_uw == 0.0
    assert flow.efficiency == pytest.approx(1.0, abs=1e-11)
    assert all(mesh.loss_uw == 0.0 for mesh in flow.meshes)


@pytest.mark.parametrize("slug", DEMOS)
def test_the_train_closes(slug: str) -> None:
    """Rubbing of teeth and pivots, each worked out from forces and speeds, make up what the torques lose, to 1e-9."""
    for winding in demo(slug).windings:
        assert abs(winding.power.unaccounted_uw) < 1e-9 * winding.power.source_uw


@pytest.mark.parametrize("slug", DEMOS)
def test_each_torque_is_what_the_one_before_passes_on(slug: str) -> None:
    """Received less pivots, by the ratio, by the mesh's efficiency; every arbor has less power than the one before."""
    going = demo(slug)
    flow = going.windings[0].power
    for pair, mesh, before, after in zip(going.train.path_pairs, flow.meshes, flow.arbors, flow.arbors[1:], strict=False):
        passed = before.torque_nmm - before.pivot_torque_nmm
        assert mesh.torque_in_nmm == pytest.approx(passed, rel=1e-15)
        assert after.torque_nmm == pytest.approx(passed * mesh.efficiency / float(pair.ratio), rel=1e-14)
        assert before.power_uw > after.power_uw > 0
        assert 0.85 < mesh.efficiency < 1


@pytest.mark.parametrize("slug", DEMOS)
def test_pivots_by_another_solver(slug: str) -> None:
    """Load and friction of each arbor from its equation put to scipy's fsolve: the same to 1e-9."""
    going = demo(slug)
    flow, movement = going.windings[0].power, going.movement
    by_driven = {one.pair.driven: one for one in going.plan.sized}
    pushed = source_pull(movement, going.train, going.plan, flow.source_torque_nmm, flow.turns_left)
    for n, arbor in enumerate(flow.arbors):
        out = 0j
        if n < len(flow.meshes):
            one = by_driven[flow.meshes[n].driven]
            seen = mesh_contact(one.gears, movement.friction.teeth)
            out = seen.force_on_driven(going.plan.line_rad(one), not going.train[arbor.arbor].clockwise)
        arm = movement.friction.pivots * pivot_radius_mm(movement, going.plan, arbor.arbor)

        def rest(taken: np.ndarray, out: complex = out, arm: float = arm, pushed: complex = pushed, n: int = n) -> np.ndarray:
            return taken - arm * np.abs(pushed - out * (flow.arbors[n].torque_nmm - taken))

        (taken,) = fsolve(rest, arm * abs(pushed), xtol=1e-14)
        assert arbor.pivot_torque_nmm == pytest.approx(taken, rel=1e-9, abs=1e-15)
        assert arbor.pivot_load_n == pytest.approx(taken / arm, rel=1e-9)
        pushed = out * (arbor.torque_nmm - taken)


def moment_nmm(at: complex, force: complex) -> float:
    return (at.conjugate() * force).imag


def test_a_weight_pulls_straight_down() -> None:
    """On one of two lines hangs half of it; a pulley passes on its part, and less then lies on the pivots too."""
    going = demo("hall_clock")
    source = going.movement.source
    eased = going.movement.model_copy(update={"source": source.model_copy(update={"pulley_efficiency": 0.9})})
    whole, less = (source_pull(each, going.train, going.plan, 1.0, 8.0) for each in (going.movement, eased))
    assert whole == pytest.approx(-1j * source.mass_kg * G / 2)  # type: ignore[union-attr, operator]
    assert less == pytest.approx(0.9 * whole)
    lost = {fact.key: fact for fact in wound(going_with(eased))}["winding.pulley_j"].value
    assert lost == pytest.approx(0.1 * source.stored.energy_j)  # type: ignore[union-attr]
    assert "winding.pulley_j" not in {fact.key for fact in wound(going)}


def going_with(movement: Movement) -> Going:
    return replace(demo("hall_clock"), movement=movement)


def test_a_pillar_holds_an_open_spring() -> None:
    """The spring as a free body: pillar and arbor push it with equal and opposite forces, whose couple is the torque that it
    gives the arbor, the way the arbor turns; nothing turns it at the pillar, so that the force lies across the line to it."""
    going = demo("shelf_timepiece")
    source, sense = going.movement.source, -1 if going.train["great"].clockwise else 1
    pillar = source.pillar_mm * np.exp(1j * np.radians(source.pillar_deg))  # type: ignore[union-attr]
    pull = source_pull(going.movement, going.train, going.plan, 300.0, 4.0)
    assert moment_nmm(pillar, pull) == pytest.approx(sense * 300.0)
    assert (pillar.conjugate() * pull).real == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("turns_left", [0.0, 8.0, 16.0])
def test_a_chain_pulls_along_itself(turns_left: float) -> None:
    """The line that touches fusee and barrel on one side, found by scipy from nothing but the two circles, is the pull's; its
    moment about the fusee is the torque, the way the fusee turns."""
    going = demo("schoolroom_dial")
    chained = going.movement.source.chained  # type: ignore[union-attr]
    state, place = chained.line_state(turns_left), barrel_place(going.movement, going.plan)
    assert place is not None
    fusee, sense = complex(*going.plan.centres["great"]), -1 if going.train["great"].clockwise else 1
    pull = source_pull(going.movement, going.train, going.plan, 500.0, turns_left)
    along = complex(*place) - fusee

    def missed(turn: float) -> float:  # how far a line that touches the fusee at this slope passes the barrel's rim
        normal = -1j * sense * np.exp(1j * turn)
        return float(state.fusee_radius_mm - (normal.conjugate() * along).real - state.barrel_radius_mm)

    middle = float(np.angle(along))
    turn = brentq(missed, middle - 1.2, middle + 1.2, xtol=1e-14)
    assert pull / abs(pull) == pytest.approx(np.exp(1j * turn), abs=1e-9)
    assert abs(pull) * state.fusee_radius_mm == pytest.approx(500.0)
    touched = state.fusee_radius_mm * -1j * sense * np.exp(1j * turn)
    assert moment_nmm(touched, pull) == pytest.approx(sense * 500.0)


@pytest.mark.parametrize("slug", DEMOS)
def test_more_torque_gives_more(slug: str) -> None:
    """Torque on the escape wheel rises with the source's; more friction leaves less of it."""
    going = demo(slug)
    wound = going.windings[0].power.source_torque_nmm
    rising = [flow_of(going, part * wound).escape_torque_nmm for part in (0.25, 0.5, 0.75, 1.0, 1.25)]
    assert all(a < b for a, b in pairwise(rising))
    falling = [flow_of(going, wound, teeth=mu, pivots=mu).efficiency for mu in (0.0, 0.05, 0.1, 0.2, 0.3)]
    assert all(a > b for a, b in pairwise(falling))


def test_a_weight_that_cannot_turn_its_own_pivots_passes_nothing_on() -> None:
    """Pivots take all of a torque that is less than their friction, and never more than all of it."""
    going = demo("hall_clock")
    flow = flow_of(going, 1e-3)
    assert flow.arbors[0].pivot_torque_nmm == 1e-3
    assert flow.escape_torque_nmm == 0.0


@pytest.mark.parametrize("slug", ["pocket_watch", "shelf_timepiece"])
def test_a_spring_fades(slug: str) -> None:
    """Every arbor has less torque half wound than wound, and less again nearly down."""
    going = demo(slug)
    assert tuple(winding.name for winding in going.windings) == STATES
    for arbors in zip(*(winding.power.arbors for winding in going.windings), strict=True):
        torques = [arbor.torque_nmm for arbor in arbors]
        assert torques[0] > torques[1] > torques[2] > 0


@pytest.mark.parametrize("slug", ["hall_clock", "shop_regulator"])
def test_a_weight_does_not(slug: str) -> None:
    """All states of winding are one under a weight."""
    flows = [replace(winding.power, turns_left=0.0) for winding in demo(slug).windings]
    assert flows[0] == flows[1] == flows[2]
