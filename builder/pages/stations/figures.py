"""Every figure with its formula and what went into it; what changes with the winding stands side by side."""

from __future__ import annotations

from builder.going.facts import Fact
from builder.ground.wording import Wording
from builder.pages.computing import explained
from builder.pages.shown import Context, Shown

BETWEEN = " · "
"""Between the texts of one input in the states of winding."""


def context(shown: Shown, wording: Wording) -> Context:
    """A table a group; its rows in the order of the power path."""
    going = shown.going
    groups: dict[str, dict[object, list[Fact]]] = {}
    for fact in shown.facts:
        one = fact.key if fact.state is None else (fact.kind, fact.subject, _without(fact))
        groups.setdefault(fact.group, {}).setdefault(one, []).append(fact)
    states = [winding.name for winding in going.windings]
    tables = []
    for group, rows in groups.items():
        several = any(fact.state for row in rows.values() for fact in row)
        tables.append(
            {
                "group": group,
                "states": [wording.say(f"site.player.state_names.{name}") for name in states] if several else [],
                "rows": [_row(row, states if several else [], wording) for row in rows.values()],
            }
        )
    return {"title": f"{going.name}: {wording.say('pages.stations.figures').lower()}", "groups": tables}


def _without(fact: Fact) -> str:
    """Its key without the state."""
    state = (fact.state or "").replace(" ", "_")
    return fact.key.replace(f".{state}.", ".")


def _row(row: list[Fact], states: list[str], wording: Wording) -> Context:
    """One figure: a cell that spans all states, or one for each."""
    first = row[0]
    by_state = {fact.state: fact for fact in row}
    if first.state is None or (len({fact.said for fact in row}) == 1 and len(row) == len(states)):
        cells = [(_id(first), first.said, max(1, len(states)))]
    else:
        cells = [(_id(by_state[name]), by_state[name].said, 1) if name in by_state else ("", "", 1) for name in states]
    source = f"facts.{first.kind}.source"
    return {
        "label": wording.say(f"facts.{first.kind}.label"),
        "subject": wording.say(pallet) if (pallet := f"drawings.pallets.{first.subject}") in wording else first.subject,
        "cells": cells,
        "formula": wording.say(f"facts.{first.kind}.formula"),
        "explained": explained(wording).get(first.kind),
        "source": wording.say(source) if source in wording else None,
        "inputs": [
            (wording.say(f"facts.inputs.{name}"), BETWEEN.join(dict.fromkeys(dict(fact.inputs).get(name, "") for fact in row)))
            for name, _ in first.inputs
        ],
    }


def _id(fact: Fact) -> str:
    return fact.key.replace(".", "-")
