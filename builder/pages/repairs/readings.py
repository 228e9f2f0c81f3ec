"""Readings beside what is computed, side by side and with their differences; and the traces with what is read from them."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees

from markupsafe import Markup

from builder.bench.mended import COMPUTED_BEATS, Mended
from builder.bench.timing.measured import Measured
from builder.bench.timing.noises import Noises
from builder.bench.timing.trace import Reading as Heard
from builder.drawing.trace import Trace, drawn, window_ms
from builder.going.repair import Side, State
from builder.going.steady import Running
from builder.ground import words
from builder.movement.repair import Reading
from builder.pages.repairs.said import Said
from builder.pages.shown import Context

QUANTITIES = {"amplitude_deg": "amplitude", "rate_s_per_day": "rate", "beat_error_ms": "beat_error"}
"""Key of a reading → its name in the wording."""
SIDES: tuple[Side, ...] = ("before", "after")


def table(mended: Mended, said: Said) -> list[Context]:
    """Groups of one state and position, each with a row a quantity and side: measured, computed, difference."""
    repaired = mended.repaired
    places: list[tuple[str, str | None]] = list(dict.fromkeys((each.winding, each.position) for each in repaired.repair.readings))
    groups = []
    for winding, position in places or [(said.shown, None)] if repaired.states_before else places:
        name = said.say(f"states.{winding}")
        title = said.say("page.position", state=name, position=position) if position else said.say("page.in_state", state=name)
        rows = list(_rows(mended, said, winding, position))
        if rows:
            groups.append({"title": f"{title[0].upper()}{title[1:]}", "rows": rows})
    return groups


def _rows(mended: Mended, said: Said, winding: str, position: str | None) -> Iterator[Context]:
    repaired = mended.repaired
    readings = {
        each.when: (index, each)
        for index, each in enumerate(repaired.repair.readings)
        if (each.winding, each.position) == (winding, position)
    }
    for key, name in QUANTITIES.items():
        sides = []
        for side in SIDES:
            taken = readings.get(side)
            measured = None if taken is None else _measured(mended, *taken, key)
            state = repaired.state(side, winding)
            computed = None if state is None else getattr(state, key)
            stood = taken is not None and not taken[1].goes
            sides.append(
                {
                    "side": said.side(side),
                    "measured": said.say("page.stood") if stood else _text(key, measured, said),
                    "computed": _computed(state, key, computed, said),
                    "difference": _difference(key, measured, computed, said),
                }
            )
        yield {"name": said.say(f"page.{name}"), "sides": sides}


def _measured(mended: Mended, index: int, reading: Reading, key: str) -> float | None:
    """As the file says it, or else as it is read from its beats."""
    value: float | None = getattr(reading, key)
    if value is None and index in mended.beats:
        value = getattr(mended.read(mended.beats[index].noises), key)
    return value


def _computed(state: State | None, key: str, value: float | None, said: Said) -> str:
    if state is not None and isinstance(state.beat, Running):
        return _text(key, value, said)
    return said.say("page.nothing") if state is None else said.say("page.stood")


def _places(key: str, value: float) -> int:
    """Digits that a quantity of that size deserves after the point."""
    return {"amplitude_deg": 0 if value >= 20 else 2, "rate_s_per_day": 1, "beat_error_ms": 1}[key]


def _text(key: str, value: float | None, said: Said) -> str:
    if value is None:
        return said.say("page.nothing")
    places = _places(key, value)
    return words.signed(value, places) if key == "rate_s_per_day" else words.grouped(f"{value:.{places}f}")


def _difference(key: str, measured: float | None, computed: float | None, said: Said) -> str:
    """Measured less computed."""
    if measured is None or computed is None:
        return said.say("page.nothing")
    return words.signed(measured - computed, _places(key, measured))


def traces(mended: Mended, said: Said) -> Context | None:
    """Traces before and after, computed and measured, in one window; None where nothing is heard or computed."""
    repaired = mended.repaired
    found: list[tuple[str, str, Noises | None, Measured | None, float | None]] = []
    for side in SIDES:
        state = repaired.state(side, said.shown)
        if state is not None:
            solved = state.beat.amplitude_rad if isinstance(state.beat, Running) else None
            found.append((f"trace-{side}", said.say(f"trace.{side}"), mended.computed(side, said.shown), None, solved))
    for index, measured in mended.beats.items():
        reading = repaired.repair.readings[index]
        heading = said.say(f"trace.measured_{reading.when}")
        found.append((f"trace-measured-{index + 1}", heading, measured.noises, measured, None))
    if not found:
        return None
    drawings = [_trace(slug, heading, heard, mended, said) for slug, heading, heard, _, _ in found]
    window = window_ms(drawings, mended.beat_s)
    sheets = [drawn(each, mended.beat_s, window, COMPUTED_BEATS, said.wording) for each in drawings]
    lift = mended.lift_deg
    return {
        "sheets": [{"sheet": sheet, "svg": Markup(sheet.svg())} for sheet in sheets],  # nosec B704: sheet.py escapes all
        "rows": [_row(heading, heard, measured, solved, mended, said) for _, heading, heard, measured, solved in found],
        "state": said.say("trace.state", state=said.say(f"states.{said.shown}")),
        "lift": said.say("trace.no_lift") if lift is None else said.say("trace.lift", lift=words.figure(lift, 3)),
    }


def _trace(slug: str, heading: str, heard: Noises | None, mended: Mended, said: Said) -> Trace:
    if heard is None:
        return Trace(slug, heading, None, said.say("trace.desc_silent"))
    read = mended.read(heard)
    facts = {"rate": words.signed(read.rate_s_per_day), "error": words.figure(read.beat_error_ms, 2)}
    return Trace(slug, heading, heard, said.say("trace.desc", **facts))


def _row(
    heading: str, heard: Noises | None, measured: Measured | None, solved_rad: float | None, mended: Mended, said: Said
) -> Context:
    """What the instrument would read, beside the amplitude as solved."""
    nothing = said.say("page.nothing")
    read: Heard | None = None if heard is None else mended.read(heard)
    amplitude = None if read is None else read.amplitude_deg
    return {
        "name": heading,
        "rate": nothing if read is None else words.signed(read.rate_s_per_day),
        "error": nothing if read is None else words.grouped(f"{read.beat_error_ms:.2f}"),
        "amplitude": nothing if amplitude is None else words.figure(amplitude, 3),
        "solved": nothing if solved_rad is None else words.figure(degrees(solved_rad), 3),
        "scatter": nothing if read is None or measured is None else words.grouped(f"{read.scatter_ms:.2f}"),
        "beats": nothing if heard is None else str(len(heard.beats)),
        "missed": nothing if measured is None else str(measured.missed),
        "left_out": nothing if measured is None else str(measured.left_out),
    }
