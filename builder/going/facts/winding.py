"""What the source holds: turns, hours, torque and energy of one winding."""

from __future__ import annotations

from builder.going.facts.fact import Fact
from builder.going.going import Going
from builder.ground import words


def winding(going: Going) -> list[Fact]:
    train = going.train
    if train.source_turns is None or train.going_hours is None:
        return []
    first = train[train.path[0]]
    text = words.whole_and_part(train.source_turns)
    inputs = (("source_turns", text), ("hours_per_turn", words.period(first.hours_per_turn)))
    return [
        Fact("winding.turns", "winding", "source_turns", first.title, train.source_turns, "", text),
        Fact(
            "winding.going_hours", "winding", "going_hours", first.title, train.going_hours, "h",
            words.duration(train.going_hours), inputs,
        ),
    ]  # fmt: skip
