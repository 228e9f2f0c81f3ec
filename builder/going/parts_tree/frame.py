"""The frame: what holds everything at its place."""

from __future__ import annotations

from builder.going.going import Going
from builder.going.parts_tree.node import Node, features, group, part
from builder.parts.oscillator.balance import Balance
from builder.parts.oscillator.pendulum import Pendulum


def frame(going: Going) -> Node:
    """Plates, pillars and what is screwed to them; plates alone where the file gives none."""
    front = part("front-plate", None, *features("front-plate", "holes"), material="brass")
    back = part("back-plate", None, *features("back-plate", "holes"), material="brass")
    plates = part("plates", None, front, back, part("pillars", material="brass"), part("pillar-pins", material="steel"))
    made = going.movement.oscillator
    if isinstance(made, Pendulum):
        return group("frame", plates, part("back-cock", material="brass"))
    if isinstance(made, Balance):
        if behind(going):
            return group("frame", plates, part("balance-cock", material="brass"))
        return group("frame", plates, part("balance-screw", material="steel"), part("balance-cup", material="steel"))
    return group("frame", plates)


def behind(going: Going) -> bool:
    """Whether the balance swings behind the back plate, under a cock."""
    spans = going.elevation.spans
    return spans["balance"].high_mm < 0 if "balance" in spans else going.movement.movement.sort == "watch"
