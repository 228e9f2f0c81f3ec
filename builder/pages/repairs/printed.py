"""A repair as the command prints it, and as other programs read it: the workshop's figures with lasting names."""

from __future__ import annotations

from typing import Any

from builder.going.repair import Alone, Repaired, State
from builder.going.steady import Running, Stopped
from builder.ground import words
from builder.ground.wording import Wording
from builder.pages.repairs.said import Said
from builder.pages.repairs.workshop import slipping, why

LABEL, CELL = 38, 14
"""Widths of the printed table, characters."""

QUANTITIES = {
    "source_nmm": "source",
    "escape_nmm": "escape",
    "weakest_nmm": "weakest",
    "critical_nmm": "least",
    "reserve": "reserve",
    "amplitude_deg": "amplitude",
    "rate_s_per_day": "rate",
    "beat_error_ms": "error",
}
"""Figure of a state → its name in the wording."""


def printed(repaired: Repaired, wording: Wording) -> str:
    """Before and after as a table, why it stops, each fault alone, readings beside what is computed."""
    said = Said(repaired, wording)
    repair = repaired.repair
    lines = [repair.title, f"{repair.object.name}, {said.day(repaired.job.day)}", ""]
    for number, finding in enumerate(repair.findings, 1):
        lines.append(f"  {number}. {said.heading(finding)} ({said.say(f'severity.{finding.severity}')})")
    if not repaired.states_before:
        return "\n".join([*lines, "", said.say("bench.not_solved")])
    lines += ["", *_table(repaired, said), ""]
    lines += [*why(repaired, said), *slipping(repaired, said)]
    if repaired.alone:
        lines += ["", said.say("bench.faults")]
        lines += [_alone(each, said) for each in sorted(repaired.alone, key=lambda each: (-each.costs_deg, each.index))]
    if repaired.readings:
        lines += ["", said.say("page.readings")]
        lines += [_reading(repaired, index, said) for index in range(len(repaired.readings))]
    return "\n".join(lines)


def _table(repaired: Repaired, said: Said) -> list[str]:
    """A column a state and side, a row a figure."""
    pairs = list(zip(repaired.states_before, repaired.states_after, strict=True))
    heads = [said.state(was.name) for was, _ in pairs]
    sides = [said.say("page.before"), said.say("page.after")] * len(pairs)
    rows = ["".ljust(LABEL) + "".join(head.rjust(2 * CELL) for head in heads)]
    rows.append("".ljust(LABEL) + "".join(side.rjust(CELL) for side in sides))
    for key, name in QUANTITIES.items():
        cells = [_cell(state, key, said) for pair in pairs for state in pair]
        rows.append(said.say(f"bench.{name}").ljust(LABEL) + "".join(cell.rjust(CELL) for cell in cells))
    return rows


def _cell(state: State, key: str, said: Said) -> str:
    value = getattr(state, key)
    if value is None:
        return said.say("bench.stops" if key == "amplitude_deg" else "page.nothing")
    return _figure(key, value)


def _figure(key: str, value: float) -> str:
    if key == "rate_s_per_day":
        return words.signed(value)
    return words.grouped(f"{value:.2f}") if key == "beat_error_ms" else words.figure(value, 4 if key == "amplitude_deg" else 3)


def _alone(each: Alone, said: Said) -> str:
    """Its amplitudes, and what it costs where force is least."""
    name = f"  {each.index + 1}. {said.heading(each.finding)}"
    beats = [
        f"{words.figure(beat.amplitude_deg, 4)}°" if isinstance(beat, Running) else said.say("bench.stops")
        for _, beat in each.windings
    ]
    cost = f"{said.say('bench.cost')}: {round(each.costs_deg, 2) + 0.0:.2f}"
    return name.ljust(LABEL) + "".join(beat.rjust(CELL) for beat in beats) + f"   {cost}"


def _reading(repaired: Repaired, index: int, said: Said) -> str:
    read = repaired.readings[index]
    reading = read.reading
    place = ", ".join(filter(None, (said.side(reading.when), said.state(reading.winding), reading.position)))
    parts = []
    if not reading.goes:
        parts.append(said.say("page.stood"))
    for key, name in (("amplitude_deg", "amplitude"), ("rate_s_per_day", "rate"), ("beat_error_ms", "error")):
        measured = getattr(reading, key)
        if measured is not None:
            off = read.off.get(key)
            beside = said.say("page.stood") if off is None else _figure(key, getattr(read, key))
            parts.append(f"{said.say(f'bench.{name}')} {_figure(key, measured)} ({said.say('page.computed', value=beside)})")
    return f"  {place}: {'; '.join(parts)}"


def as_json(repaired: Repaired) -> dict[str, Any]:
    """The same for other programs: keys as in the repair file and in `State`; null where it stops."""
    costliest = repaired.costliest
    return {
        "day": repaired.job.day,
        "title": repaired.repair.title,
        "findings": [finding.model_dump(exclude_none=True) for finding in repaired.repair.findings],
        "before": [_state(state) for state in repaired.states_before],
        "after": [_state(state) for state in repaired.states_after],
        "alone": [
            {
                "finding": each.index,
                "costs_deg": each.costs_deg,
                "slips_s_per_day": each.slips.hands_s_per_day,
                "amplitude_deg": {
                    name: beat.amplitude_deg if isinstance(beat, Running) else None for name, beat in each.windings
                },
                "stops": _why(next((beat for _, beat in each.windings if isinstance(beat, Stopped)), each.weakest)),
            }
            for each in repaired.alone
        ],
        "costliest_finding": None if costliest is None else costliest.index,
        "readings": [
            {
                "measured": read.reading.model_dump(exclude_none=True),
                "computed": {key: getattr(read, key) for key in ("amplitude_deg", "rate_s_per_day", "beat_error_ms", "goes")},
                "measured_less_computed": read.off,
            }
            for read in repaired.readings
        ],
    }


def _state(state: State) -> dict[str, Any]:
    names = ("name", "turns_left", "hours_left", *QUANTITIES, "slips_s_per_day")
    power = {term.key: term.uw for term in state.budget.terms}
    return {
        **{name: getattr(state, name) for name in names},
        "stops": _why(state.stops),
        "stops_now_and_then": state.stops_now_and_then,
        "power_uw": {"source": state.budget.source_uw, **power, "unaccounted": state.budget.unaccounted_uw},
    }


def _why(beat: Running | Stopped | None) -> dict[str, str] | None:
    return {"reason": beat.reason, "text": beat.text} if isinstance(beat, Stopped) else None
