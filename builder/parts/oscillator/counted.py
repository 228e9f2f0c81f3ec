"""An oscillator that is only counted: its beat is known or follows from the train, its form and losses are not."""

from __future__ import annotations

from typing import Literal

from builder.ground.part import Name, Part
from builder.parts.oscillator.pendulum import BeatsPerHour


class Counted(Part):
    """For files in which only counting was done: the train runs at the right rate, amplitude and losses stay unknown."""

    kind: Literal["counted"]
    name: Name
    """What it is: 'verge balance', 'pendulum, not measured'."""
    beats_per_hour: BeatsPerHour | None = None
    """Beats an hour. Left out: the hands decide."""
