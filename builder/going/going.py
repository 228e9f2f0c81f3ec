"""Everything computed of one movement, bundled: what every drawing and page reads and nothing adds to."""

from __future__ import annotations

from dataclasses import dataclass

from builder.going.motion import Motion, nominal
from builder.going.plan import Plan, plan
from builder.going.train import Train, train
from builder.ground.faults import Finding
from builder.movement.model import Movement


@dataclass(frozen=True)
class Going:
    """One movement, running."""

    slug: str
    movement: Movement
    train: Train
    plan: Plan
    motion: Motion

    @property
    def name(self) -> str:
        return self.movement.movement.name

    @property
    def findings(self) -> tuple[Finding, ...]:
        return self.train.findings + self.plan.findings


def going(slug: str, movement: Movement) -> Going:
    """Solve a movement. Raises Refused with what cannot be."""
    solved = train(movement)
    return Going(slug, movement, solved, plan(movement, solved), nominal(solved))
