"""What the ear hears of a solved beat: the instants at which something strikes something, in beat and out of beat.

When a noise comes is solved. How it sounds is made up: loudness and tone of a real movement depend on plates, case and table.
Neglected: the noise of rubbing, of the drop itself (a tooth that leaves is silent; it is heard where it lands), and the time
that sound takes.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees

from builder.going.beat import Winding
from builder.going.going import Going
from builder.going.steady import Running
from builder.lessons import changed

LOUDNESS = {"fork meets pin": 0.35, "unlocks": 0.25, "lets off": 0.12, "locks": 1.0, "lever banks": 0.5}
"""Events that are heard, the lock as 1: made up. The let-off stands for the edge that springs free."""

TONES = {"balance": (4200.0, 4.0), "pendulum": (1300.0, 14.0)}
"""(pitch Hz, time ms in which a knock dies down to 1/e): made up."""

Knock = tuple[float, float, str]
"""(part of the period at which it comes, loudness, pallet)."""


@dataclass(frozen=True)
class Heard:
    """One state of winding."""

    state: str
    knocks: tuple[Knock, ...]
    beats_ms: tuple[float, float]


@dataclass(frozen=True)
class Sound:
    """A movement's beat over all states in which it goes."""

    period_ms: float
    """As drawn: two beats of the train."""
    hz: float
    dies_ms: float
    in_beat: tuple[Heard, ...]
    out_of_beat: tuple[Heard, ...]
    """The same states with the oscillator's rest beside its place; none where it then stops at once."""
    angle_deg: float | None


def sound(going: Going) -> Sound | None:
    """None where no beat is solved, or it stops in every state."""
    running = [winding for winding in going.windings if isinstance(winding.beat, Running)]
    if not running:
        return None
    hz, dies_ms = TONES[going.movement.oscillator.kind]
    inside = tuple(_heard(winding.name, winding.beat) for winding in running if isinstance(winding.beat, Running))
    found = changed.plainly_out(running[-1])  # what the weakest state stands, the others do too
    outside = _crooked(running, found[0]) if found else ()
    angle = degrees(found[0]) if found else None
    return Sound(float(going.motion.period_ms), hz, dies_ms, inside, outside, angle)


def _crooked(running: list[Winding], angle_rad: float) -> tuple[Heard, ...]:
    """A weight's states are one, and solved once."""
    solved: dict[float, Heard] = {}
    made = []
    for winding in running:
        torque = winding.power.escape_torque_nmm
        if torque not in solved:
            beat = changed.out_of_beat(winding, angle_rad)
            if not isinstance(beat, Running):
                continue
            solved[torque] = _heard(winding.name, beat)
        made.append(Heard(winding.name, solved[torque].knocks, solved[torque].beats_ms))
    return tuple(made)


def _heard(state: str, beat: Running) -> Heard:
    knocks = tuple(
        (time_s / beat.period_s, LOUDNESS[what], pallet) for time_s, what, pallet in beat.events if what in LOUDNESS
    )  # fmt: skip
    one, other = beat.beats_s
    return Heard(state, knocks, (1e3 * one, 1e3 * other))
