"""The pages of a movement in the order of the power path: name of page and template → its context, None where it has none."""

from __future__ import annotations

from collections.abc import Callable

from builder.ground.wording import Wording
from builder.pages.shown import Context, Shown
from builder.pages.stations import (
    bench,
    escapement,
    figures,
    for_class,
    motion_work,
    oscillator,
    overview,
    parts,
    power,
    repairs,
    self_test,
    side_view,
    sums,
    train,
)

STATIONS: dict[str, Callable[[Shown, Wording], Context | None]] = {
    "overview": overview.context,
    "power": power.context,
    "train": train.context,
    "escapement": escapement.context,
    "oscillator": oscillator.context,
    "motion_work": motion_work.context,
    "side_view": side_view.context,
    "parts": parts.context,
    "taking_down": bench.context,
    "repairs": repairs.context,
    "figures": figures.context,
    "sums": sums.context,
    "self_test": self_test.context,
    "for_class": for_class.context,
}
