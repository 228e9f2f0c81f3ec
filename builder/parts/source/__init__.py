"""Sources of power: what drives the train, one file a kind."""

from __future__ import annotations

from builder.parts.source.fusee import Fusee
from builder.parts.source.going_barrel import GoingBarrel
from builder.parts.source.open_spring import OpenSpring
from builder.parts.source.weight import Weight

Source = OpenSpring | GoingBarrel | Fusee | Weight

SOURCES: dict[str, type[Source]] = {
    "open_spring": OpenSpring,
    "going_barrel": GoingBarrel,
    "fusee": Fusee,
    "weight": Weight,
}
