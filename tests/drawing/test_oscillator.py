"""The table beside the oscillator's drawing speaks of what the movement has."""

from __future__ import annotations

import math

import pytest

from builder.drawing.diagrams import beat_chart, oscillator
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


def test_no_figure_of_the_scale_stands_on_the_escape_wheel() -> None:
    """Its like on the other side is there, so that the scale can be read."""
    going = demo("pocket_watch")
    plate = oscillator.draw(going, wording())
    assert plate is not None and going.plan.draft is not None
    by_part = {figure.part: figure for figure in plate.sheet.figures if figure.part}
    wheel = by_part["escape-wheel"]
    scale = next(figure for figure in plate.sheet.each() if figure.classes == "scale")
    radius = going.plan.draft.tip_mm * oscillator.SIDE_PX / 2 / (going.movement.oscillator.diameter_mm / 2 * 1.62)  # type: ignore[union-attr]
    away = [math.hypot(scale.at[0] + each.x - wheel.at[0], scale.at[1] + each.y - wheel.at[1]) for each in scale.words]
    assert min(away) > radius
    assert {each.text for each in scale.words} == {f"{degree}°" for degree in range(0, 181, 30)}


def test_a_recoil_anchor_locks_nothing() -> None:
    """A tooth falls on its pallet; a lever's locks."""
    said = {}
    for slug in ("hall_clock", "pocket_watch"):
        plate = beat_chart.draw(demo(slug), wording())
        assert plate is not None
        said[slug] = " ".join(row.name for row in plate.rows)
    assert "locks" not in said["hall_clock"] and "tooth falls" in said["hall_clock"]
    assert "locks" in said["pocket_watch"]
