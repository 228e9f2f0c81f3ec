"""Escapement and oscillator, by their kinds."""

from __future__ import annotations

from builder.going.going import Going
from builder.going.parts_tree.node import Drive, Node, features, group, part
from builder.parts.escapement import DetachedLever, Working
from builder.parts.oscillator.balance import Balance
from builder.parts.oscillator.counted import Counted
from builder.parts.oscillator.pendulum import Pendulum


def escapement(going: Going) -> Node:
    """Pallets with what carries them; the escape wheel stands in the train, on its arbor."""
    made = going.movement.escapement
    if not isinstance(made, Working):
        return group("escapement", part("pallets", "pallets-counted", title=getattr(made, "name", None), material="steel"))
    if made.kind == "cylinder":
        return group(
            "escapement", part("pallets", "cylinder", *features("pallets", "entry_lip", "exit_lip", "plugs"), material="steel")
        )
    faces = {"club_lever": ("entry_stone", "exit_stone"), "pin_lever": ("entry_pin", "exit_pin")}
    kinds = list(faces.get(made.kind, ("entry_pallet", "exit_pallet")))
    if isinstance(made, DetachedLever):
        kinds += ["fork", "horns", "guard", "bankings"]
    swings = isinstance(going.movement.oscillator, Pendulum)
    arbor = part("pallet-arbor", None, *features("pallet-arbor", "pivots", *(["collet"] if swings else [])), material="steel")
    parts = [part("pallets", f"pallets-{made.kind}", *features("pallets", *kinds), material="steel"), arbor]
    if swings:
        parts.append(part("crutch", None, *features("crutch", "crutch_foot"), material="steel"))
    return group("escapement", *parts)


def oscillator(going: Going) -> Node:
    """Pendulum or balance with what hangs or turns with it."""
    made = going.movement.oscillator
    if isinstance(made, Counted):
        return group("oscillator", part("counted-oscillator", title=made.name))
    return group("oscillator", *(_pendulum(made) if isinstance(made, Pendulum) else _balance(going, made)))


def _pendulum(made: Pendulum) -> list[Node]:
    bob = part("bob", None, *features("bob", "bob_passage"), material=made.bob.material)
    rod = part("pendulum-rod", None, *features("pendulum-rod", "rod_top", "rod_thread"), material=made.rod.material)
    whole = part("pendulum", None, rod, bob, part("rating-nut", material="brass"))
    material = made.suspension.material if made.suspension else "steel"
    return [part("suspension", None, *features("suspension", "strip", "chops", "suspension_pin"), material=material), whole]


def _balance(going: Going, made: Balance) -> list[Node]:
    inner = list(features("balance", "balance_rim"))
    if made.arms:
        inner.append(Node("balance-arms", "balance_arms", drawn=False, count=(made.arms, "arms")))
    if made.screws:
        inner.append(Node("balance-screws", "balance_screws", drawn=False, count=(made.screws.count, "screws")))
    balance = part("balance", None, *inner, material="brass")
    whole = [balance]
    staff = "cylinder-staff" if going.movement.escapement.kind == "cylinder" else None
    whole.append(part("balance-staff", staff, *features("balance-staff", "staff_pivots"), material="steel"))
    if isinstance(going.movement.escapement, DetachedLever):
        whole.append(part("roller", None, *features("roller", "impulse_pin", "safety_roller"), material="steel"))
    ends = features("hairspring", "hairspring_inner", "hairspring_outer")
    held = features("hairspring", "hairspring_collet", "collet_pin")
    whole += [part("hairspring", None, *held, *ends, material="steel")]
    whole.append(part("stud", None, *features("stud", "stud_pin"), material="steel"))
    if made.hairspring.regulator_mm:
        whole.append(part("regulator", None, *features("regulator", "regulator_pins", "regulator_pointer"), material="steel"))
    return whole


def drives(going: Going) -> list[Drive]:
    """From the escape wheel to what keeps the time."""
    made, escapement = going.movement.oscillator, going.movement.escapement
    found = [Drive("escape-wheel", "pallets", "impulse")]
    anchored = isinstance(escapement, Working) and escapement.kind != "cylinder"
    if anchored:
        found.append(Drive("pallets", "pallet-arbor", "arbor"))
    if isinstance(made, Counted):
        return [*found, Drive("pallets", "counted-oscillator", "impulse")]
    if isinstance(made, Pendulum):
        if not anchored:
            return [*found, Drive("pallets", "pendulum", "impulse")]
        return [*found, Drive("pallet-arbor", "crutch", "arbor"), Drive("crutch", "pendulum", "impulse")]
    if isinstance(escapement, DetachedLever):
        found += [Drive("pallets", "roller", "impulse"), Drive("roller", "balance-staff", "arbor")]
    else:
        found.append(Drive("pallets", "balance-staff", "arbor" if escapement.kind == "cylinder" else "impulse"))
    return [*found, Drive("balance-staff", "balance", "arbor"), Drive("balance-staff", "hairspring", "arbor")]
