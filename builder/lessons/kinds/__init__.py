"""Every kind of question: name → what makes them of a movement, in the order in which they are listed on the page."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from builder.lessons.kinds import beat, mark, missing, name, order, sense, turns, what_if
from builder.lessons.question import Question, Subject

KINDS: dict[str, Callable[[Subject], Iterator[Question | None]]] = {
    "name": name.ask,
    "mark": mark.ask,
    "sense": sense.ask,
    "turns": turns.ask,
    "beat": beat.ask,
    "missing": missing.ask,
    "what_if": what_if.ask,
    "order": order.ask,
}
