"""Readings beside what is computed, side by side and with their differences; and the traces with what is read from them."""

from __future__ import annotations

from math import degrees

from markupsafe import Markup

from builder.bench.mended import COMPUTED_BEATS, Mended
from builder.bench.timing.measured import Measured
from builder.bench.timing.noises import Noises
from builder.bench.timing.trace import Reading as Heard
from builder.drawing.trace import Trace, drawn, window_ms
from builder.going.repair import Side
from builder.going.steady import Running
from builder.ground import words
from builder.movement.repair import Reading
from builder.pages.repairs.said import Said
from builder.pages.shown import Context

QUANTITIES = {"amplitude_deg": "amplitude", "rate_s_per_day": "rate", "beat_error_ms": "beat_error"}
"""Key of a reading → its name in the wording."""
SIDES: tuple[Side, ...] = ("before", "after")


def table(mended: Mended, said: Said) -> Context | None:
    """A row a side, state and position, a cell a quantity: measured, computed, difference. Without readings the computed figures
    of the state that is told of; None where there is neither."""
    repaired = mended.repaired
    taken: list[tuple[int, Reading]] = list(enumerate(repaired.repair.readings))
    keys = [key for key in QUANTITIES if any(_measured(mended, index, each, key) is not None for index, each in taken)]
    keys = keys or list(QUANTITIES if repaired.states_before else ["amplitude_deg"])
    rows = [_row_of(mended, said, keys, each.when, each.winding, each.position, (index, each)) for index, each in taken]
    if not taken and not repaired.states_before:
        return None
    silent = [side for side in SIDES if repaired.states_before and side not in {each.when for _, each in taken}]
    rows += [_row_of(mended, said, keys, side, said.shown, None, None) for side in silent]
    return {"columns": [said.say(f"page.{QUANTITIES[key]}") for key in keys], "rows": rows}


def _row_of(
    mended: Mended, said: Said, keys: list[str], side: Side, winding: str, position: str | None, taken: tuple[int, Reading] | None
) -> Context:
    """One reading, or what is computed where there is none."""
    state = mended.repaired.state(side, winding)
    names = [said.side(side), said.state(winding), *([position] if position else [])]
    stood, stands = taken is not None and not taken[1].goes, state is not None and not isinstance(state.beat, Running)
    cells: list[Context] = []
    for key in keys:
        measured = None if taken is None or stood else _measured(mended, *taken, key)
        computed = None if state is None else getattr(state, key)
        cell: Context = {"measured": said.say("page.nothing"), "computed": None, "difference": None}
        if stood and not cells:
            cell["measured"] = said.say("page.stood")
        elif measured is not None:
            cell["measured"] = _text(key, measured)
        if stands and not cells:
            cell["computed"] = said.say("page.stood")
        elif computed is not None:
            cell["computed"] = _text(key, computed)
        if measured is not None and computed is not None:
            cell["difference"] = _difference(key, measured, computed)
        cells.append(cell)
        if stood and stands:
            break  # it stood, as was computed: there is no more to say
    return {"name": ", ".join(names), "cells": cells, "left": len(keys) - len(cells)}


def _measured(mended: Mended, index: int, reading: Reading, key: str) -> float | None:
    """As the file says it, or else as it is read from its beats."""
    value: float | None = getattr(reading, key)
    if value is None and index in mended.beats:
        value = getattr(mended.read(mended.beats[index].noises), key)
    return value


def _places(key: str, value: float) -> int:
    """Digits that a quantity of that size deserves after the point."""
    return {"amplitude_deg": 0 if value >= 20 else 2, "rate_s_per_day": 1, "beat_error_ms": 1}[key]


def _text(key: str, value: float) -> str:
    places = _places(key, value)
    return words.signed(value, places) if key == "rate_s_per_day" else words.grouped(f"{value:.{places}f}")


def _difference(key: str, measured: float, computed: float) -> str:
    """Measured less computed."""
    return words.signed(measured - computed, _places(key, measured))


def traces(mended: Mended, said: Said) -> list[Context]:
    """Traces before and after, computed and measured, those of one state of winding together in one window: of the states in
    which beats were taken down, else of the one that is told of. Nothing where nothing is computed or measured."""
    taken: list[str] = [mended.repaired.repair.readings[index].winding for index in mended.beats]
    found = [_traces(mended, said, winding) for winding in dict.fromkeys(taken or [said.shown])]
    return [each for each in found if each["rows"]]


def _traces(mended: Mended, said: Said, winding: str) -> Context:
    repaired = mended.repaired
    found: list[tuple[str, str, Noises | None, Measured | None, float | None]] = []
    named = winding.replace(" ", "-")
    for side in SIDES:
        state = repaired.state(side, winding)
        if state is not None:
            solved = state.beat.amplitude_rad if isinstance(state.beat, Running) else None
            found.append((f"trace-{side}-{named}", said.say(f"trace.{side}"), mended.computed(side, winding), None, solved))
    for index, measured in mended.beats.items():
        reading = repaired.repair.readings[index]
        if reading.winding == winding:
            heading = said.say(f"trace.measured_{reading.when}")
            if reading.position is not None:
                heading = f"{heading}, {reading.position}"
            found.append((f"trace-measured-{index + 1}", heading, measured.noises, measured, None))
    drawings = [_trace(slug, heading, heard, mended, said) for slug, heading, heard, _, _ in found]
    window = window_ms(drawings, mended.beat_s)
    sheets = [drawn(each, mended.beat_s, window, COMPUTED_BEATS, said.wording) for each in drawings]
    lift = mended.lift_deg
    return {
        "sheets": [{"sheet": sheet, "svg": Markup(sheet.svg())} for sheet in sheets],  # nosec B704 # sheet.py escapes all
        "rows": [_row(heading, heard, measured, solved, mended, said) for _, heading, heard, measured, solved in found],
        "state": said.when("trace.state", state=said.state(winding)),
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
