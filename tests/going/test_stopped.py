"""A clock that stops is a result with its reason, shown on every page, not an error."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.build import build_site
from builder.drawing.moves import arbor_move
from builder.drawing.path import View
from builder.going.going import Going, going
from builder.going.steady import Running, Stopped
from builder.movement.model import Movement
from builder.movement.reading import read

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def stopped() -> Going:
    return going(
        "light_weight", read(ROOT / "tests" / "models" / "light_weight" / "movement.toml", Movement, ROOT / "tests" / "models")
    )


@pytest.fixture(scope="module")
def sound() -> Going:
    return going("hall_clock", read(ROOT / "models" / "hall_clock" / "movement.toml", Movement, ROOT / "models"))


def test_too_light_a_weight_stops_the_clock(stopped: Going, sound: Going) -> None:
    """With a third of its weight the hall clock stops in every state, for want of energy; with its own it goes."""
    assert all(isinstance(w.beat, Stopped) and w.beat.reason == "too little energy" for w in stopped.windings)
    assert all(isinstance(w.beat, Running) for w in sound.windings)


def test_the_least_torque_lies_between_the_two(stopped: Going, sound: Going) -> None:
    """The least torque that keeps the sound clock going is more than the light weight gives and less than its own."""
    beat = sound.windings[0].beat
    assert isinstance(beat, Running)
    least = beat.critical_nmm
    assert stopped.windings[0].power.escape_torque_nmm < least < sound.windings[0].power.escape_torque_nmm


def test_nothing_moves_on_a_stopped_clock(stopped: Going) -> None:
    """Its motion stands, from the first moment to the last."""
    assert stopped.motion.wheel_at(0.0) == stopped.motion.wheel_at(3600.0)
    for arbor in stopped.train.arbors:
        move = arbor_move(stopped.motion, stopped.train, arbor.id, View(1.0), 500.0)
        assert move.at(0.0) == move.at(43210.0)


def test_the_pages_of_a_stopped_clock_say_so() -> None:
    """The site builds, and overview and oscillator page give the reason with its figures."""
    site = build_site(ROOT / "tests" / "models", ["light_weight"])
    assert b"It stops" in site["light_weight/oscillator.html"]
    assert b"gives it at most" in site["light_weight/oscillator.html"]
    assert b"stops" in site["light_weight/index.html"]
