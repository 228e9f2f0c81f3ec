"""Movements that lack something are asked about what they have."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from builder.drawing.diagrams import motion_work, train_plan
from builder.going.going import going
from builder.lessons.heard import sound
from builder.lessons.question import Question
from builder.lessons.questions import questions
from tests.lessons.recomputed import numbers
from tests.movement_texts import eight_day, movement_data, read_movement
from tests.solved import wording


def asked(models: Path, data: dict[str, Any]) -> tuple[Question, ...]:
    """All questions of a file's movement, read as the commands read it."""
    solved = going("counted", read_movement(models, data).model)
    drawn = {"train-front": train_plan.front(solved, wording()), "motion-work": motion_work.draw(solved, wording())}
    assert sound(solved) is None, "counted only: nothing is solved, nothing is to be heard"
    return questions(solved, {name: plate for name, plate in drawn.items() if plate is not None}, wording())


def without_hands() -> dict[str, Any]:
    return movement_data([80, 60], [8, 8], 30, beats_per_hour=9000, turns=10.0, modules_mm=[0.8, 0.7], directions_deg=[90, 20])


def one_mesh() -> dict[str, Any]:
    return movement_data([120], [8], 30, beats_per_hour=1800, modules_mm=[0.8], directions_deg=[90])


def one_beat_a_tooth() -> dict[str, Any]:
    data = eight_day()
    data["escapement"]["beats_per_tooth"] = 1
    data["escapement"]["teeth"] = 60
    return data


def hour_hand_alone() -> dict[str, Any]:
    data = movement_data([96, 60], [8, 8], 30, beats_per_hour=1800, modules_mm=[0.9, 0.8], directions_deg=[90, 20])
    work = {"kind": "hour_only", "on": "great", "pinion_leaves": 8, "hour_wheel_teeth": 24, "module_mm": 1.0}
    data["oscillator"].pop("beats_per_hour")
    return {**data, "motion_work": {**work, "direction_deg": 200}}


@pytest.mark.parametrize("make", [eight_day, without_hands, one_mesh, one_beat_a_tooth, hour_hand_alone])
def test_what_it_has_is_asked_and_nothing_else(tmp_path: Path, make: Any) -> None:
    """No fault, keys all different, four different answers at least, and no question about what is not there."""
    found = asked(tmp_path, make())
    keys = [question.key for question in found]
    assert len(set(keys)) == len(keys) >= 8
    for question in found:
        texts = {answer.text for answer in question.answers}
        assert len(texts) == len(question.answers) >= 3 and "{" not in question.text
    assert not [key for key in keys if key.startswith(("what_if.force", "what_if.crooked", "order.period", "order.losses"))]
    if make is without_hands or make is one_mesh:
        assert not [key for key in keys if "hour_wheel" in key or key.startswith(("what_if.leaf", "beat.hand"))]


def test_one_beat_a_tooth_is_not_counted_twice(tmp_path: Path) -> None:
    """Sixty teeth with one beat each beat as often as thirty with two: 3600 times an hour, and sixty in a turn."""
    found = {question.key: question for question in asked(tmp_path, one_beat_a_tooth())}
    assert numbers(found["beat.hour"].right.text) == [3600]
    assert numbers(found["beat.turn"].right.text) == [60]
    assert "2 beats" not in found["beat.turn"].right.why
