"""An oscillator that does not suit the movement is told at its place, whether or not a beat can be solved."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from builder.ground.faults import Refused
from tests.solved import changed

Data = dict[str, Any]

SPRING = {"height_mm": 0.4, "length_mm": 300.0, "coils": 13.0}


def too_short(data: Data) -> None:
    data["oscillator"]["rod"]["length_mm"] = 700
    data["oscillator"]["bob"].pop("centre_mm", None)


def a_balance(data: Data) -> None:
    data["oscillator"] = {"kind": "balance", "diameter_mm": 40.0, "inertia_mg_cm2": 900.0, "hairspring": SPRING}


@pytest.mark.parametrize("force", [True, False], ids=["force known", "force not known"])
@pytest.mark.parametrize(("change", "key"), [(too_short, ("rod", "length_mm")), (a_balance, ("kind",))])
def test_what_cannot_keep_the_beat_is_refused(change: Callable[[Data], None], key: tuple[str, ...], force: bool) -> None:
    """A rod too short for the train's beat, and a balance for a recoil anchor, are refused before anything is drawn."""

    def both(data: Data) -> None:
        change(data)
        if not force:
            data["source"].pop("mass_kg")

    with pytest.raises(Refused) as refused:
        changed("hall_clock", both)
    assert [each.key for each in refused.value.complaints] == [("oscillator", *key)]
