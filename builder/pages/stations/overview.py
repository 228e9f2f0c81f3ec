"""The first page of a movement: it running, and what it is at a glance."""

from __future__ import annotations

import math
from typing import Any

from markupsafe import Markup

from builder.going.going import Going
from builder.going.steady import Stopped
from builder.ground import words
from builder.ground.faults import sentences
from builder.ground.wording import Wording
from builder.pages.shown import Context, Shown


def context(shown: Shown, wording: Wording) -> Context:
    going, train = shown.going, shown.going.train
    beats = words.whole_and_part(train.beats_per_hour)
    say = wording.say
    glance = [
        (
            say("pages.overview.beat"),
            say("pages.overview.beat_text", beats=beats, seconds=words.whole_and_part(train.beats_per_hour / 3600)),
        )
    ]
    if train.going_hours is not None and train.source_turns is not None:
        first = train[train.path[0]]
        text = say(
            "pages.overview.goes_text", hours=words.duration(train.going_hours),
            turns=words.turns(train.source_turns), arbor=first.title.lower(),
        )  # fmt: skip
        glance.append((say("pages.overview.goes"), text))
    glance.append((say("pages.overview.escapement"), _kind(going.movement.escapement, "escapements", wording)))
    glance.append((say("pages.overview.oscillator"), _kind(going.movement.oscillator, "oscillators", wording)))
    if going.movement.movement.lent_by:
        glance.append((say("pages.overview.lent_by"), going.movement.movement.lent_by))
    return {
        "title": going.name,
        "movement": going.movement,
        "front": shown.plate("train-front"),
        "has_hands": bool(train.hands),
        "glance": glance,
        "nominal": not going.motion.solved,
        "running": _running(going, wording),
        "notes": Markup(shown.notes),  # nosec B704 # sanitised by movement/notes.py
        "findings": sentences(going.findings),
    }


def _running(going: Going, wording: Wording) -> str | None:
    """How it swings when wound, or that it stops and why; None where no beat is solved."""
    if not going.windings:
        return None
    beat = going.windings[0].beat
    if isinstance(beat, Stopped):
        return wording.say("pages.overview.stops", reason=beat.text)
    amplitude, needs = words.levelled([words.figure(deg, 3) for deg in (beat.amplitude_deg, math.degrees(beat.least_rad))])
    return wording.say("pages.overview.swings", amplitude=amplitude, needs=needs)


def _kind(part: Any, family: str, wording: Wording) -> str:
    return part.name if part.kind == "counted" else wording.say(f"pages.{family}.{part.kind}")
