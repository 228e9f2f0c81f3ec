"""What is drawn of an escapement: the drawn teeth and pallets, moved by the drawn key frames."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from pathlib import Path

import numpy as np
import pytest
from shapely.affinity import rotate, translate
from shapely.geometry import Polygon

from builder.drawing.diagrams import escapement
from builder.drawing.escapement import escapement_figures
from builder.drawing.path import View
from builder.going.going import Going, going
from builder.ground.wording import Wording
from builder.movement.model import Movement
from builder.movement.reading import read

ROOT = Path(__file__).parents[2]
WORDING = Wording.load(ROOT / "templates" / "wording" / "en")
SOLVED = ["hall_clock", "shop_regulator", "pocket_watch"]
INSTANTS = 1000


@pytest.fixture(scope="module", params=SOLVED)
def running(request: pytest.FixtureRequest) -> Going:
    return going(request.param, read(ROOT / "models" / request.param / "movement.toml", Movement, ROOT / "models"))


def overlaps(running: Going, depth: float, times_s: Iterable[float], extra_deg: float = 0.0) -> Iterator[bool]:
    """Whether, as the drawing's own moves place them at each instant, the wheel is deeper in a pallet than that part of its
    radius: whether it still meets one when it is made thinner by that much all round."""
    draft, frame = running.plan.draft, running.plan.frame
    assert draft is not None
    view = View(10.0)
    wheel_figure, pallets_figure, *_ = escapement_figures(running, view)
    (wheel_move,), (pallet_move,) = wheel_figure.moves, pallets_figure.moves
    wheel = Polygon(view.px(frame.points(draft.wheel.outline_mm)))
    pallets = [Polygon(view.px(frame.points(drawn.outline_mm))) for drawn in draft.pallets]
    assert all(part.is_valid and part.area > 0 for part in (wheel, *pallets))
    thin = wheel.buffer(-depth * draft.tip_mm * 10.0)
    for t_s in times_s:
        turned = wheel_figure.turned_deg + float(wheel_move.at(t_s)) + extra_deg
        placed = translate(rotate(thin, turned, (0, 0)), *wheel_figure.at)
        swung = float(pallet_move.at(t_s))
        yield any(placed.intersects(translate(rotate(part, swung, (0, 0)), *pallets_figure.at)) for part in pallets)


def test_drawn_teeth_never_enter_the_drawn_pallets(running: Going) -> None:
    """At 1000 instants of a period, in what is drawn, no tooth is deeper in a pallet than 1e-4 of the wheel's radius."""
    period = float(running.motion.period_ms) / 1000
    times_s = (36480 + period * k / INSTANTS for k in range(INSTANTS))
    assert [k for k, met in enumerate(overlaps(running, 1e-4, times_s)) if met] == []


def test_the_overlap_would_be_seen(running: Going) -> None:
    """Negative control: with the wheel drawn 0.1° further on, some instant shows an overlap."""
    period = float(running.motion.period_ms) / 1000
    ahead = 0.1 * (1 if not running.train[running.train.path[-1]].clockwise else -1) * -1
    assert any(overlaps(running, 1e-4, (36480 + period * k / 50 for k in range(50)), ahead))


def test_key_frames_follow_the_solution(running: Going) -> None:
    """The drawn wheel stands within 0.25 px of the solved angle at every instant asked, over a whole day."""
    draft = running.plan.draft
    assert draft is not None
    view = View(300.0 / draft.tip_mm)
    figure = escapement_figures(running, view)[0]
    sense = -1 if running.train[running.train.path[-1]].clockwise else 1
    for t in np.linspace(0.0, 86400.0, 997):
        solved = math.degrees(running.motion.wheel_at(float(t)))
        drawn = -sense * float(figure.moves[0].at(float(t)))
        off = math.radians((drawn - solved + 180) % 360 - 180)
        assert abs(off) * 300.0 < 0.25, t


def test_every_state_of_winding_is_drawn(running: Going) -> None:
    """The strip names the phases of each state, and the moves are the same parts in each."""
    first = escapement.draw(running, WORDING)
    assert first is not None
    for winding in running.windings:
        other = escapement.draw(running.at(winding), WORDING)
        assert other is not None and other.sheet.moves().keys() == first.sheet.moves().keys()
