"""The unit that a name carries, and how a figure of that unit is written."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from builder.ground import words

Value = Fraction | int | float | str | tuple[int, ...]
"""What a line can come to; a tuple of counts is their product, written out."""


@dataclass(frozen=True)
class Unit:
    """One unit: its sign, the figures that a result deserves, and whether people write it in fractions."""

    sign: str
    digits: int = 5
    fractions: bool = False
    signed: bool = False
    """A gain or a loss, written with its sign."""


UNITS: dict[str, Unit] = {
    "_s_per_day_per_c": Unit("s a day a °C", 3, signed=True),
    "_s_per_day": Unit("s a day", signed=True),
    "_nmm_per_turn": Unit("N·mm a turn", 3),
    "_m_s2": Unit("m/s²", 7),
    "_mg_cm2": Unit("mg·cm²"),
    "_nnm": Unit("nN·m", 4),
    "_nmm": Unit("N·mm", 3),
    "_gpa": Unit("GPa", 3),
    "_ppm_per_c": Unit("millionths a °C", 4),
    "_percent": Unit("%", 3),
    "_deg": Unit("°", 4),
    "_rad": Unit("rad", 5),
    "_mm2": Unit("mm²", 5),
    "_mm": Unit("mm"),
    "_uw": Unit("µW", 3),
    "_uj": Unit("µJ", 3),
    "_ms": Unit("ms", 4),
    "_mg": Unit("mg", 4),
    "_kg": Unit("kg", 4),
    "_g": Unit("g", 4),
    "_m": Unit("m"),
    "_j": Unit("J", 3),
    "_n": Unit("N", 4),
    "_c": Unit("°C", 3),
    "_s": Unit("s", 6, fractions=True),
    "_hours": Unit("h", 6, fractions=True),
    "_days": Unit("days", 5, fractions=True),
    "_left": Unit("", 3),
    "_turns": Unit("", 4, fractions=True),
    "": Unit("", 5, fractions=True),
}
"""By the end of a name, longer ends first; a name without a unit is a count, a ratio or a text."""

PUT_DIGITS = 8
"""Figures of a computed value where it is put into the next line: enough to follow on a pocket calculator."""


def unit_of(name: str) -> Unit:
    """The unit that a name ends in."""
    return next(unit for end, unit in UNITS.items() if name.endswith(end) or name == end[1:])


def result_text(name: str, value: Value) -> str:
    """A value as the result of a line, without its unit."""
    if isinstance(value, str):
        return value
    if isinstance(value, tuple):
        return product(value)
    unit = unit_of(name)
    if unit.signed:
        return _signed(float(value))
    if isinstance(value, float):
        return words.figure(value, unit.digits)
    if unit.fractions or isinstance(value, int):
        return words.whole_and_part(Fraction(value))
    return _bare(words.figure(float(value), unit.digits))


def given_text(name: str, value: Value) -> str:
    """A value as it was asked, without its unit."""
    if isinstance(value, float):
        text = words.grouped(f"{value:.12g}") if 1e-6 < abs(value) < 1e12 or value == 0 else f"{value:g}"
        return f"+{text}" if value > 0 and unit_of(name).signed else text
    if isinstance(value, Fraction) and not unit_of(name).fractions and (decimal := _decimal(value)) is not None:
        return decimal
    return result_text(name, value)


def _signed(value: float) -> str:
    """With its sign, and the fewer decimals the larger it is."""
    return words.signed(value, 3 if abs(value) < 1 else 2 if abs(value) < 100 else 1)


def put_text(name: str, value: Value, given: bool) -> str:
    """A value as it is put into a formula: every figure that was given, eight of what was worked out."""
    if isinstance(value, str):
        return value
    if isinstance(value, tuple):
        return product(value)
    if isinstance(value, int):
        text = words.grouped(str(value))
    elif isinstance(value, Fraction):
        text = _decimal(value) or f"({words.grouped(str(value.numerator))}/{words.grouped(str(value.denominator))})"
    else:
        text = given_text(name, value) if given else _bare(words.figure(value, PUT_DIGITS))
    text = text.lstrip("+")
    return f"({text})" if text.startswith(words.MINUS) else text


def with_unit(text: str, name: str) -> str:
    """A text with the sign of its name's unit."""
    sign = unit_of(name).sign
    return text if not sign else f"{text}{'' if sign == '°' else words.THIN}{sign}"


def product(counts: tuple[int, ...]) -> str:
    """64 × 60 × 8; 1 where there is none."""
    return " × ".join(str(count) for count in counts) or "1"


def _decimal(value: Fraction) -> str | None:
    """The exact decimal, where there is one of six places or fewer."""
    scaled = value * 10**6
    if scaled.denominator != 1:
        return None
    return words.grouped(_bare(f"{float(value):.6f}"))


def _bare(text: str) -> str:
    return text.rstrip("0").rstrip(".") if "." in text else text
