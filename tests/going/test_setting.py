"""Setting the hands: what they weigh, what carries them, what turns the train back."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from shapely.geometry import Point, Polygon

from builder.drawing import shapes
from builder.going import setting as module
from builder.going.going import Going, going
from builder.going.power import mesh_contact
from builder.going.setting import Setting, clock, setting
from builder.parts.teeth.cycloidal import Cycloidal
from tests.movement_texts import Data, read_movement

ROOT = Path(__file__).parents[2]
CLOCK = (ROOT / "models" / "hall_clock" / "movement.toml").read_text("utf-8")
WATCH = (ROOT / "models" / "pocket_watch" / "movement.toml").read_text("utf-8")
CLUTCH_LINE = re.compile(r"^clutch = .*$", re.M)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., Going]:
    """A demo movement with its clutch line replaced, through the file's reader; `frictionless` takes friction away."""
    tmp_path = tmp_path_factory.mktemp("models")

    @cache
    def make(text: str, line: str = "", frictionless: bool = False) -> Going:
        text = CLUTCH_LINE.sub(line, text)
        if frictionless:
            text += "\n[friction]\nteeth = 0.0\npivots = 0.0\n"
        return going("counted", read_movement(tmp_path, text).model)

    return make


def found(of: Going) -> Setting:
    solved = setting(of)
    assert solved is not None
    return solved


def test_hands_ask_what_lifts_their_weight(made: Callable[..., Going]) -> None:
    """Without friction the torque asked for is the slope of both hands' height times weight, all round the dial."""
    hands = "minute_hand = { mass_g = 5.0, centre_mm = 50.0 }\nhour_hand = { mass_g = 3.0, centre_mm = 30.0 }"
    solved = found(made(CLOCK, hands, frictionless=True))
    minutes = np.linspace(0, 720, 1441)

    def energy_nmm(minute: np.ndarray) -> np.ndarray:
        turn, g = 2 * np.pi * minute / 60, 9.80665
        return 0.005 * g * 50 * np.cos(turn) + 0.003 * g * 30 * np.cos(turn / 12)

    step = 1e-4
    slope = (energy_nmm(minutes + step) - energy_nmm(minutes - step)) / (2 * step * 2 * np.pi / 60)
    assert solved.asked_nmm(minutes) == pytest.approx(slope, abs=1e-6)
    assert solved.worst[1] == pytest.approx(slope.max(), rel=1e-3)
    assert clock(solved.worst[0]) in ("8:45", "9:45")  # the minute hand level on the left, the hour hand nearly so


def test_friction_makes_the_hour_hand_heavier(made: Callable[..., Going]) -> None:
    """With friction in the meshes the hands ask for more, by no more than both meshes lose."""
    free, rubbing = (found(made(CLOCK, frictionless=free)).worst[1] for free in (True, False))
    assert free < rubbing < free / found(made(CLOCK)).out_efficiency


def test_without_friction_the_train_turns_back_as_it_drives(made: Callable[..., Going]) -> None:
    """Torque given and torque to turn back are one, and that of the weight through the counts alone."""
    solved = found(made(CLOCK, frictionless=True))
    drum_mm, cord_mm, newton = 48.0, 1.6, 5.0 * 9.80665 / 2
    for held in solved.held:
        assert held.given_nmm == pytest.approx(newton * (drum_mm + cord_mm) / 2 / (96 / 8), rel=1e-12)
        assert held.back_nmm == pytest.approx(held.given_nmm, rel=1e-12)


def test_with_friction_it_takes_more_to_turn_back(made: Callable[..., Going]) -> None:
    """Given < without friction < turned back, at every state of both movements."""
    for text in (CLOCK, WATCH):
        free, rubbing = found(made(text, frictionless=True)), found(made(text))
        for without, held in zip(free.held, rubbing.held, strict=True):
            assert held.given_nmm < without.given_nmm < held.back_nmm


@pytest.mark.parametrize(("wheel", "pinion"), [(96, 12), (80, 10)])
def test_a_mesh_driven_back(wheel: int, pinion: int) -> None:
    """A pinion that turns its wheel back meets 1 / (1 − μ (1 + z2/z1) tan b), b the leaf's angle past the line of centres.

    The closed form of a radial flank on an epicycloid (moments about both centres, friction along the flank).
    """
    friction = 0.15
    seen = mesh_contact(Cycloidal().pair(wheel, pinion, 1.0), -friction)
    b = np.linspace(0, 2 * math.pi / pinion, 2001)
    closed = 1 / np.mean(1 - friction * (1 + pinion / wheel) * np.tan(b))
    assert seen.efficiency > 1
    assert seen.efficiency == pytest.approx(closed, rel=0.01)


@pytest.mark.parametrize(
    ("torque", "does"), [(40.0, "goes on"), (50.0, "stands"), (60.0, "driven back")]
)  # fmt: skip
def test_set_back_the_train_goes_on_stands_or_is_driven_back(made: Callable[..., Going], torque: float, does: str) -> None:
    """It decides by the friction against the two torques of the arbor, here about 46 and 56 N·mm."""
    solved = found(made(CLOCK, f'clutch = {{ kind = "bow_spring", torque_nmm = {torque} }}'))
    assert {solved.set_back(held) for held in solved.held} == {does}
    assert [finding.key for finding in solved.findings()] == ([("motion_work", "clutch")] if does == "driven back" else [])
    assert solved.pushed_on(solved.held[0]) == pytest.approx(1 + torque / solved.held[0].given_nmm)


def test_a_slack_friction_is_found(made: Callable[..., Going]) -> None:
    """Under what the hands ask for they stay behind, and where; under twice as much there is little to spare."""
    slack = found(made(CLOCK, 'clutch = { kind = "bow_spring", torque_nmm = 1.0 }'))
    assert slack.margin is not None and slack.margin < 1
    assert "stay behind" in slack.findings()[0].text and "8:45" in slack.findings()[0].text
    scant = found(made(CLOCK, 'clutch = { kind = "bow_spring", torque_nmm = 2.5 }'))
    assert "little to spare" in scant.findings()[0].text


def test_what_is_only_supposed_is_not_found_fault_with(made: Callable[..., Going]) -> None:
    """A movement whose file says nothing of its friction gets a usual one, says so, and no finding."""
    for text, kind in ((CLOCK, "bow_spring"), (WATCH, "snapped_pinion")):
        solved = found(made(text))
        assert solved.supposed and solved.clutch.kind == kind and solved.grip.origin == "supposed"
        assert solved.findings() == ()


def test_both_senses_of_the_minute_wheels_mesh(made: Callable[..., Going]) -> None:
    """Cannon pinion drives minute wheel, or minute wheel drives cannon pinion: each takes its own part, none without friction."""
    solved, free = found(made(WATCH)), found(made(WATCH, frictionless=True))
    assert solved.in_efficiency is not None and 0.8 < solved.in_efficiency < 1
    assert 0.8 < solved.out_efficiency < 1
    assert free.in_efficiency == pytest.approx(1, abs=1e-3) and free.out_efficiency == pytest.approx(1, abs=1e-3)


def outline(d: str) -> Polygon:
    """A hand's blade as drawn, curves as polylines."""
    steps = re.findall(r"[MLQ]|-?\d*\.?\d+", d.split("z")[0])
    points: list[tuple[float, float]] = []
    at = 0
    while at < len(steps):
        count = {"M": 1, "L": 1, "Q": 2}[steps[at]]
        numbers = [float(text) for text in steps[at + 1 : at + 1 + 2 * count]]
        given = list(zip(numbers[::2], numbers[1::2], strict=True))
        if count == 2:
            a, b, c = (np.array(p) for p in (points[-1], *given))
            given = [tuple((1 - t) ** 2 * a + 2 * t * (1 - t) * b + t * t * c) for t in np.linspace(0, 1, 30)[1:]]
        points += given
        at += 1 + 2 * count
    return Polygon(points)


@pytest.mark.parametrize(("shows", "draw", "boss"), [("minutes", shapes.minute_hand, 38), ("hours", shapes.hour_hand, 62)])
def test_supposed_hands_are_those_that_are_drawn(shows: str, draw: Callable[[float], str], boss: float) -> None:
    """Mean width and balance of a supposed hand are those of the outline on the page, its boss and hole included."""
    blade = outline(draw(1000.0))
    assert blade.is_valid
    whole = blade.union(Point(0, 0).buffer(boss, 64)).difference(Point(0, 0).buffer(0.42 * boss, 64))
    assert whole.area / 1e6 == pytest.approx(module.MEAN_WIDTH[shows], rel=0.01)
    assert -whole.centroid.y / 1e3 == pytest.approx(module.CENTROID[shows], rel=0.01)


def one_hand(data_or_text: str) -> str:
    """The hall clock with a single hand on a dial wheel."""
    start, rest = data_or_text.split("[motion_work]")
    after = rest.split("\n\n", 1)[1]
    work = 'kind = "hour_only"\non = "centre"\npinion_leaves = 6\nhour_wheel_teeth = 72\nmodule_mm = 0.9\ndirection_deg = 200\n'
    return f"{start}[motion_work]\n{work}\n{after}".replace('hand = "seconds"\n', "")


def test_a_single_hand(made: Callable[..., Going]) -> None:
    """A clock with an hour hand alone carries its whole weight on the friction, without meshes."""
    solved = found(made(one_hand(CLOCK)))
    (hand,) = solved.hands
    assert hand.shows == "hours" and solved.out_efficiency == 1.0 and solved.in_efficiency is None
    assert clock(solved.worst[0]) == "9:00"
    assert solved.worst[1] == pytest.approx(hand.unbalance_nmm, rel=1e-6)


def test_no_motion_work_no_setting(tmp_path: Path) -> None:
    """A movement that is only counted, and has no motion work, has nothing to set."""
    from tests.movement_texts import eight_day

    data: Data = eight_day()
    assert setting(going("counted", read_movement(tmp_path, data).model)) is not None
    del data["motion_work"]
    assert setting(going("counted", read_movement(tmp_path, data).model)) is None
