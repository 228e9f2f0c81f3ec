"""One winding on the clock's own time: wound at 12 o'clock, run down when it has gone as long as it can, then wound again."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from builder.drawing.path import View, number
from builder.drawing.sheet import Move
from builder.going.going import Going


@dataclass(frozen=True)
class Run:
    """The source's arbor turns evenly, so turns left and time go together; `share` is the part of the time that is over."""

    turns: float
    """Turns of the source's arbor in one winding."""
    ms: Fraction
    """How long it goes."""
    sense: int
    """+1 where that arbor turns counter-clockwise while it goes, seen from the front; else −1."""

    def left(self, share: float) -> float:
        """Turns left."""
        return self.turns * (1 - share)

    def move(self, what: str, values: tuple[str, ...], shares: tuple[float, ...], steps: bool = False) -> Move:
        """An animation over the whole winding."""
        return Move(what, values, shares, round(self.ms), steps=steps, exact_ms=self.ms)  # type: ignore[arg-type]

    def turning(self, view: View, turns: float | None = None) -> Move:
        """Even turning, as the source's arbor, or by so many turns (counter-clockwise positive) in the whole winding."""
        ccw = self.sense * self.turns if turns is None else turns
        return self.move("rotate", ("0", number(view.turn_deg(360 * ccw), 4)), (0.0, 1.0))

    def sliding(self, x: float, y: float) -> Move:
        """Even shifting by (x, y) px in the whole winding."""
        return self.move("translate", ("0 0", f"{number(x)} {number(y)}"), (0.0, 1.0))

    def seen(self, since: float, until: float) -> Move:
        """In sight from one share of the time to another; `until` 1 is the end."""
        cuts = [(0.0, "visible" if since <= 0 else "hidden")]
        cuts += [(share, shown) for share, shown in ((since, "visible"), (until, "hidden")) if 0 < share < 1]
        if len(cuts) == 1:
            cuts.append((0.5, cuts[0][1]))
        return self.move("visibility", tuple(shown for _, shown in cuts), tuple(share for share, _ in cuts), steps=True)


def run(going: Going) -> Run | None:
    """None where the file does not tell how long the movement goes."""
    hours = going.train.going_hours
    if hours is None or going.train.source_turns is None:
        return None
    return Run(float(going.train.source_turns), 3_600_000 * hours, going.train[going.train.path[0]].sense)


def turned_deg(view: View, ccw_rad: float) -> float:
    """A rest turn on this view."""
    return view.turn_deg(math.degrees(ccw_rad))
