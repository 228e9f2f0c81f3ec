"""The table beside the oscillator's drawing speaks of what the movement has."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

from builder.drawing.diagrams import beat_chart, oscillator
from builder.drawing.oscillator import STUD, _hairspring, way
from builder.drawing.path import View
from builder.going.axes import Laid
from builder.going.going import going
from builder.going.phases import phases
from builder.going.pieces import pieces
from builder.going.solids import Outline
from builder.going.steady import Running
from builder.movement.model import Movement
from builder.movement.reading import read
from builder.parts.oscillator.balance import Balance
from builder.parts.oscillator.spiral import Spiral
from tests.drawing.drawn import _curve, at_share, numbers
from tests.solved import MODELS, demo, wording


@pytest.mark.parametrize(("slug", "through"), [("hall_clock", "crutch"), ("pocket_watch", "lever")])
def test_pallets_are_told_by_what_lies_beyond_them(slug: str, through: str) -> None:
    """A pendulum's pallets never lie still, and no lever is named where there is none."""
    plate = oscillator.draw(demo(slug), wording())
    assert plate is not None
    does = {row.part: str(row.cells["happens"]) for row in plate.rows}
    told = f"{does['pallets']} {does['escape-wheel']}"
    assert ("lever" in told) == ("still" in told) == (through == "lever")
    assert ("pendulum" in told) == (through == "crutch")


@pytest.mark.parametrize(("slug", "missing"), [("pocket_watch", set()), ("shelf_timepiece", {"180°"})])
def test_no_figure_of_the_scale_stands_on_wheel_or_pallets(slug: str, missing: set[str]) -> None:
    """All that is drawn of teeth, stones or pins keeps clear of the middle of every figure; all others are there."""
    going = demo(slug)
    plate = oscillator.draw(going, wording())
    assert plate is not None and going.plan.draft is not None
    by_part = {figure.part: figure for figure in plate.sheet.figures if figure.part}
    scale = next(figure for figure in plate.sheet.each() if figure.classes == "scale")
    per_mm = oscillator.SIDE_PX / 2 / (going.movement.oscillator.diameter_mm / 2 * 1.62)  # type: ignore[union-attr]
    stones = [drawn.outline_mm for drawn in going.plan.draft.pallets if drawn.level == going.plan.draft.wheel.level]
    reach = {"escape-wheel": going.plan.draft.tip_mm, "pallets": max(math.hypot(x, y) for one in stones for x, y in one)}
    for part, far_mm in reach.items():
        at = by_part[part].at
        away = [
            math.hypot(scale.at[0] + each.x - at[0], scale.at[1] + each.y - at[1])
            for inner in scale.inner
            for each in inner.words
        ]
        assert min(away) > far_mm * per_mm
    small = [each.text for inner in scale.inner for each in inner.words if each.classes == "label small"]
    assert set(small) == {f"{degree}°" for degree in range(0, 181, 30)} - missing


def test_a_recoil_anchor_locks_nothing() -> None:
    """A tooth falls on its pallet; a lever's locks."""
    said = {}
    for slug in ("hall_clock", "pocket_watch"):
        plate = beat_chart.draw(demo(slug), wording())
        assert plate is not None
        said[slug] = " ".join(row.name for row in plate.rows)
    assert "locks" not in said["hall_clock"] and "tooth falls" in said["hall_clock"]
    assert "locks" in said["pocket_watch"]


WORD = re.compile(r"[MmLlHhVvz]|-?(?:\d+\.?\d*|\.\d+)")


def outline(d: str) -> np.ndarray:
    """Corners (N, 2) of a path of straight lines."""
    words, at, found = iter(WORD.findall(d)), [0.0, 0.0], []
    for word in words:
        if word in "Mm":
            at = [float(next(words)), float(next(words))]
        elif word in "HhVv":
            axis = "HV".index(word.upper())
            at[axis] = float(next(words)) + (at[axis] if word.islower() else 0.0)
        found.append(tuple(at))
    return np.array(found)


@pytest.mark.parametrize("slug", ["hall_clock", "shop_regulator", "schoolroom_dial"])
def test_the_crutch_hangs_from_the_pallets_and_goes_with_the_pendulum(slug: str) -> None:
    """As long as it is drawn from the side, its foot about the rod; seen from the front all of it, and the rod, is behind the
    escapement."""
    going = demo(slug)
    plate = oscillator.draw(going, wording())
    assert plate is not None and going.movement.plates is not None
    order = [figure.part for figure in plate.sheet.each() if figure.part]
    assert max(order.index("crutch"), order.index("pendulum-rod")) < min(order.index("pallets"), order.index("escape-wheel"))
    parts = {figure.part: figure for figure in plate.sheet.each() if figure.part}
    drawn = outline(parts["crutch"].shapes[0].d)
    rod = outline(parts["pendulum-rod"].shapes[0].d)
    fine = [solid for piece in pieces(Laid(going, going.movement.plates)).off for solid in piece.solids if solid.part == "crutch"]
    low_mm = min(float(solid.region.points_mm[:, 1].min()) for solid in fine if isinstance(solid.region, Outline))
    per_mm = (rod[:, 1].max() - rod[:, 1].min()) / going.movement.oscillator.rod.length_mm  # type: ignore[union-attr]
    assert drawn[:, 1].max() / per_mm == pytest.approx(going.plan.centres["pallets"][1] - low_mm, rel=0.05)
    assert drawn[:, 0].max() > rod[:, 0].max() and drawn[:, 0].min() < rod[:, 0].min()
    assert parts["pendulum"] in [figure for figure in plate.sheet.figures if parts["crutch"] in figure.inner]
    assert "crutch" in [row.part for row in plate.rows]


SCALE = 27.0
"""px a mm, about as on its page."""


def strip_off_px(slug: str, winding: int) -> tuple[float, float]:
    """Furthest that the drawn hairspring is, at 120 instants of a period, from its stud and from its solved shape, by the
    balance's radius as drawn."""
    going = demo(slug).at(demo(slug).windings[winding])
    balance, motion = going.movement.oscillator, going.motion
    assert isinstance(balance, Balance) and motion.oscillator_rad is not None
    spring, _, stud = _hairspring(going, balance, View(SCALE), (0.0, 0.0))
    turn, shape = spring.moves
    collet = (balance.hairspring.collet_diameter_mm or balance.diameter_mm / 8) / 2
    spiral = Spiral(collet, STUD * balance.diameter_mm / 2, balance.hairspring.coils)
    sense = way(going) * going.plan.frame.sense
    shares = np.linspace(0, 1, 120, endpoint=False)
    angles = sense * np.interp(shares, motion.times, motion.oscillator_rad)
    solved = SCALE * spiral.turned(angles) * (1.0, -1.0)
    from_stud, from_shape = [], []
    for share, truth in zip(shares, solved, strict=True):
        values = at_share(shape, float(share))
        curve = np.concatenate([values[None, :2], _curve(values[:2], values[2:], 12)])
        deg = at_share(turn, float(share))[0] * math.pi / 180
        c, s = math.cos(deg), math.sin(deg)
        drawn = curve @ np.array([[c, s], [-s, c]])
        from_stud.append(math.hypot(*(drawn[-1] - np.array(stud.at))))
        from_shape.append(float(np.max(np.min(np.hypot(*(truth[::8, None] - drawn[None]).transpose(2, 0, 1)), axis=1))))
    radius = SCALE * balance.diameter_mm / 2
    return max(from_stud) / radius, max(from_shape) / radius


@pytest.mark.parametrize("slug", ["pocket_watch", "shelf_timepiece"])
@pytest.mark.parametrize("winding", [0, 2])
def test_the_hairspring_keeps_to_its_stud_and_its_shape(slug: str, winding: int) -> None:
    """All through the swing, at both turning points too, its outer end is at the stud to a hundredth of the balance's radius, and
    no place of it is further than two from where it was solved."""
    from_stud, from_shape = strip_off_px(slug, winding)
    assert from_stud < 0.01 and from_shape < 0.02, (from_stud, from_shape)


@pytest.mark.parametrize("slug", ["pocket_watch", "cylinder_watch"])
def test_arcs_and_turning_points_are_where_the_drawn_balance_is(slug: str) -> None:
    """The balance as it is turned in the drawing stands, while it is driven, within the arc that says so, on the side that it is
    on; its furthest turns are those that are written beside the marks."""
    root = MODELS if slug == "pocket_watch" else MODELS.parent / "tests" / "models"
    running = going(slug, read(root / slug / "movement.toml", Movement, root))
    plate, winding = oscillator.draw(running, wording()), running.windings[0]
    assert plate is not None and isinstance(winding.beat, Running)
    (balance,) = [figure for figure in plate.sheet.figures if figure.part == "balance"]
    (marked,) = [figure for figure in plate.sheet.each() if figure.state == winding.name]
    driven = [phase for phase in phases(winding.beat) if phase.key in ("impulse", "unlocking")]
    arcs = [shape.d for shape in marked.shapes if shape.classes.startswith("arc")]
    assert len(driven) == len(arcs) >= 2
    period_s = float(running.motion.period_ms) / 1000
    for phase, arc in zip(driven, arcs, strict=True):
        x0, y0, *_, x1, y1 = numbers(arc)
        low, high = (math.degrees(math.atan2(x, -y)) for x, y in ((x0, y0), (x1, y1)))
        ends = sorted(float(balance.moves[0].at(period_s * share)) for share in (phase.start, phase.end))
        assert (low, high) == pytest.approx(ends, abs=0.6)
    turns = sorted(
        abs(float(balance.moves[0].at(period_s * share))) for share in (0.0, winding.beat.up.time_s / winding.beat.period_s)
    )
    said = sorted(float(each.text.removesuffix("°")) for each in marked.words if "name" in each.classes)
    assert said and all(min(abs(each - turn) for turn in turns) < 0.6 for each in said)
