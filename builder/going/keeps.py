"""Whether the oscillator suits the movement at all: asked of every movement, also where no beat can be solved."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from builder.going.train import Train
from builder.ground.faults import Complaint, Refused
from builder.movement.model import Movement
from builder.parts.escapement import Working
from builder.parts.oscillator.counted import Counted


def keeps(movement: Movement, train: Train) -> None:
    """Nothing, where the oscillator goes with the escapement and can keep the train's beat. Raises Refused."""
    escapement, oscillator = movement.escapement, movement.oscillator
    if isinstance(oscillator, Counted):
        return
    if isinstance(escapement, Working) and oscillator.kind != escapement.beats_with:
        advice = f"The escapement {escapement.kind} beats with a {escapement.beats_with}: change one of the two."
        raise Refused([Complaint(("oscillator", "kind"), oscillator.kind, escapement.beats_with, advice)])
    with of_the_oscillator():
        oscillator.terms(float(train.beats_per_hour))


@contextmanager
def of_the_oscillator() -> Iterator[None]:
    """What the oscillator refuses, under its key in the file."""
    try:
        yield
    except Refused as refused:
        raise Refused([Complaint(("oscillator", *c.key), c.value, c.allowed, c.advice) for c in refused.complaints]) from None
