"""Everything computed of one movement, bundled: what every drawing and page reads and nothing adds to."""

from __future__ import annotations

from dataclasses import dataclass, replace

from builder.going.beat import Beat, Winding, beat
from builder.going.heights import Elevation, elevation, storeyed
from builder.going.keeps import keeps
from builder.going.motion import Motion, nominal
from builder.going.periods import Reason
from builder.going.plan import Plan, plan
from builder.going.steady import Stopped
from builder.going.train import Train, train
from builder.ground import words
from builder.ground.faults import Finding
from builder.movement.model import Movement

Q_MEASURED = "q_factor where it was not (from how long the swing takes to halve; an estimate may be off threefold)"
MENDS: dict[Reason, str] = {
    "too little energy": f"If it goes in truth, measure {Q_MEASURED}, and the drive; else it wants more drive or less friction.",
    "swings too wide": f"If it goes in truth, measure {Q_MEASURED}, and reach_deg of the pallets; else it has too much drive.",
    "held by the pallets": "Measure draw and friction of the pallets again.",
    "does not unlock": "Measure the lock of the pallets again, and how far it is out of beat.",
    "no torque": "Measure what drives it, and what rubs.",
    "the train jams": "Look for what holds the train.",
}
"""What to look at again where it stops."""


@dataclass(frozen=True, eq=False)
class Going:
    """One movement, running."""

    slug: str
    movement: Movement
    train: Train
    plan: Plan
    motion: Motion
    """What drawings follow: the beat as solved when wound, or nominal stepping where none is solved."""
    beat: Beat | None
    """None where force, escapement or oscillator are only counted."""
    winding: Winding | None
    """The state of winding that `motion` belongs to."""
    elevation: Elevation
    """Every part at its height."""

    @property
    def windings(self) -> tuple[Winding, ...]:
        """The solved states of winding; none where there is no solved beat."""
        return self.beat.windings if self.beat else ()

    def at(self, winding: Winding) -> Going:
        """The same movement as it moves in another state of winding."""
        return replace(self, motion=winding.motion(self.train), winding=winding)

    @property
    def name(self) -> str:
        return self.movement.movement.name

    @property
    def findings(self) -> tuple[Finding, ...]:
        source = tuple(Finding(("source", *f.key), f.text) for f in self.movement.source.findings())
        return _assumed(self) + source + self.train.findings + self.plan.findings + self.elevation.findings

    @property
    def stops(self) -> tuple[Finding, ...]:
        """Why it does not go, or not from one end of a winding to the other: the pages show it where it stops."""
        why: dict[str, list[str]] = {}
        for state in self.windings:
            if isinstance(state.beat, Stopped):
                why.setdefault(f"{state.beat.text} {MENDS[state.beat.reason]}", []).append(state.name)
        return tuple(Finding(("oscillator",), f"{', '.join(names)}: it stops. {text}") for text, names in why.items())


def _assumed(solved: Going) -> tuple[Finding, ...]:
    """What stands in the file though nobody measured it."""
    named = []
    for name in solved.movement.movement.assumed:
        steps = name.split(".")
        if steps[0] == "arbors":
            named.append(f"size of {words.small(solved.train[steps[1]].title)} {steps[2]}")
        else:
            key = steps[1].removesuffix("_mm").removesuffix("_deg").replace("_", " ")
            named.append(f"{key} of the {steps[0].replace('_', ' ')}")
    if not named:
        return ()
    text = f"not measured, but assumed so that there is a drawing, with all that follows from it: {', '.join(named)}"
    return (Finding(("movement", "assumed"), text),)


def going(slug: str, movement: Movement) -> Going:
    """Solve a movement. Raises Refused with what cannot be."""
    solved = train(movement)
    keeps(movement, solved)
    laid = plan(movement, solved)
    raised = elevation(movement, solved, laid)
    laid = storeyed(laid, raised)
    beating = beat(movement, solved, laid)
    if beating is None:
        return Going(slug, movement, solved, laid, nominal(solved), None, None, raised)
    first = beating.windings[0]
    return Going(slug, movement, solved, laid, first.motion(solved), beating, first, raised)
