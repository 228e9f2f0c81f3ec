"""The beat to be heard: what the page's script plays, and the same in words."""

from __future__ import annotations

from builder.going.going import Going
from builder.ground import words
from builder.ground.wording import Wording
from builder.lessons.heard import Heard, Sound, sound
from builder.pages.shown import Context


def context(going: Going, drawing: str, wording: Wording) -> Context | None:
    """For the drawing that the sound follows; None where there is nothing to hear."""
    heard = sound(going)
    if heard is None:
        return None
    ways = {"in": heard.in_beat, "out": heard.out_of_beat}
    return {
        "data": {
            "drawing": drawing,
            "period": round(heard.period_ms, 6),
            "hz": heard.hz,
            "dies": heard.dies_ms,
            "ways": {way: _knocks(states) for way, states in ways.items() if states},
            "said": {name: wording[f"sound.{name}"] for name in ("silent", "standing", "fast", "heard")},
        },
        "ways": [(way, _said(heard, way, states, wording)) for way, states in ways.items() if states],
    }


def _knocks(states: tuple[Heard, ...]) -> dict[str, list[list[float]]]:
    """State → [part of the period, loudness, 1 for the exit pallet]."""
    return {
        each.state: [[round(part, 7), loud, int(pallet == "exit")] for part, loud, pallet in sorted(each.knocks)]
        for each in states
    }  # fmt: skip


def _said(heard: Sound, way: str, states: tuple[Heard, ...], wording: Wording) -> tuple[str, str]:
    """Name of the way and what is heard, as wound."""
    one, other = words.levelled([words.figure(each, 4) for each in states[0].beats_ms])
    angle = words.figure(heard.angle_deg or 0.0, 2)
    return wording.say(f"sound.{way}_name"), wording.say(f"sound.{way}_text", one=one, other=other, angle=angle)
