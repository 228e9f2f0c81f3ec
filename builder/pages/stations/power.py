"""The power: what the source holds and gives, what each part takes of it, and what is left for the oscillator."""

from __future__ import annotations

from collections import defaultdict

from builder.drawing.diagrams import power_flow
from builder.going.beat import Beat
from builder.going.budget import Budget, budget
from builder.going.going import Going
from builder.going.steady import Running, Stopped
from builder.ground import words
from builder.ground.constants import GRAVITY_STANDARD_M_S2
from builder.ground.faults import sentences
from builder.ground.wording import Wording
from builder.pages.shown import Context, Shown
from builder.parts.source.drive import Drive
from builder.parts.source.winding import Stored

ALIKE = 1e-9
"""Two powers nearer than this part of each other are one."""


def context(shown: Shown, wording: Wording) -> Context | None:
    """None where the force is not known, so that no beat is solved."""
    going, say = shown.going, wording.say
    beat, drive = going.beat, going.movement.source.drive
    if "power-flow" not in shown.plates or beat is None or drive is None:
        return None
    source = going.movement.source
    budgets = {winding.name: budget(going.train, winding) for winding in beat.windings}
    stored = source.stored
    return {
        "title": f"{going.name}: {say('pages.stations.power').lower()}",
        "lede": say(f"pages.power.lede_{source.kind}", oscillator=say(f"pages.power.the_{going.movement.oscillator.kind}")),
        "flow": shown.plate("power-flow"),
        "ladder": shown.plate("torque-ladder"),
        "curves": shown.plate("going-curves"),
        "winding": shown.plate("winding") if "winding" in shown.plates else None,
        "ratchet": shown.plate("ratchet") if "ratchet" in shown.plates else None,
        "sentences": [
            *_energy(going, drive, beat, wording),
            *_shares(budgets, going, wording),
            *_winding(beat, budgets, wording),
        ],
        "known": _known(drive, wording),
        "caution": None if stored is None else caution(stored, wording),
        "findings": sentences(source.findings()),
        "alike": len(_distinct(budgets)) == 1,
        "states": [say(f"site.player.state_names.{name}") for name in _distinct(budgets)],
        "rows": _rows(going, budgets, wording),
    }


def _energy(going: Going, drive: Drive, beat: Beat, wording: Wording) -> list[str]:
    """What one winding gives, and how long it lasts; what stops would give it, did it go."""
    joules = drive.energy_j()
    hours = going.train.going_hours
    assert hours is not None, "a drive has turns"
    mean = drive.mean_power_uw(float(hours) / drive.turns)
    return [
        wording.say(
            "pages.power.energy" if any(isinstance(w.beat, Running) for w in beat.windings) else "pages.power.energy_stopped",
            energy=words.figure(joules, 3),
            duration=words.duration(hours),
            power=words.figure(mean, 3),
            lift=_height(joules / GRAVITY_STANDARD_M_S2),
        )
    ]


def _height(metres: float) -> str:
    """In the unit a person would use."""
    return f"{words.figure(metres, 2)}{words.THIN}m" if metres >= 1 else f"{words.figure(100 * metres, 2)}{words.THIN}cm"


def _shares(budgets: dict[str, Budget], going: Going, wording: Wording) -> list[str]:
    """What pivots, teeth, escapement and oscillator take when wound."""
    first = next(iter(budgets.values()))

    def part(uw: float) -> str:
        return power_flow.share_text(uw / first.source_uw)

    took = {"teeth": part(first.of("teeth")), "pivots": part(first.of("pivots"))}
    said = [wording.say("pages.power.train", share=part(first.escape_uw), **took)]
    if first.runs:
        kind = going.movement.oscillator.kind
        said.append(
            wording.say(
                f"pages.power.reaches_{kind}",
                share=part(first.of("oscillator")),
                lost=part(first.of("drop", "wheel", "sliding", "lever")),
            )
        )
    return said


def _winding(beat: Beat, budgets: dict[str, Budget], wording: Wording) -> list[str]:
    """What running down does; where it stops."""
    wound, last = beat.windings[0], beat.windings[-1]
    said = []
    if abs(last.power.source_uw - wound.power.source_uw) < ALIKE * wound.power.source_uw:
        said.append(wording.say("pages.power.even" if len(_distinct(budgets)) == 1 else "pages.power.even_source"))
    else:
        part = words.figure(100 * last.power.source_torque_nmm / wound.power.source_torque_nmm, 2)
        said.append(wording.say("pages.power.falls", part=part))
        if isinstance(wound.beat, Running) and isinstance(last.beat, Running):
            ends = {"start": words.figure(wound.beat.amplitude_deg, 3), "end": words.figure(last.beat.amplitude_deg, 3)}
            said.append(wording.say("pages.power.amplitude", **ends))
    stopped = [winding for winding in beat.windings if isinstance(winding.beat, Stopped)]
    if stopped:
        state = wording.say(f"site.player.state_names.{stopped[0].name}").lower()
        assert isinstance(stopped[0].beat, Stopped)
        said.append(wording.say("pages.power.stops", state=state, reason=stopped[0].beat.text))
    return said


def _known(drive: Drive, wording: Wording) -> str | None:
    """How well the torque is known; None for a weight, which says it by its mass."""
    if drive.origin == "measured":
        return wording.say("pages.power.measured")
    if drive.uncertainty:
        return wording.say("pages.power.uncertain", part=words.figure(100 * drive.uncertainty, 2))
    return None


def caution(stored: Stored, wording: Wording) -> list[str]:
    """What this source can do to hands, and what comes before taking it apart."""
    if stored.sort == "weight":
        said = [wording.say("pages.power.caution_weight", energy=words.figure(stored.energy_j, 3))]
        if stored.mass_kg is not None and stored.fall_mm is not None:
            mass, fall = words.figure(stored.mass_kg, 2), words.figure(stored.fall_mm / 1000, 2)
            said.insert(0, wording.say("pages.power.caution_fall", mass=mass, fall=fall))
        return said
    said = [wording.say("pages.power.caution_spring", energy=words.figure(stored.energy_j, 2))]
    if stored.kept_j:
        said.append(wording.say("pages.power.caution_kept", kept=words.figure(stored.kept_j, 2)))
    return [*said, wording.say("pages.power.caution_let_down")]


def _distinct(budgets: dict[str, Budget]) -> list[str]:
    """States to show side by side: the first alone where all are alike, as under a weight."""
    name, first = next(iter(budgets.items()))
    return [name] if all(_alike(each, first) for each in budgets.values()) else list(budgets)


def _alike(one: Budget, other: Budget) -> bool:
    """Whether the same power goes the same ways."""
    pairs = [(one.source_uw, other.source_uw), (one.escape_uw, other.escape_uw)]
    pairs += [(a.uw, b.uw) for a, b in zip(one.terms, other.terms, strict=False)]
    return len(one.terms) == len(other.terms) and all(abs(a - b) < ALIKE * other.source_uw for a, b in pairs)


def _rows(going: Going, budgets: dict[str, Budget], wording: Wording) -> list[Context]:
    """A row for the source and for each thing its power goes into, with its cells in every distinct state."""
    said = power_flow.Said(max(each.source_uw for each in budgets.values()))
    shown = {name: {row.part: row for row in power_flow.rows(going, budgets[name], said, wording)} for name in _distinct(budgets)}
    keys = dict.fromkeys(key for rows in shown.values() for key in rows)
    found = []
    for key in keys:
        name = next(rows[key].name for rows in shown.values() if key in rows)
        cells = [rows[key].cells if key in rows else defaultdict(str) for rows in shown.values()]
        found.append({"key": key, "name": name, "cells": cells})
    return found
