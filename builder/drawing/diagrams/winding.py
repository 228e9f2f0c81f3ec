"""The winding: what drives the train, from wound to run down, on the clock's own time."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from builder.drawing.balloons import Target
from builder.drawing.diagrams import winding_fusee, winding_springs, winding_weight
from builder.drawing.sheet import Figure, Sheet
from builder.drawing.source.column import balloon, column
from builder.drawing.source.gauge import gauge, state_part, state_spots
from builder.drawing.source.run import Run, run
from builder.drawing.source.views import Named, Riding, Views
from builder.drawing.table import Plate, Row
from builder.going.going import Going
from builder.ground import words
from builder.ground.wording import Wording
from builder.parts.source.winding import states

SPEED = 3600.0
"""An hour in a second."""
EDGE_PX = 40.0

KINDS: dict[str, Callable[[Going, Run, Wording], Views | None]] = {
    "going_barrel": winding_springs.going_barrel,
    "open_spring": winding_springs.open_spring,
    "fusee": winding_fusee.fusee,
    "weight": winding_weight.weight,
}
"""Kind of source → its views."""


def draw(going: Going, wording: Wording) -> Plate | None:
    """None where the file does not tell how long it goes, or how strip, cone or drum are sized."""
    course = run(going)
    kind = going.movement.source.kind
    views = KINDS[kind](going, course, wording) if course else None
    if course is None or views is None:
        return None
    numbers = {named.part: n for n, named in enumerate(views.named, 1)}
    stack = [*views.figures, *gauge(going, course, wording, *views.scale_x, views.scale_y), *_numbered(views, numbers)]
    for n, (part, (x, y)) in enumerate(state_spots(course, *views.scale_x, views.scale_y).items(), len(numbers) + 1):
        stack += balloon(part, n, (x, y - 14), (x, y - 62))
    left, top, right, bottom = views.box
    left, right = min(left, *views.lines) - EDGE_PX, max(right, *views.lines) + EDGE_PX
    hours = words.duration(course.ms / 3_600_000)
    sheet = Sheet(
        "winding",
        wording.say("drawings.winding.title", name=going.name),
        wording.say(f"drawings.winding.desc_{kind}", hours=hours, **views.facts),
        (left, top - 12, right - left, bottom - top + 24),
        tuple(stack),
        scrub_s=float(course.ms / 1000),
        speed=SPEED,
    )
    return Plate(sheet, ("does", "sizes"), _rows(views, numbers, course, wording))


def _numbered(views: Views, numbers: dict[str, int]) -> list[Figure]:
    _, top, _, bottom = views.box
    made = []
    for line, x in enumerate(views.lines):
        targets = [Target(named.part, numbers[named.part], named.at) for named in views.named if named.line == line]
        made += column(targets, x, top + 26, bottom - 26)
    for named in views.named:
        if isinstance(ride := named.line, Riding):
            inner = balloon(named.part, numbers[named.part], named.at, ride.disc)
            made.append(Figure(None, None, moves=(ride.move,), inner=tuple(inner)))
    return made


def _rows(views: Views, numbers: dict[str, int], course: Run, wording: Wording) -> tuple[Row, ...]:
    rows = [_row(named, numbers[named.part], wording) for named in views.named]
    for n, state in enumerate(states(course.turns), len(rows) + 1):
        hours = words.duration(course.ms / 3_600_000 * Fraction(state.turns_left / course.turns).limit_denominator(1000))
        left = wording.say("drawings.winding.left", turns=words.figure(state.turns_left, 3), hours=hours)
        name = wording["site.player.state_names"][state.name]
        rows.append(Row(n, state_part(state.name), name, {"does": left, "sizes": views.at_state(state.turns_left)}))
    return tuple(rows)


def _row(named: Named, number: int, wording: Wording) -> Row:
    words_of = wording[f"drawings.winding.parts.{named.key}"]
    return Row(number, named.part, words_of["name"], {"does": words_of["does"], "sizes": named.sizes})
