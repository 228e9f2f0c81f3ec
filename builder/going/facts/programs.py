"""All figures for other programs: every fact by its key, then what is no single figure, in entries of the same form."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np

from builder.going.facts import facts
from builder.going.facts.fact import told
from builder.going.going import Going
from builder.ground.faults import sentences


def for_programs(going: Going) -> dict[str, dict[str, Any]]:
    """Key → kind, subject, unit, text, value and inputs; lists of values under `course`, wound first, None where it stops."""
    found = {fact.key: fact.as_json() for fact in facts(going)}
    if going.beat:
        curves = going.beat.curves
        for key, unit, values in (
            ("hours_gone", "h", curves.hours_gone),
            ("turns_left", "", curves.turns_left),
            ("source_nmm", "N·mm", curves.source_nmm),
            ("escape_nmm", "N·mm", curves.escape_nmm),
            ("amplitude_deg", "°", np.degrees(curves.amplitude_rad)),
            ("rate_s_per_day", "s", curves.rate_s_per_day),
        ):
            found[f"course.{key}"] = _entry("course", unit, [None if np.isnan(each) else told(float(each)) for each in values])
    said = sentences(going.stops + going.findings)
    return found | {"worth_knowing": _entry("worth_knowing", "", said, said)}


def _entry(kind: str, unit: str, value: list[Any], text: Iterable[str] = ()) -> dict[str, Any]:
    return {"kind": kind, "subject": "", "unit": unit, "text": " ".join(text), "value": value, "inputs": {}}
