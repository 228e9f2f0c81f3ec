"""What a step of a chapter has its drawing do, read from the step's `@` line.

    @ mark=great-wheel,centre-pinion turn=centre lines

mark=a,b     parts that are marked (names that the drawing has; what it has not is left out)
during=name  a phase of the period, again and again, as slow as it takes to be seen
at=s         the moment it goes to, s past 12 o'clock; with span=s, so many seconds from there, again and again
speed=x      shown seconds a second; turn=arbor instead: so fast that this arbor turns round while one looks
state=name   state of winding, blanks as hyphens; left out: the first
lines        construction lines on
stand        it stands still
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from builder.drawing.sheet import Sheet
from builder.pages.chapters.moments import Span

LOOK_S = 8.0
"""A turn that is to be seen takes about so long on the screen."""
HAPPENS_S = 3.0
"""What happens in a period is shown slowed to about so long."""


class UnreadableError(ValueError):
    """An `@` line that cannot be followed: a slip in a chapter's text, not in a person's file."""


@dataclass(frozen=True)
class Stage:
    """What an `@` line can name: the drawing, the spans of its period in each state, the periods of its arbors, the speeds."""

    sheet: Sheet
    parts: frozenset[str]
    spans: dict[str, dict[str, Span]]
    """State of winding → phase → when."""
    turn_s: dict[str, float]
    """Arbor → seconds for one turn."""
    speeds: tuple[float, ...]

    def nearest(self, speed: float) -> float:
        """The speed among those that the player has a word for."""
        return min(self.speeds, key=lambda each: abs(math.log(each / speed)))


def show(line: str, stage: Stage) -> dict[str, Any]:
    """The line's wishes as the player and the marks take them (see chapter.js). Raises UnreadableError."""
    wishes: dict[str, str] = {}
    for word in line.split():
        key, _, value = word.partition("=")
        if key not in KEYS or key in wishes or bool(value) != (key not in ("lines", "stand")):
            raise UnreadableError(f"{word!r} in '@ {line}'")
        wishes[key] = value
    seen: dict[str, Any] = {}
    states = list(stage.sheet.states)
    state = wishes.get("state", states[0] if states else "").replace("-", " ")
    if state and state not in states:
        raise UnreadableError(f"the drawing {stage.sheet.slug} has no state {state!r}")
    if state:
        seen["state"] = state
    marks = [part for part in wishes.get("mark", "").split(",") if part in stage.parts]
    if marks:
        seen["mark"] = marks
    seen |= _timing(wishes, stage, state)
    for flag in ("lines", "stand"):
        if flag in wishes:
            seen[flag] = True
    return seen


KEYS = ("mark", "during", "at", "span", "speed", "turn", "state", "lines", "stand")


def _timing(wishes: dict[str, str], stage: Stage, state: str) -> dict[str, Any]:
    timing: dict[str, Any] = {}
    speed = float(wishes["speed"]) if "speed" in wishes else None
    if "during" in wishes:
        spans = stage.spans.get(state) or next(iter(stage.spans.values()), {})  # one for all where no state differs
        span = spans.get(wishes["during"])
        if span is None:
            raise UnreadableError(f"no {wishes['during']} when {state}")
        timing = {"from": round(span.from_s, 7), "to": round(span.to_s, 7)}
        speed = speed or (span.to_s - span.from_s) / HAPPENS_S
    elif "at" in wishes:
        timing = {"from": float(wishes["at"])}
        if "span" in wishes:
            timing["to"] = timing["from"] + float(wishes["span"])
    if "turn" in wishes:
        if wishes["turn"] not in stage.turn_s:
            raise UnreadableError(f"no arbor {wishes['turn']!r}")
        speed = stage.turn_s[wishes["turn"]] / LOOK_S
    timing["speed"] = stage.nearest(speed or stage.sheet.speed)
    return timing
