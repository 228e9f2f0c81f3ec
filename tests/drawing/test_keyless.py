"""The keyless work: ratios and senses as the counts and the geometry have them, two states, teeth that meet."""

from __future__ import annotations

import cmath
import math
import re
from fractions import Fraction
from itertools import combinations, pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import rotate, translate
from shapely.geometry import Polygon

from builder.drawing.diagrams import keyless as diagram
from builder.drawing.keyless import side, stem
from builder.drawing.keyless.layout import CLUTCH_PX, MODULE_PX, PULL_PX, SLIDE_PX, Layout, Placed
from builder.drawing.keyless.marks import ROOM_PX, free
from builder.going.going import going
from builder.ground.wording import Wording
from builder.parts.keyless import Keyless
from builder.parts.motion_work import MinuteAndHour
from tests.movement_texts import read_movement

ROOT = Path(__file__).parents[2]
WORDING = Wording.load(ROOT / "templates" / "wording" / "en")
WATCH = (ROOT / "models" / "pocket_watch" / "movement.toml").read_text("utf-8")
WORK = MinuteAndHour(
    kind="minute_and_hour", on="centre", cannon_leaves=12, minute_wheel_teeth=36, minute_pinion_leaves=10, hour_wheel_teeth=40
)


def laid(setting: tuple[int, ...] = (22, 22), pinion: int = 16, crown: int = 30, clutch: int = 15, ratchet: int = 40) -> Layout:
    keyless = Keyless(winding_pinion_teeth=pinion, crown_wheel_teeth=crown, clutch_teeth=clutch, setting_wheels=setting)
    return Layout(keyless, WORK, ratchet)


def rim_velocity(placed: Placed, at: complex, sense: int = 1) -> complex:
    """Velocity of a wheel's rim at a place, for a crown that turns at unit speed: i ω r."""
    return 1j * float(placed.turns) * sense * (at - placed.at)


@given(
    st.lists(st.integers(14, 40), min_size=1, max_size=3),
    st.integers(12, 24),
    st.integers(20, 50),
    st.integers(10, 24),
    st.integers(24, 60),
)
@settings(max_examples=40, deadline=None)
def test_ratios_and_senses(setting: list[int], pinion: int, crown: int, clutch: int, ratchet: int) -> None:
    """Winding: crown turns by ratchet over pinion; setting: by clutch over cannon; each wheel against the sense of its mate.

    Senses from the geometry: the crown turns clockwise seen from its end, so the near side of what is on the stem rises and
    the far side sinks; crown wheel behind, setting wheel before the stem.
    """
    made = laid(tuple(setting), pinion, crown, clutch, ratchet)
    crown_wheel, ratchet_wheel = made.behind
    assert 1 / abs(ratchet_wheel.turns) == made.keyless.crown_turns_per_ratchet_turn(ratchet)
    assert rim_velocity(crown_wheel, 0j).imag < 0  # under the pinion, whose far side sinks
    assert ratchet_wheel.turns > 0  # counter-clockwise from the dial, clockwise from the back: as a ratchet wheel is wound
    first, *_, cannon = made.before
    edge = complex(first.at.real + first.gear.pitch_mm, 0.0)
    assert rim_velocity(first, edge).imag > 0  # lifted by the clutch's near side
    assert abs(cannon.turns) == made.keyless.minute_hand_turns_per_crown_turn(WORK.cannon_leaves) == Fraction(clutch, 12)
    assert (cannon.turns < 0) == made.keyless.clockwise_sets_on
    for one, other in (*pairwise(made.before), made.behind):
        meet = one.at + (other.at - one.at) * one.gear.pitch_mm / abs(other.at - one.at)
        assert rim_velocity(one, meet) == pytest.approx(rim_velocity(other, meet), abs=1e-9)
        assert abs(other.at - one.at) == pytest.approx(one.gear.pitch_mm + other.gear.pitch_mm, rel=1e-12)


def polygon(placed: Placed, further_rad: float = 0.0) -> Polygon:
    turned = rotate(Polygon(placed.gear.outline()), math.degrees(placed.phase_rad + further_rad), origin=(0, 0))
    made = translate(turned, placed.at.real, placed.at.imag)
    assert made.is_valid and made.area > 0
    return made


@pytest.mark.parametrize("setting", [(24,), (22, 22), (20, 18, 24)], ids=str)
def test_teeth_meet_without_overlapping(setting: tuple[int, ...]) -> None:
    """Mates of one form, turned together through a tooth, never overlap by a thousandth of a tooth."""
    made = laid(setting)
    mates = [made.behind, *zip(made.before[:-2], made.before[1:-1], strict=True)]
    for one, other in mates:
        for turn in np.linspace(0, one.gear.angle_rad, 5):
            ratio = float(other.turns / one.turns)
            both = polygon(one, turn).intersection(polygon(other, turn * ratio)).area
            assert both < 1e-3 * MODULE_PX**2
        half = other.gear.angle_rad / 2  # negative control: half a tooth out of phase they run into one another
        assert polygon(one).intersection(polygon(other, half)).area > 0.1 * MODULE_PX**2


def test_levers_do_what_is_said_of_them() -> None:
    """Pulled by so much, the pin stays in the stem's groove, the yoke's end in the clutch's, and the nose on the yoke's flank."""
    levers = laid().levers
    inside, outside = (levers.lever_at + levers.pin * cmath.exp(1j * turn) for turn in (0.0, levers.lever_turn))
    assert inside.real == pytest.approx(levers.groove_px) and outside.real == pytest.approx(levers.groove_px + PULL_PX)
    assert inside.imag == pytest.approx(outside.imag)
    ends = [levers.yoke_at + levers.fork * cmath.exp(1j * turn) for turn in (0.0, levers.yoke_turn)]
    assert ends[0].real == pytest.approx(sum(CLUTCH_PX) / 2)
    assert ends[1].real == pytest.approx(sum(CLUTCH_PX) / 2 - SLIDE_PX)
    nose = levers.lever_at + levers.nose * cmath.exp(1j * levers.lever_turn)
    assert levers.yoke_at + levers.push * cmath.exp(1j * levers.yoke_turn) == pytest.approx(nose)


def test_teeth_roll_over_the_top() -> None:
    """Seen from the side a tooth rises on the near side, and after one repetition each stands where the next one stood."""
    still, move = side.rolling(16, 48.0, side.lines(0.0, 10.0))
    frames = [np.array(re.findall(r"-?\d*\.?\d+", d), dtype=float).reshape(-1, 4)[:, 1] for d in move.values]
    assert move.values[0] == still and len({len(frame) for frame in frames}) == 1
    assert all(np.all(after <= before + 1e-9) for before, after in pairwise(frames))  # y is down
    assert frames[-1][:-1] == pytest.approx(frames[0][1:], abs=0.011)
    assert float(move.exact_ms or move.dur_ms) * 16 == pytest.approx(6000)


def test_two_states_and_every_part_in_both(tmp_path: Path) -> None:
    """Each state holds every part once more; crown in, the setting wheels stand; crown out, the crown wheel does."""
    solved = going("watch", read_movement(tmp_path, WATCH).model)
    plate = diagram.draw(solved, WORDING)
    assert plate is not None
    parts = {row.part for row in plate.rows}
    moving = {}
    for figure in plate.sheet.figures:
        assert {each.part for each in figure.inner if each.part} == parts
        moving[figure.classes] = {each.part for each in figure.inner if list(each.in_order()) and each.classes != "balloon"}
    assert moving["crown-in"] == {"crown", "winding-pinion", "sliding-clutch", "crown-wheel", "ratchet-wheel"}
    assert moving["crown-out"] == {
        "crown",
        "sliding-clutch",
        "setting-wheel-1",
        "setting-wheel-2",
        "minute-wheel",
        "cannon-pinion",
    }


def test_without_counts_usual_ones_are_taken_and_said(tmp_path: Path) -> None:
    """An empty [keyless] table says that there is keyless work; its counts are then supposed."""
    text = re.sub(r"\[keyless\]\n(?:\w+ = .*\n)+", "[keyless]\n", WATCH)
    solved = going("watch", read_movement(tmp_path, text).model)
    assert solved.movement.keyless is not None and solved.movement.keyless.supposed
    assert diagram.draw(solved, WORDING) is not None


@pytest.mark.parametrize("setting", [(24,), (22, 22), (20, 18, 24)], ids=str)
def test_balloons_lie_free(setting: tuple[int, ...]) -> None:
    """No balloon lies on another, on a wheel or on the crown, and no two leaders cross, in either state."""
    made = laid(setting)
    taken = diagram._taken(made)
    for out in (False, True):
        marks = list(free(diagram._tips(made, out), taken).values())
        for one, other in combinations(marks, 2):
            assert abs(one.at - other.at) >= 2 * ROOM_PX
            a, b = Polygon([(z.real, z.imag) for z in (one.at, one.tip, one.tip + 1e-6j)]), (other.at, other.tip)
            assert not a.boundary.crosses(Polygon([(z.real, z.imag) for z in (*b, other.tip + 1e-6j)]).boundary)
        for mark in marks:
            assert all(abs(mark.at - centre) > radius + ROOM_PX for centre, radius in taken)
            assert abs(mark.at.real - stem.END_PX) > stem.CROWN_RADIUS_PX or abs(mark.at.imag) > stem.CROWN_RADIUS_PX
