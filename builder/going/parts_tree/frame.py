"""The frame: what holds everything at its place."""

from __future__ import annotations

from builder.going.going import Going
from builder.going.parts_tree.node import Node, features, group, part
from builder.parts.oscillator.balance import Balance
from builder.parts.oscillator.pendulum import Pendulum


def frame(going: Going) -> Node:
    """Plates, pillars and what is screwed to them; plates alone where the file gives none."""
    front = part("front-plate", None, *features("front-plate", "holes", "sinks"), material="brass")
    back = part("back-plate", None, *features("back-plate", "holes", "sinks"), material="brass")
    pillars = part("pillars", None, *features("pillars", "pillar_shoulders"), material="brass")
    pins = part("pillar-pins", "plate-screws" if going.movement.movement.sort == "watch" else None, material="steel")
    plates = part("plates", None, front, back, pillars, pins)
    made = going.movement.oscillator
    if isinstance(made, Pendulum):
        return group("frame", plates, _cock("back-cock", "suspension_slot"))
    if isinstance(made, Balance):
        if behind(going):
            return group("frame", plates, _cock("balance-cock"))
        screws = [
            part(name, None, *features(name, "cup", "lock_nut"), material="steel") for name in ("balance-screw", "balance-cup")
        ]
        return group("frame", plates, *screws)
    return group("frame", plates)


def _cock(name: str, *more: str) -> Node:
    """A cock with what fastens it."""
    return part(name, None, *features(name, "cock_screws", "steady_pins", "cock_hole", *more), material="brass")


def behind(going: Going) -> bool:
    """Whether the balance swings behind the back plate, under a cock."""
    spans = going.elevation.spans
    return spans["balance"].high_mm < 0 if "balance" in spans else going.movement.movement.sort == "watch"
