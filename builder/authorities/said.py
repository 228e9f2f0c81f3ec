"""Names and values of the files of authorities as a table shows them."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from builder.authorities.row import LAST_DIGIT, Row
from builder.ground import words

UNITS = {
    "mm": "mm", "cm": "cm", "m": "m", "in": "in", "ft": "ft", "km": "km", "mm2": "mm²", "cm2": "cm²", "cm3": "cm³",
    "g": "g", "kg": "kg", "mg": "mg", "lb": "lb", "s": "s", "ms": "ms", "min": "min", "minutes": "min", "hours": "h",
    "days": "days",
    "hz": "Hz", "deg": "°", "arcmin": "′", "degF": "°F", "degC": "°C", "c": "°C", "percent": "%", "ppm": "ppm", "rad": "rad",
    "n": "N", "nN": "nN", "nmm": "N·mm", "nnm": "nN·m", "w": "W", "uw": "µW", "uW": "µW", "uJ": "µJ", "uj": "µJ", "j": "J",
    "gpa": "GPa", "per": "per", "day": "day",
}  # fmt: skip
"""The last words of a key, as units are written."""

CLOSE_UP = ("°", "′")


def named(key: str) -> tuple[str, str]:
    """A key in words and its unit: ('loss', 's per day') of 'loss_s_per_day'. Words alone have no unit."""
    steps = key.replace(".", "_").split("_")
    start = len(steps)
    while start > 1 and steps[start - 1] in UNITS:
        start -= 1
    if start == len(steps) or steps[start] == "per":
        return " ".join(steps), ""
    return " ".join(steps[:start]), " ".join(UNITS[step] for step in steps[start:])


def with_unit(text: str, unit: str) -> str:
    """A value and its unit."""
    if not unit:
        return text
    return f"{text}{'' if unit in CLOSE_UP else words.THIN}{unit}"


def listed(given: Mapping[str, Any]) -> str:
    """All that was given, in one line."""
    return "; ".join(_one(key, value) for key, value in given.items())


def _one(key: str, value: Any) -> str:
    name, unit = named(key)
    if name == "sum":
        return str(value).replace("-", " ")
    text = ", ".join(f"{k} {typed(v)}".replace("_", " ") for k, v in value.items()) if isinstance(value, dict) else typed(value)
    return f"{name} {with_unit(text, unit)}"


def typed(value: Any) -> str:
    """A value as its source has it."""
    if isinstance(value, dict):
        return ", ".join(f"{named(key)[0]} {typed(each)}" for key, each in value.items())
    if isinstance(value, list):
        between = " · " if any(isinstance(each, list) for each in value) else ", "
        return between.join(typed(each) for each in value)
    if isinstance(value, float) and 0 < abs(value) < 1e-4:
        return _power_of_ten(value)
    if isinstance(value, (int, float)):
        return words.grouped(f"{value:.10g}")
    return str(value).replace("_", " ")


def _power_of_ten(value: float) -> str:
    """6 × 10⁻⁵."""
    lead, _, power = f"{value:.2e}".partition("e")
    lead = lead.rstrip("0").rstrip(".")
    raised = str(int(power)).translate(str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹"))
    return f"{'' if lead == '1' else lead + ' × '}10{raised}"


def computed(row: Row) -> str:
    """What the builder comes to, two places further than the source; several where they differ."""
    if isinstance(row.computed, dict):
        return typed(row.computed)
    texts = [_computed(a, b) for a, b in row.pairs]
    return ", ".join(texts if isinstance(row.published, list) else dict.fromkeys(texts))


def _computed(published: Any, value: Any) -> str:
    if isinstance(value, Fraction) and value.denominator == 1:
        return words.grouped(str(value.numerator))
    if isinstance(value, Fraction) and isinstance(published, str):
        return str(value)
    places = len(str(published).partition(".")[2]) if "e" not in str(published) else 10
    text = f"{float(value):.{places + 2}f}".rstrip("0").rstrip(".")
    return words.grouped(text)


def difference(row: Row) -> str:
    """The largest, with its sign; nought where only the last digits of a computer's numbers differ."""
    off = row.difference
    scale = max((abs(float(Fraction(str(a)))) for a, _ in row.pairs), default=0.0) if not isinstance(row.published, dict) else 0.0
    if abs(off) <= LAST_DIGIT * max(1.0, scale):
        return "0"
    return ("+" if off > 0 else "") + words.figure(off, 2)


def tolerance(row: Row, exact: str) -> str:
    """How far it may be off; the word for exact where it may not."""
    tol = row.entry.tolerance
    if row.name in row.entry.within:
        return f"±{words.THIN}{typed(row.entry.within[row.name])}"
    if tol.rel is not None:
        return f"±{words.THIN}{typed(100 * tol.rel)}{words.THIN}%"
    return f"±{words.THIN}{typed(tol.abs)}" if tol.abs else exact
