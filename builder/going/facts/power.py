"""Power, torque and forces in every state of winding: on each arbor, through each mesh, in each pair of pivots; the budget."""

from __future__ import annotations

from builder.going.beat import Winding
from builder.going.budget import Budget, Term, budget
from builder.going.facts.fact import Fact, Inputs, quantity
from builder.going.going import Going
from builder.going.power import pivot_radius_mm
from builder.ground import words


def state_key(name: str) -> str:
    """A state of winding as it stands in a key: 'half_wound'."""
    return name.replace(" ", "_")


def power(going: Going) -> list[Fact]:
    """What no state changes, then each state; nothing where no beat is solved."""
    if going.beat is None:
        return []
    found = [*_meshes(going), *_pivots(going)]
    for winding in going.windings:
        found += [*_arbors(going, winding), *_forces(going, winding), *_budget(going, winding)]
    return found


def _meshes(going: Going) -> list[Fact]:
    """Efficiencies: the same in every state, since friction goes with the force."""
    found = []
    friction = words.figure(going.movement.friction.teeth, 2)
    for mesh in going.windings[0].power.meshes:
        pair = next(p for p in going.train.path_pairs if (p.driver, p.driven) == (mesh.driver, mesh.driven))
        inputs = (
            ("friction", friction),
            ("driver_count", str(pair.driver_count)),
            ("driven_count", str(pair.driven_count)),
        )
        text = words.figure(100 * mesh.efficiency, 4)
        key = f"mesh.{mesh.driver}.{mesh.driven}.efficiency"
        found.append(
            Fact(
                key, "forces", "mesh_efficiency", _between(going, mesh.driver, mesh.driven), mesh.efficiency, "",
                f"{text}{words.THIN}%", inputs,
            )
        )  # fmt: skip
    return found


def _pivots(going: Going) -> list[Fact]:
    found = []
    for name in going.train.path:
        radius = pivot_radius_mm(going.movement, going.plan, name)
        given = going.movement.arbor(name).pivot_diameter_mm is not None
        kind = "pivot_radius_measured" if given else "pivot_radius_estimated"
        inputs: Inputs = () if given else (("arbor_radius", quantity(going.plan.arbor_mm[name], "mm", 3)),)
        title = going.train[name].title
        found.append(Fact(f"arbor.{name}.pivot_radius_mm", "forces", kind, title, radius, "mm", words.figure(radius, 3), inputs))
    return found


def _arbors(going: Going, winding: Winding) -> list[Fact]:
    """Torque and power on every arbor of the power path, as received, and on the escape wheel."""
    state, start = winding.name, f"power.{state_key(winding.name)}"
    flow, train = winding.power, going.train
    found = []
    for n, arbor in enumerate(flow.arbors):
        title = train[arbor.arbor].title
        turns = words.whole_and_part(abs(train[arbor.arbor].turns_per_hour))
        torque = words.figure(arbor.torque_nmm, 4)
        inputs: Inputs = (("turns_left", words.figure(flow.turns_left, 3)),)
        if n:
            mesh = flow.meshes[n - 1]
            inputs = (
                ("torque_passed", quantity(mesh.torque_in_nmm, "N·mm")),
                ("ratio", words.whole_and_part(train.path_pairs[n - 1].ratio)),
                ("efficiency", f"{words.figure(100 * mesh.efficiency, 4)}{words.THIN}%"),
            )
        kind = "arbor_torque" if n else "source_torque"
        power_inputs = (("torque", quantity(arbor.torque_nmm, "N·mm")), ("turns_per_hour", turns))
        found += [
            Fact(f"{start}.{arbor.arbor}.torque_nmm", "power", kind, title, arbor.torque_nmm, "N·mm", torque, inputs, state),
            Fact(
                f"{start}.{arbor.arbor}.uw", "power", "arbor_power", title, arbor.power_uw, "µW",
                words.figure(arbor.power_uw, 4), power_inputs, state,
            ),
        ]  # fmt: skip
    last = flow.arbors[-1]
    inputs = (
        ("torque", quantity(last.torque_nmm, "N·mm")),
        ("pivot_torque", quantity(last.pivot_torque_nmm, "N·mm", 3)),
    )
    title = train[train.path[-1]].title
    whole = (("power_out", quantity(flow.escape_uw, "µW")), ("power_in", quantity(flow.source_uw, "µW")))
    found += [
        Fact(
            f"{start}.escape_torque_nmm", "power", "escape_torque", title, flow.escape_torque_nmm, "N·mm",
            words.figure(flow.escape_torque_nmm, 4), inputs, state,
        ),
        Fact(
            f"{start}.train_efficiency", "power", "train_efficiency", _between(going, train.path[0], train.path[-1]),
            flow.efficiency, "", f"{100 * flow.efficiency:.1f}{words.THIN}%", whole, state,
        ),
    ]  # fmt: skip
    return found


def _forces(going: Going, winding: Winding) -> list[Fact]:
    """Mean tooth force of every mesh, load and friction of every pair of pivots."""
    state, flow = winding.name, winding.power
    found = []
    for mesh in flow.meshes:
        inputs: Inputs = (("torque_passed", quantity(mesh.torque_in_nmm, "N·mm")),)
        found.append(
            Fact(
                f"mesh.{mesh.driver}.{mesh.driven}.{state_key(state)}.force_n", "forces", "tooth_force",
                _between(going, mesh.driver, mesh.driven), mesh.force_n, "N", words.figure(mesh.force_n, 3), inputs, state,
            )
        )  # fmt: skip
    for arbor in flow.arbors:
        start, title = f"arbor.{arbor.arbor}.{state_key(state)}", going.train[arbor.arbor].title
        load = words.figure(arbor.pivot_load_n, 3)
        radius = pivot_radius_mm(going.movement, going.plan, arbor.arbor)
        inputs = (
            ("pivot_load", quantity(arbor.pivot_load_n, "N", 3)),
            ("friction", words.figure(going.movement.friction.pivots, 2)),
            ("pivot_radius", quantity(radius, "mm", 3)),
        )
        found += [
            Fact(f"{start}.pivot_load_n", "forces", "pivot_load", title, arbor.pivot_load_n, "N", load, (), state),
            Fact(
                f"{start}.pivot_torque_nmm", "forces", "pivot_torque", title, arbor.pivot_torque_nmm, "N·mm",
                words.figure(arbor.pivot_torque_nmm, 3), inputs, state,
            ),
        ]  # fmt: skip
    return found


def _budget(going: Going, winding: Winding) -> list[Fact]:
    """Every term in µW and J a day, and what they leave over."""
    state, start = winding.name, f"budget.{state_key(winding.name)}"
    shown = budget(going.train, winding)
    found = []
    for term in shown.terms:
        key = f"{start}.{term.key.replace('-', '_')}"
        subject = _between(going, *term.arbors) if len(term.arbors) == 2 else _one(going, term.arbors)
        share = term.uw / shown.source_uw if shown.source_uw else 0.0
        inputs = (*_spent(going, winding, term), ("share", f"{100 * share:.2f}{words.THIN}%"))
        kind = f"spent_{term.cost}"
        uw = words.figure(term.uw, 4)
        found += [
            Fact(f"{key}_uw", "budget", kind, subject, term.uw, "µW", uw, inputs, state),
            Fact(
                f"{key}_joules_a_day", "budget", f"day_{term.cost}", subject, term.joules_a_day, "J",
                words.figure(term.joules_a_day, 3), (("power", quantity(term.uw, "µW")),), state,
            ),
        ]  # fmt: skip
    if shown.runs:
        found += _closing(going, shown, start, state)
    return found


def _spent(going: Going, winding: Winding, term: Term) -> Inputs:
    """What a term was worked out from."""
    flow, friction = winding.power, going.movement.friction
    if term.cost == "pivots":
        arbor = next(each for each in flow.arbors if each.arbor == term.arbors[0])
        radius = pivot_radius_mm(going.movement, going.plan, arbor.arbor)
        return (
            ("friction", words.figure(friction.pivots, 2)),
            ("pivot_load", quantity(arbor.pivot_load_n, "N", 3)),
            ("pivot_radius", quantity(radius, "mm", 3)),
            ("turns_per_hour", words.whole_and_part(abs(going.train[arbor.arbor].turns_per_hour))),
        )
    if term.cost == "teeth":
        mesh = next(each for each in flow.meshes if (each.driver, each.driven) == term.arbors)
        return (("friction", words.figure(friction.teeth, 2)), ("tooth_force", quantity(mesh.force_n, "N", 3)))
    period_s = float(2 * going.train.beat_s)
    return (("energy_spent", quantity(term.uw * period_s, "µJ")), ("period", quantity(period_s, "s", 3)))


def _closing(going: Going, shown: Budget, start: str, state: str) -> list[Fact]:
    """What reaches the oscillator, and what is not accounted for."""
    source = quantity(shown.source_uw, "µW")
    inputs = (("power_out", quantity(shown.of("oscillator"), "µW")), ("power_in", source))
    left = shown.unaccounted_uw
    return [
        Fact(
            f"{start}.reaches", "budget", "reaches", _cost(going), shown.reaches, "", f"{100 * shown.reaches:.1f}{words.THIN}%",
            inputs, state,
        ),
        Fact(
            f"{start}.unaccounted_uw", "budget", "unaccounted", "", left, "µW", f"{abs(left):.6f}",
            (("power_in", source),), state,
        ),
    ]  # fmt: skip


def _between(going: Going, driver: str, driven: str) -> str:
    return f"{going.train[driver].title} – {going.train[driven].title}"


def _one(going: Going, arbors: tuple[str, ...]) -> str:
    return going.train[arbors[0]].title if arbors else ""


def _cost(going: Going) -> str:
    """The escapement has no arbor of its own: its wheel's."""
    return going.train[going.train.path[-1]].title
