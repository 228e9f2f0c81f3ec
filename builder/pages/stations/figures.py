"""Every figure with its formula and what went into it; what changes with the winding stands side by side."""

from __future__ import annotations

from builder.going.facts import Fact
from builder.ground import words
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
    tables = [
        _table(group, [*rows.values()], [winding.name for winding in going.windings], wording) for group, rows in groups.items()
    ]
    return {"title": f"{going.name}: {wording.say('pages.stations.figures').lower()}", "groups": tables}


def _table(group: str, rows: list[list[Fact]], states: list[str], wording: Wording) -> Context:
    """A group: a column for each state of winding where any figure differs between them, else one for all."""
    several = any(not _same(row, states) for row in rows)
    made = [_row(row, states if several else [], wording) for row in rows]
    for column in range(len(states) if several else 1):
        at = [row["cells"][column] for row in made if column < len(row["cells"])]
        for cell, text in zip(at, words.aligned([cell["text"] for cell in at]), strict=True):
            cell["room"] = text.removesuffix(cell["text"])
    return {
        "group": group,
        "states": [wording.say(f"site.player.state_names.{name}") for name in states] if several else [],
        "inputs": any(row["inputs"] for row in made),
        "rows": made,
    }


def _same(row: list[Fact], states: list[str]) -> bool:
    """Whether a figure is the same in all states."""
    return row[0].state is None or (len({fact.said for fact in row}) == 1 and len(row) == len(states))


def _without(fact: Fact) -> str:
    """Its key without the state."""
    state = (fact.state or "").replace(" ", "_")
    return fact.key.replace(f".{state}.", ".")


def _row(row: list[Fact], states: list[str], wording: Wording) -> Context:
    """One figure: a cell that spans all states, or one for each."""
    first = row[0]
    by_state = {fact.state: fact for fact in row}
    if not states or _same(row, states):
        cells = [_cell(first, max(1, len(states)))]
    else:
        cells = [_cell(by_state.get(name)) for name in states]
        said = iter(words.levelled([fact.said for name in states if (fact := by_state.get(name))]))
        cells = [cell | {"text": next(said)} if cell["id"] else cell for cell in cells]
    source = f"facts.{first.kind}.source"
    return {
        "label": wording.say(f"facts.{first.kind}.label"),
        "subject": wording.say(pallet) if (pallet := f"drawings.pallets.{first.subject}") in wording else first.subject,
        "cells": cells,
        "formula": wording.say(f"facts.{first.kind}.formula"),
        "explained": explained(wording).get(first.kind),
        "source": wording.say(source) if source in wording else None,
        "inputs": [
            (
                wording.say(f"facts.inputs.{name}"),
                BETWEEN.join(words.levelled([*dict.fromkeys(dict(fact.inputs).get(name, "") for fact in row)])),
            )
            for name, _ in first.inputs
        ],
    }


def _cell(fact: Fact | None, span: int = 1) -> Context:
    """A value under the address of its figure; empty in a state that has none."""
    return {"id": _id(fact), "text": fact.said, "span": span} if fact else {"id": "", "text": "", "span": span}


def _id(fact: Fact) -> str:
    return fact.key.replace(".", "-")
