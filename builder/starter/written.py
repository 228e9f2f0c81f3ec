"""A movement's data as a file that a person goes on with: every key that comes up for the first time says how to measure it."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Mapping
from typing import Any

from builder.starter.howto import CAUTIONS, HOW

WIDTH = 110

HEADS = {
    "movement": "What the page says of it.",
    "source": "What drives it.",
    "arbors": "The arbors with their wheels and pinions, from the source to the escape wheel.",
    "meshes": "Which wheel drives which pinion.",
    "escapement": "What lets the train go, tooth by tooth.",
    "oscillator": "What counts the time.",
    "motion_work": "The gearing of the hands.",
    "plates": "The frame.",
    "dial": "The dial.",
}


def written(data: Mapping[str, Any], head: str, remarks: Mapping[str, str] | None = None) -> str:
    """The file's text. `remarks` stand behind the line of a key: 'arbors.great.wheel' → 'diameter not measured'."""
    lines = ["#:schema ../movement.schema.json", *_comment(head)]
    known: set[str] = set()
    for table, value in data.items():
        lines += ["", *_comment(HEADS[table])]
        if table == "source":
            lines += _comment(CAUTIONS[value["kind"]])
        for index, each in enumerate(value if isinstance(value, list) else [value]):
            lines += [""] * (index > 0) + [f"[[{table}]]" if isinstance(value, list) else f"[{table}]"]
            place = f"{table}.{each['id']}" if table == "arbors" else table
            for key, item in each.items():
                lines += _said(f"{table}.{key}", item, known)
                remark = (remarks or {}).get(f"{place}.{key}")
                lines.append(f"{key} = {_value(item)}" + (f"  # {remark}" if remark else ""))
    return "\n".join(lines) + "\n"


def _said(key: str, value: Any, known: set[str]) -> list[str]:
    """How to measure a key, and the keys of a table within it, the first time that they come up."""
    keys = [key, *(f"{key}.{inner}" for inner in value)] if isinstance(value, Mapping) else [key]
    new = [each for each in keys if each in HOW and each not in known]
    known.update(new)
    return [line for each in new for line in _comment((f"{each.rpartition('.')[2]}: " if each != key else "") + HOW[each])]


def _comment(text: str) -> list[str]:
    return [f"# {line}" for line in textwrap.wrap(text, WIDTH)]


def _value(value: Any) -> str:
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{key} = {_value(each)}" for key, each in value.items()) + " }"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(_value, value)) + "]"
    return json.dumps(value, ensure_ascii=False)
