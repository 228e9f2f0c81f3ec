"""Drum, fusee, barrel and line in the plan of the train."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely.geometry import LineString, Point

from builder.build import TEMPLATES
from builder.drawing.diagrams import train_plan
from builder.drawing.path import View
from builder.drawing.sheet import Figure
from builder.drawing.source.in_plan import bodies, source_figures
from builder.ground.wording import Wording
from builder.parts.source.chained import line_normal
from builder.parts.source.fusee import Fusee
from tests.solved import changed, demo

WORDING = Wording.load(TEMPLATES / "wording" / "en")


@pytest.mark.parametrize("sense", [1, -1])
@pytest.mark.parametrize("way", [(40.0, 0.0), (-25.0, 30.0), (3.0, -55.0)])
def test_the_line_touches_both_circles_and_pulls_the_fusee_round(sense: int, way: tuple[float, float]) -> None:
    """Against shapely: it passes each centre at that radius, and its pull has the sense that is asked for."""
    along, fusee, drum = np.array(way), 11.5, 25.5
    normal = line_normal(sense, along, fusee, drum)
    touches = LineString([fusee * normal, along + drum * normal])
    assert Point(0, 0).distance(touches) == pytest.approx(fusee)
    assert Point(*along).distance(touches) == pytest.approx(drum)
    pull = along + drum * normal - fusee * normal
    assert np.sign(fusee * (normal[0] * pull[1] - normal[1] * pull[0])) == sense
    crossed = LineString([fusee * normal, along - drum * normal])  # negative control: a crossed line cuts into both
    assert Point(0, 0).distance(crossed) < 0.9 * fusee


def test_the_barrel_goes_as_fast_as_the_line_runs() -> None:
    """Rim speed of barrel and of cone are one, in every state of winding, and both turn the same way."""
    going = demo("schoolroom_dial")
    source = going.movement.source
    assert isinstance(source, Fusee)
    for state in going.windings:
        moved = {f.part: f for f in source_figures(going.at(state), WORDING, View(5.0)) if f.moves}
        degrees = float(moved["barrel"].moves[0].values[-1])
        per_hour = degrees / 360 / (moved["barrel"].moves[0].dur_ms / 3_600_000)
        line = source.line_state(state.turns_left)
        assert line is not None
        fusee = -float(going.train["great"].turns_per_hour)  # SVG turns clockwise
        assert per_hour * line.barrel_radius_mm == pytest.approx(fusee * line.fusee_radius_mm, rel=1e-7)


def test_one_line_a_state() -> None:
    """Each state of winding has its own line, higher up the cone as the spring fades."""
    going = demo("schoolroom_dial")
    lines = [f for f in source_figures(going, WORDING, View(5.0)) if f.part == "chain"]
    assert [line.state for line in lines] == [winding.name for winding in going.windings]
    assert len({line.shapes[0].d for line in lines}) == 3


def test_what_is_not_there_is_not_drawn() -> None:
    """A going barrel is a wheel already, a bare spring would hide its wheel, an unmeasured fusee is left out."""
    assert bodies(demo("pocket_watch")) == bodies(demo("shelf_timepiece")) == {}
    unmeasured = changed("schoolroom_dial", lambda data: data["source"].pop("barrel"))
    assert source_figures(unmeasured, WORDING, View(5.0)) == []
    assert train_plan.front(unmeasured, WORDING).rows[0].part == "great-wheel"


def test_the_line_lies_over_the_cone_from_its_small_end_only() -> None:
    """From the front one looks at the small end: the line is drawn after the cone; from behind the cone hides it."""
    going = demo("schoolroom_dial")

    def drawn(figures: tuple[Figure, ...]) -> list[str | None]:
        return [f.part for f in figures if f.part in ("fusee", "chain") and (f.moves or f.state)]

    assert drawn(train_plan.front(going, WORDING).sheet.figures) == ["fusee", "chain", "chain", "chain"]
    assert drawn(train_plan.back(going, WORDING).sheet.figures) == ["chain", "chain", "chain", "fusee"]


def test_drum_and_barrel_are_told_in_the_table() -> None:
    """The drum turns with its great wheel; the barrel's turns in a winding are the line's length by its own round."""
    first, second = train_plan.front(demo("hall_clock"), WORDING).rows[:2]
    assert (first.part, first.cells["turns"], first.cells["sense"]) == ("drum", second.cells["turns"], second.cells["sense"])
    going = demo("schoolroom_dial")
    source = going.movement.source
    assert isinstance(source, Fusee) and source.chained is not None
    turns = source.chained.cone.line_mm / (2 * math.pi * source.chained.drum_mm)
    barrel = train_plan.front(going, WORDING).rows[0]
    assert barrel.cells["turns"].startswith(f"{turns:.2f} ")
