"""What the workshop keeps of a repair: all figures, before and after, each fault alone and all together, and the trace."""

from __future__ import annotations

from collections.abc import Iterator

from builder.bench.mended import Mended
from builder.drawing.diagrams.power_flow import term_name
from builder.drawing.worn.pictures import pictures
from builder.going.budget import Budget
from builder.going.repair import Alone, Repaired, State
from builder.going.steady import Running, Stopped
from builder.ground import words
from builder.ground.wording import Wording
from builder.pages.repairs import readings
from builder.pages.repairs.customer import shown_pair
from builder.pages.repairs.readings import SIDES
from builder.pages.repairs.said import WEAKEST, WOUND, Said
from builder.pages.shown import Context


def context(mended: Mended, wording: Wording) -> Context:
    """Everything; the parts that need a solved beat are None where there is none."""
    repaired = mended.repaired
    said = Said(repaired, wording)
    solved = bool(repaired.states_before)
    findings = repaired.repair.findings
    drawn = [
        shown_pair(picture, wording)
        for index, finding in enumerate(findings)
        for picture in pictures(repaired.sound, repaired.before, finding, f"f{index + 1}", wording)
    ]
    return {
        "title": said.say("bench.title", title=repaired.repair.title),
        "description": said.say("bench.lede"),
        "solved": solved,
        "states": list(_states(mended, said)) if solved else [],
        "why": list(why(repaired, said)),
        "slips": list(slipping(repaired, said)),
        "budget": _budget(mended, wording) if solved else None,
        "faults": _faults(mended, said) if solved and repaired.alone else None,
        "traces": readings.traces(mended, said),
        "readings": readings.table(mended, said),
        "hands": list(_hands(mended, said)),
        "wear": drawn,
    }


def _states(mended: Mended, said: Said) -> Iterator[Context]:
    """A row a state and side."""
    repaired = mended.repaired
    for was, now in zip(repaired.states_before, repaired.states_after, strict=True):
        name = said.state(was.name)
        sides = [{"side": said.side(side), "cells": _cells(state, said)} for side, state in (("before", was), ("after", now))]  # type: ignore[arg-type]
        yield {"name": words.capital(name), "sides": sides}


def _cells(state: State, said: Said) -> list[str]:
    """Source, escape wheel, worst, least, reserve, amplitude, rate, beat error."""
    stands = said.say("bench.stops")
    nothing = said.say("page.nothing")
    running = state.beat if isinstance(state.beat, Running) else None
    return [
        words.figure(state.source_nmm, 3),
        words.figure(state.escape_nmm, 3),
        words.figure(state.weakest_nmm, 3),
        nothing if state.critical_nmm is None else words.figure(state.critical_nmm, 3),
        nothing if state.reserve is None else words.figure(state.reserve, 3),
        stands if running is None else words.figure(running.amplitude_deg, 4),
        nothing if running is None else words.signed(running.rate_s_per_day),
        nothing if running is None else words.grouped(f"{running.beat_error_ms:.2f}"),
    ]


def why(repaired: Repaired, said: Said) -> Iterator[str]:
    """Each state in which it stops, and why; states that stop alike are said once."""
    told: dict[tuple[str, str, str], list[str]] = {}
    for side, states in (("before", repaired.states_before), ("after", repaired.states_after)):
        for state in states:
            if state.stops is not None:
                key = "why_worst" if state.stops_now_and_then else "why_mean"
                told.setdefault((side, key, state.stops.text), []).append(state.name)
    for (side, key, text), names in told.items():
        yield said.say(f"bench.{key}", side=said.side(side), state=said.states(names), text=text)  # type: ignore[arg-type]


def slipping(repaired: Repaired, said: Said) -> Iterator[str]:
    """What teeth do that go by without driving, before and after."""
    for side, states in (("before", repaired.states_before), ("after", repaired.states_after)):
        if states and states[0].slips.source > 1:
            hands, source = states[0].slips_s_per_day, float(states[0].slips.source)
            facts = {"gain": words.signed(hands, 0), "part": words.figure(100 * (1 - 1 / source), 2)}
            yield said.say("bench.slips", side=said.side(side), **facts)  # type: ignore[arg-type]


def _budget(mended: Mended, wording: Wording) -> list[Context]:
    """Every loss before and after, µW and per cent of what the source gives, wound."""
    repaired = mended.repaired
    was, now = repaired.states_before[0].budget, repaired.states_after[0].budget
    terms = {term.key: term for term in (*now.terms, *was.terms)}
    rows = [_line(wording.say("repairs.bench.sum"), was, now, was.source_uw, now.source_uw)]
    for key, term in terms.items():
        before, after = (next((t.uw for t in each.terms if t.key == key), 0.0) for each in (was, now))
        rows.append(_line(term_name(repaired.sound, term, wording), was, now, before, after))
    if not (was.runs and now.runs):
        standing = (0.0 if each.runs else each.escape_uw for each in (was, now))
        rows.append(_line(wording.say("drawings.power_flow.standing"), was, now, *standing))
    return rows


def _line(name: str, was: Budget, now: Budget, before: float, after: float) -> Context:
    most = max(was.source_uw, now.source_uw)
    places = max(0, 4 - len(str(int(most)))) if most >= 1 else 4
    cells = []
    for uw, whole in ((before, was.source_uw), (after, now.source_uw)):
        share = f"{100 * uw / whole:.1f}" if whole else ""
        cells += [words.grouped(f"{uw:.{places}f}"), share]
    return {"name": name, "cells": [*cells, words.signed(after - before, places)]}


def _faults(mended: Mended, said: Said) -> Context:
    """Each fault alone, the costliest first; then the sound movement and all together."""
    repaired = mended.repaired
    ranked = sorted(repaired.alone, key=lambda each: (-each.costs_deg, each.index))
    sound = repaired.sound
    was = next(winding.beat for winding in sound.windings if winding.name == WOUND)
    last = next(winding.beat for winding in sound.windings if winding.name == WEAKEST)
    rows = [_alone(each, said, was) for each in ranked]
    before = {state.name: state for state in repaired.states_before}
    whole = _total(mended, before[WEAKEST])
    together = [before[WOUND].beat, before[WEAKEST].beat]
    rows.append(_fault(said.say("bench.all_together"), together, whole, said, was))
    added = sum(each.costs_deg for each in repaired.alone)
    return {
        "rows": rows,
        "sound": _fault(said.say("bench.sound"), [was, last], 0.0, said, was),
        "added": words.grouped(f"{round(added, 2) + 0.0:.2f}") if len(repaired.alone) > 1 else None,
        "headings": [said.say("bench.amplitude_alone", state=said.state(name)) for name in (WOUND, WEAKEST)],
    }


def _total(mended: Mended, state: State) -> float:
    """What all together cost where force is least, against the sound movement's own least."""
    some = mended.repaired.alone[0]
    sound = some.costs_deg + (some.weakest.amplitude_deg if isinstance(some.weakest, Running) else 0.0)
    return sound - (state.weakest.amplitude_deg if isinstance(state.weakest, Running) else 0.0)


def _alone(each: Alone, said: Said, was: Running | Stopped) -> Context:
    beats = [each.beat(WOUND), each.beat(WEAKEST)]
    return _fault(f"{each.index + 1}. {said.heading(each.finding)}", beats, each.costs_deg, said, was)


def _fault(name: str, beats: list[Running | Stopped], cost: float, said: Said, was: Running | Stopped) -> Context:
    """Amplitude wound and nearly down, cost, change of rate and beat error, wound."""
    stands, nothing = said.say("bench.stops"), said.say("page.nothing")
    wound = beats[0]
    runs = isinstance(wound, Running) and isinstance(was, Running)
    cells = [words.figure(beat.amplitude_deg, 4) if isinstance(beat, Running) else stands for beat in beats]
    cells.append(words.grouped(f"{round(cost, 2) + 0.0:.2f}"))
    cells.append(words.signed(wound.rate_s_per_day - was.rate_s_per_day) if runs else nothing)  # type: ignore[union-attr]
    cells.append(words.grouped(f"{wound.beat_error_ms:.2f}") if isinstance(wound, Running) else nothing)
    return {"name": name, "cells": cells}


def _hands(mended: Mended, said: Said) -> Iterator[str]:
    """The friction of the hands, where it changed."""
    was, now = mended.repaired.hands_before, mended.repaired.hands_after
    if was is None or now is None or was.grip.torque_nmm == now.grip.torque_nmm:
        return
    for side, setting in zip(SIDES, (was, now), strict=True):
        yield said.say("bench.hands_text", side=said.side(side), slip=words.figure(setting.grip.torque_nmm, 2))
