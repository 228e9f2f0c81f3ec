"""The scale of the winding: turns left from wound to run down, a pointer that goes with the clock, the named states."""

from __future__ import annotations

import math

from builder.drawing.path import number
from builder.drawing.sheet import Figure, Shape, Words
from builder.drawing.source.run import Run
from builder.drawing.source.views import Spot
from builder.going.going import Going
from builder.ground import words
from builder.ground.wording import Wording
from builder.parts.source.winding import states

TICK_PX = 10.0
MOST_TICKS = 50


def gauge(going: Going, run: Run, wording: Wording, x0: float, x1: float, y: float) -> list[Figure]:
    """From `x0` (wound) to `x1` (run down) on a line at `y`; turns left below it, the pointer above."""
    span = x1 - x0
    every = math.ceil(run.turns / MOST_TICKS)
    n = number
    ticks = "".join(f"M{n(x1 - span * k / run.turns, 1)} {n(y)}v{n(TICK_PX)}" for k in range(0, int(run.turns) + 1, every))
    rule = Figure(
        None, None,
        shapes=(Shape(f"M{n(x0, 1)} {n(y)}H{n(x1, 1)}", "outline"), Shape(ticks, "detail")),
        words=(
            Words(x0, y + 34, wording.say("drawings.winding.turns", turns=words.figure(run.turns, 3)), "label", "start"),
            Words(x1, y + 34, "0", "label", "end"),
        ),
    )  # fmt: skip
    named = [
        Figure(part, None, shapes=(Shape(f"M{n(x, 1)} {n(y - 14)}V{n(y + 14)}", "outline turning"),))
        for part, (x, _) in state_spots(run, x0, x1, y).items()
    ]
    if going.windings:
        named += [
            Figure(None, None, shapes=(Shape(f"M{n(x, 1)} {n(y - 14)}V{n(y + 14)}", "chosen"),), state=name)
            for name, (x, _) in zip((w.name for w in going.windings), state_spots(run, x0, x1, y).values(), strict=True)
        ]
    pointer = Shape(f"M{n(x0 - 8, 1)} {n(y - 23)}H{n(x0 + 8, 1)}L{n(x0, 1)} {n(y - 2)}z", "pointer")
    return [rule, *named, Figure(None, None, moves=(run.sliding(span, 0.0),), shapes=(pointer,))]


def state_part(name: str) -> str:
    """Id of a named state as a part to be marked."""
    return f"state-{name.replace(' ', '-')}"


def state_spots(run: Run, x0: float, x1: float, y: float) -> dict[str, Spot]:
    """Where the named states stand on the scale, wound first."""
    return {state_part(s.name): (x1 - (x1 - x0) * s.turns_left / run.turns, y) for s in states(run.turns)}
