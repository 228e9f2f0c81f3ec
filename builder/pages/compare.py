"""Two movements side by side: one page for the collection, and for each movement its drawings as a file that the page calls."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from builder.drawing.diagrams import train_plan
from builder.drawing.sheet import Sheet
from builder.ground.wording import Wording
from builder.pages.learner import ways
from builder.pages.press import Press
from builder.pages.shown import Context, Shown

PAGE = "compare.html"
FILE = "compared.js"
"""In the folder of each movement."""

XMLNS = ' xmlns="http://www.w3.org/2000/svg"'
"""HTML knows it by itself."""

DRAWINGS = {"train": "train-front", "escapement": "escapement", "oscillator": "oscillator"}
"""Row of the page → drawing."""

SPEEDS = {"train": 1.0, "escapement": 0.05, "oscillator": 1.0}

ROWS: dict[str, tuple[str | tuple[str, ...], ...]] = {
    "power": (
        "source", "source_turns", "going_hours", ("source_torque", "torque_wound"), "evenness", "mean_power", "train_efficiency",
        "reaches",
    ),
    "train": ("product", "whole_ratio", "beats_per_hour", "teeth_per_minute", "reduction"),
    "escapement": (
        "escapement", "escape_teeth", "lift", "lock", "drop_wheel", "least_torque", "reserve", "escapement_efficiency",
    ),
    "oscillator": (
        "oscillator", "beat_s", "amplitude", "least_amplitude", "rate", "beat_error", "oscillator_energy",
        ("q_balance_given", "q_balance_estimated", "q_pendulum_given", "q_pendulum_estimated"),
    ),
}  # fmt: skip
"""Group → kinds of fact, the first that a movement has of several; names of `compare.rows` are said otherwise."""


def tell(shown: Shown, press: Press) -> dict[str, Any]:
    """What the page says of a movement: kinds of figure → (text, id on the page of figures), and the size of its plan."""
    return {
        "slug": shown.going.slug,
        "name": shown.going.name,
        "box": _sheet(shown, "train").box,
        "marks": _marks(shown),
        "figures": _figures(shown, press.wording),
    }


def compared(told: Iterable[dict[str, Any]], press: Press) -> dict[str, bytes]:
    """The page; nothing where there is only one movement."""
    movements = list(told)
    if len(movements) < 2:
        return {}
    return press.page(
        PAGE, "compare.html.jinja", title=press.wording.say("compare.title"), description=press.wording.say("compare.lede"),
        nav=ways(press.wording), movements=movements,
        drawings=[{"row": row, "slug": f"compared-{row}", "speed": SPEEDS[row], "beat_ms": None, "scrub_s": 60.0,
                   "dial_hours": 12, "states": {}} for row in DRAWINGS],
        groups=list(_groups({each["slug"]: each["figures"] for each in movements}, press.wording)),
        marks={group: " ".join(sorted({part for each in movements for part in each["marks"][group]})) for group in ROWS},
    )  # fmt: skip


def _marks(shown: Shown) -> dict[str, list[str]]:
    """Group of rows → the parts that its figures are of, by their names in the drawings."""
    going = shown.going
    wheels = [f"{name}-{part}".replace("_", "-") for name in going.train.path for part in ("pinion", "wheel")]
    return {
        "power": wheels[1:2],
        "train": wheels,
        "escapement": ["escape-wheel", "pallets"],
        "oscillator": ["balance", "bob", "hairspring", "pendulum", "pendulum-rod"],
    }


def _sheet(shown: Shown, row: str) -> Sheet:
    sheet = shown.plates[DRAWINGS[row]].sheet
    return sheet.bare(train_plan.MARGIN_PX - 16) if row == "train" else sheet


def file(shown: Shown) -> dict[str, bytes]:
    """A script that hands over the drawings, in the first state of winding, under ids that no other movement has."""
    slug = shown.going.slug
    drawings = {}
    for row, name in DRAWINGS.items():
        if name not in shown.plates:
            continue
        sheet = _sheet(shown, row)
        states: dict[str, dict[str, dict[str, str]]] = {state: {} for state in sheet.states}
        drawings[row] = replace(sheet, slug=f"{slug}-{sheet.slug}", states=states).svg().replace(XMLNS, "", 1)
    handed = json.dumps({"slug": slug, "drawings": drawings}, ensure_ascii=False, separators=(",", ":"))
    return {f"{slug}/{FILE}": f"compared({handed});\n".encode()}


def _figures(shown: Shown, wording: Wording) -> dict[str, tuple[str, str | None]]:
    """Kind of figure → (its text, id on the page of figures), of the first state of winding."""
    going = shown.going
    movement, train = going.movement, going.train
    found: dict[str, tuple[str, str | None]] = {}
    for fact in shown.facts:
        if fact.state in (None, going.windings[0].name if going.windings else None):
            found.setdefault(fact.kind, (fact.said, fact.key.replace(".", "-")))
    pairs = train.path_pairs
    found |= {
        "sort": (wording.say(f"pages.sorts.{movement.movement.sort}"), None),
        "source": (wording.say(f"compare.sources.{movement.source.kind}"), None),
        "product": (" × ".join(f"{pair.driver_count}/{pair.driven_count}" for pair in pairs), None),
        "escape_teeth": (str(train.escape_teeth), None),
        "escapement": (_kind(movement.escapement, "escapements", wording), None),
        "oscillator": (_kind(movement.oscillator, "oscillators", wording), None),
    }
    return found


def _kind(part: object, family: str, wording: Wording) -> str:
    kind = getattr(part, "kind", "")
    return str(getattr(part, "name", "")) if kind == "counted" else wording.say(f"pages.{family}.{kind}")


def _groups(columns: dict[str, dict[str, tuple[str, str | None]]], wording: Wording) -> Iterable[Context]:
    """Groups of rows; a row that no movement has is left out."""
    for group, kinds in ROWS.items():
        rows = []
        for each in kinds:
            among = (each,) if isinstance(each, str) else each
            cells = [next((found[kind] for kind in among if kind in found), None) for found in columns.values()]
            if not any(cells):
                continue
            own = f"compare.rows.{among[0]}"
            label = wording.say(own if own in wording else f"facts.{among[0]}.label")
            rows.append({"label": label, "cells": list(zip(columns, cells, strict=True))})
        yield {"name": group, "title": wording.say(f"compare.groups.{group}"), "rows": rows}
