"""The table beside the oscillator's drawing speaks of what the movement has."""

from __future__ import annotations

import pytest

from builder.drawing.diagrams import oscillator
from tests.solved import demo, wording


@pytest.mark.parametrize(("slug", "through"), [("hall_clock", "crutch"), ("pocket_watch", "lever")])
def test_pallets_are_told_by_what_lies_beyond_them(slug: str, through: str) -> None:
    """A pendulum's pallets never lie still, and no lever is named where there is none."""
    plate = oscillator.draw(demo(slug), wording())
    assert plate is not None
    does = {row.part: str(row.cells["happens"]) for row in plate.rows}
    told = f"{does['pallets']} {does['escape-wheel']}"
    assert ("lever" in told) == ("still" in told) == (through == "lever")
    assert ("pendulum" in told) == (through == "crutch")
