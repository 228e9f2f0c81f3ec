"""Weight and fusee in their drawings: fall, cord, pulley, chain and barrel against sums done here from the file's sizes."""

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import quad
from shapely import LineString, Point, Polygon

from builder.drawing.diagrams import winding
from builder.drawing.moves import WITHIN_PX
from builder.drawing.path import View
from builder.drawing.sheet import Sheet
from builder.drawing.source.chain import Chain
from builder.drawing.source.run import run
from tests.drawing.drawn import at_share, figures, moving, numbers
from tests.solved import demo, wording

CLOCKS = ("hall_clock", "shop_regulator")
INSTANTS = np.linspace(0.0, 1.0, 101)


def sheet_of(slug: str) -> Sheet:
    made = winding.draw(demo(slug), wording())
    assert made is not None
    return made.sheet


def due_fall_mm(slug: str, turns: float) -> float:
    """Turns × circumference / lines (common practice, no source), the cord pulling at its own middle."""
    source = demo(slug).movement.source
    return turns * math.pi * (source.drum_diameter_mm + source.cord_mm) / source.lines


@pytest.mark.parametrize("slug", CLOCKS)
def test_weight_falls_as_its_cord_runs_off(slug: str) -> None:
    """What the weight is drawn to sink is turns × circumference / lines at the scale of the rule beside it, evenly."""
    sheet = sheet_of(slug)
    sinks = moving(sheet, "weight", "translate")[0]
    rule = next(f for f, _ in figures(sheet) if any(w.text.endswith("mm") for w in f.words))
    top, bottom = numbers(rule.shapes[0].d)[1:3]
    turns = float(demo(slug).train.source_turns)
    said = float(rule.words[1].text.split("\u2009")[0].split()[0].replace("\u2009", ""))
    assert said == pytest.approx(due_fall_mm(slug, turns), rel=0.005)
    scale = (bottom - top) / due_fall_mm(slug, turns)
    for share in INSTANTS:
        assert at_share(sinks, float(share))[1] == pytest.approx(due_fall_mm(slug, turns * share) * scale, abs=WITHIN_PX)


@pytest.mark.parametrize("slug", CLOCKS)
def test_pulley_rolls_on_the_standing_line(slug: str) -> None:
    """The pulley turns by the fall over its own circumference, drawn as wide as the drum with its cord, and as the drum does."""
    source, sheet = demo(slug).movement.source, sheet_of(slug)
    turned = float(moving(sheet, "pulley", "rotate")[0].values[-1])
    drum = float(moving(sheet, "drum", "rotate")[0].values[-1])
    fall = due_fall_mm(slug, float(demo(slug).train.source_turns))
    assert abs(turned) / 360 == pytest.approx(fall / (math.pi * (source.drum_diameter_mm + source.cord_mm)), rel=1e-5)
    # down the same side: the drum lets the cord down where the pulley goes down with it
    assert turned * drum > 0


@pytest.mark.parametrize("slug", CLOCKS)
def test_turns_of_cord_on_the_drum(slug: str) -> None:
    """Seen from the side as many turns of cord are on the drum as are left, a cord's thickness apart or more."""
    going = demo(slug)
    cord = moving(sheet_of(slug), "cord", "d")[0]
    turns = float(going.train.source_turns)
    for left in range(int(turns), 0, -1):
        pieces = [numbers(piece).reshape(-1, 2).cumsum(axis=0) for piece in shaped(cord, 1 - left / turns)]
        thick = abs(pieces[0][0, 0] - pieces[0][-1, 0])
        along = np.sort([abs(float(piece[:, 0].mean())) for piece in pieces])
        on = along[along > thick / 2]  # the rest lies at the fastened end, under the flange
        assert len(on) == left
        assert np.diff(on).min(initial=np.inf) > thick - 0.3


def shaped(move, share: float) -> list[str]:
    """The `d` between key frames, cut into its closed pieces."""
    values = [f"{v:.3f}" for v in at_share(move, share)]
    counts = [len(numbers(piece)) for piece in move.values[0].split("z") if piece]
    cuts = np.cumsum([0, *counts])
    return [" ".join(values[a:b]) for a, b in pairwise(cuts)]


def chain() -> Chain:
    """The schoolroom dial's chain at 6 px/mm."""
    going = demo("schoolroom_dial")
    source = going.movement.source
    return Chain(source, source.chained, source.line, run(going), View(6.0), 62.0)


def test_chain_is_neither_gained_nor_lost() -> None:
    """What the cone has let go, integrated along its groove (scipy), is what the barrel has taken up, at every state."""
    made = chain()
    drum_mm = made.source.barrel.outside_mm / 2 + made.line.thickness_mm / 2
    for left in np.linspace(0.0, made.turns, 9):
        off = quad(lambda turn: 2 * math.pi * float(made.radius_mm(turn)), left, made.turns, epsabs=1e-9)[0]
        assert made.on_barrel(float(left)) * 2 * math.pi * drum_mm == pytest.approx(off, abs=1e-6)


def test_running_chain_touches_fusee_and_barrel() -> None:
    """The middle of the running chain is tangent to both circles, whatever is wound (shapely), within a tenth of a px."""
    made = chain()
    for left in np.linspace(0.0, made.turns, 7):
        band = numbers(made.running_d(float(left))).reshape(4, 2)
        middle = LineString([(band[0] + band[3]) / 2, (band[1] + band[2]) / 2])
        fusee, barrel = Point(0, 0), Point(made.side * made.apart_mm * 6, 0)
        assert middle.distance(fusee) == pytest.approx(float(made.radius_mm(left)) * 6, abs=0.1)
        assert middle.distance(barrel) == pytest.approx(made.chained.drum_mm * 6, abs=0.1)
        assert Polygon(band).area == pytest.approx(middle.length * made.line.thickness_mm * 6, rel=0.02)


def test_barrel_turns_as_the_chain_is_drawn() -> None:
    """Key frames keep the barrel's rim within a quarter of a px of the cone's law at a thousand instants; fewer would not."""
    made = chain()
    rim_px = made.source.barrel.outside_mm / 2 * 6
    move = made.barrel_turning(rim_px)

    def off_px(angle_deg: float, share: float) -> float:
        return abs(math.radians(angle_deg) - made.run.sense * -2 * math.pi * made.on_barrel(made.left(share))) * rim_px

    instants = np.linspace(0.0, 1.0, 1000)
    assert max(off_px(at_share(move, float(s))[0], float(s)) for s in instants) < WITHIN_PX
    assert max(off_px(s * float(move.values[-1]), float(s)) for s in instants) > 20 * WITHIN_PX


def test_chain_lies_on_the_barrel_where_the_fusee_let_it_go() -> None:
    """Fusee and barrel give the running chain the same height, so that it runs square to the arbors."""
    made = chain()
    on_barrel, on_fusee = made.on_barrel_wrap(), made.on_fusee_wrap()
    for left in np.linspace(0.0, made.turns, 9):
        foot = float(made.height_px(0.0))
        at_barrel = on_barrel.leaves_px(made.on_barrel(float(left)))
        assert at_barrel == pytest.approx(foot + on_fusee.leaves_px(float(left)), abs=0.1)


def test_schoolroom_dial_goes_as_its_maker_wants() -> None:
    """Eight days (8 × 24 h) on 16 turns, an even torque (3 %), and a swing of a common clock, 1.5° to 4° each way."""
    going = demo("schoolroom_dial")
    assert going.train.going_hours == 192 and going.train.beats_per_hour == 7200
    torque = going.movement.source.drive.torque_nmm(np.linspace(0.0, 16.0, 33))
    assert np.ptp(torque) < 0.03 * torque.mean()
    amplitude = np.degrees(going.beat.curves.amplitude_rad)
    assert amplitude.min() > 1.5 and amplitude.max() < 4
    assert going.movement.motion_work.reduction == 24
