"""What is said at a step of the bench is true of the movement at hand."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from builder.going.taking_down import TakingDown, taking_down
from builder.ground.project import TEMPLATES
from builder.ground.wording import Wording
from builder.movement.model import Movement
from builder.pages.bench_said import besides, cautions, key
from tests.going.solid_shapes import DEMO, ROOT, laid_out

WORDING = Wording.load(TEMPLATES / "wording" / "en")


def data_of(slug: str) -> dict[str, Any]:
    return tomllib.loads((ROOT / "models" / slug / "movement.toml").read_text("utf-8"))


def bench(data: dict[str, Any]) -> TakingDown:
    found = taking_down(laid_out(Movement.model_validate(data)))
    assert found is not None
    return found


def all_keys(work: TakingDown) -> list[str]:
    return [key(work, step) for step in work.steps]


def more(work: TakingDown) -> list[str]:
    return [name for step in work.steps for said in besides(work, step) for name, _ in said]


@pytest.mark.parametrize("slug", DEMO)
def test_every_step_has_its_sentences(slug: str) -> None:
    """Down, take, up and put stand in the wording for each step; beat and train are tried where there is something to try."""
    work = bench(data_of(slug))
    for name in all_keys(work):
        assert {"down", "take", "up", "put"} <= WORDING[f"taking_down.steps.{name}"].keys(), name
    assert any(name.startswith("beat_") for name in more(work))
    assert {"run_free", "lever_snaps"} & set(more(work))


def test_a_regulator_only_where_there_is_one() -> None:
    """Curb pins are spoken of where the file gives the regulator's reach, once each way, and nowhere else."""
    data = data_of("pocket_watch")
    assert not any("regulator" in name for name in more(bench(data)))
    data["oscillator"]["hairspring"]["regulator_mm"] = 6.0
    assert [name for name in more(bench(data)) if "regulator" in name] == ["regulator_take", "regulator_put"]


def test_key_or_crown() -> None:
    """A watch that is wound by a key is let down by a key, and has no stem to draw."""
    data = data_of("pocket_watch")
    assert all_keys(bench(data))[0] == "let_down_keyless"
    del data["keyless"]
    assert all_keys(bench(data))[0] == "let_down_going_barrel"
    assert "stem" not in all_keys(bench(data))


def test_a_line_is_no_chain() -> None:
    """Gut on a fusee is loosed at its knots; only a chain has hooks that are sharp."""
    data = data_of("schoolroom_dial")
    assert "chain" in all_keys(bench(data))
    data["source"]["line"] = {"kind": "gut", "thickness_mm": 2.0}
    work = bench(data)
    assert "line" in all_keys(work) and "chain" not in all_keys(work)
    assert "chain" not in [name for step in work.steps for name, _ in cautions(work, step)]


def test_one_hand_is_set_against_nothing() -> None:
    """Without a minute hand nothing is said of setting the hour hand by it."""
    data = data_of("hall_clock")
    del data["motion_work"], data["heights"]["minute_wheel_mm"], data["heights"]["hour_wheel_mm"]
    data["arbors"][1]["hand"] = "minutes"
    keys = all_keys(bench(data))
    assert "minute-hand-alone" in keys and not {"minute-hand", "hour-hand", "hour-hand-alone"} & set(keys)


def test_grease_where_the_wheel_slips() -> None:
    """A wheel pressed by a spring washer is greased where it slips; where the cannon pinion slips, its arbor's wheel is not."""
    assert "arbor-washer" in all_keys(bench(data_of("shelf_timepiece")))
    assert "arbor-washer" not in all_keys(bench(data_of("hall_clock")))
