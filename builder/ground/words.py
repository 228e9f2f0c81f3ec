"""Numbers as a person writes them: fractions as fractions, narrow spaces before units, no more digits than deserved."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

THIN = "\u202f"
"""Narrow and never broken: a figure and its unit stay together."""
MINUS = "\u2212"
NO_BREAK = "\u00a0"
FIGURE_SPACE = "\u2007"
"""As wide as a digit."""
UNITS = r"%|°C|(?:nN|µN|N)·mm?|(?:mg|g)·cm²|kg·m²|m/s²|[mc]m²|cm³|[kcmµ]?m|[kmµ]?g|[mµ]?[sJWN]|min|h|k?Hz|rad|[GM]Pa"
"""Signs of units that stand behind figures; words, as days and turns, may stand on the next line."""
_LEAD = re.compile(rf"[+{MINUS}]?\d(?:{THIN}?\d)*(?!{THIN}?\d)")
MANY = 9999
_DECIMAL = re.compile(rf"({MINUS}?\d(?:{THIN}?\d)*)(?:\.(\d+))?(?![\d/]| \d)")
_WITHIN = re.compile(r"(?<=\d) |(?<=÷) (?=\d)")
_APART = re.compile(rf"(?<=[\d}}]) (?=(?:{UNITS})(?![\w·/²³°]))")


def grouped(text: str) -> str:
    """18000 as 18 000 (narrow spaces from five digits on, as ISO 80000-1 recommends groups of three)."""
    sign, digits = (MINUS, text[1:]) if text[:1] in "-\u2212" else ("", text)
    whole, _, rest = digits.partition(".")
    if len(whole) >= 5:
        head = len(whole) % 3
        whole = THIN.join(([whole[:head]] if head else []) + [whole[i : i + 3] for i in range(head, len(whole), 3)])
    return sign + whole + ("." + rest if rest else "")


def united(text: str) -> str:
    """Every figure, or the {name} of one, and the unit behind it, typed with an ordinary space: a narrow one between them."""
    return _APART.sub(THIN, text)


def unbroken(text: str) -> str:
    """No line ends behind a figure: within 7 1/2, 96 ÷ 8 or 96 teeth."""
    return _WITHIN.sub(NO_BREAK, text)


def begins_with_figure(text: str) -> bool:
    """Whether it is a figure, with or without a unit, and no sentence."""
    return _LEAD.match(text) is not None


def aligned(texts: Sequence[str]) -> list[str]:
    """One above the other: room before each, so that ones stand under ones and decimals in line. Words stay as they are."""
    wholes = [_whole(text) for text in texts]
    widest = max((len(whole) - whole.count(THIN) for whole in wholes if whole is not None), default=0)
    groups = max((whole.count(THIN) for whole in wholes if whole is not None), default=0)
    return [
        text if whole is None else FIGURE_SPACE * (widest - len(whole) + (n := whole.count(THIN))) + THIN * (groups - n) + text
        for text, whole in zip(texts, wholes, strict=True)
    ]


def levelled(texts: Sequence[str]) -> list[str]:
    """Figures that stand side by side, with or without units: as many decimals for each as the one that has fewest.

    They stay as they are where one is no decimal number, or would keep less than two digits that say something.
    """
    found = [one for text in texts if (one := _DECIMAL.match(text))]
    if len(found) < len(texts):
        return list(texts)
    places = min((len(one[2] or "") for one in found if one[0] != "0"), default=0)
    made = [one[0] if one[0] == "0" else _rounded(one[0], places) for one in found]
    if any(new != one[0] and len(re.sub(r"\D", "", new).lstrip("0")) < 2 for new, one in zip(made, found, strict=True)):
        return list(texts)
    return [new + one.string[one.end() :] for new, one in zip(made, found, strict=True)]


def _rounded(text: str, places: int) -> str:
    return grouped(f"{Decimal(text.replace(THIN, '').replace(MINUS, '-')):.{places}f}")


def _whole(text: str) -> str | None:
    """Sign and digits before the point or the fraction; nothing of 1/12; None where it does not begin with a figure."""
    lead = _LEAD.match(text)
    if lead is None:
        return None
    return "" if text[lead.end() :].startswith("/") else lead[0]


def capital(text: str) -> str:
    """With its first letter large, the others as they are."""
    return text[:1].upper() + text[1:]


def small(text: str) -> str:
    """With its first letter small, the others as they are."""
    return text[:1].lower() + text[1:]


def whole_and_part(value: Fraction, largest: int = 99) -> str:
    """7 1/2 for 15/2. Where the denominator passes `largest`, digits instead: four at least, and one after the point.

    One part of many stays one part: 1/576.
    """
    if value.denominator == 1:
        return grouped(str(value.numerator))
    if value.denominator > largest and not (abs(value.numerator) == 1 and value.denominator <= MANY):
        return figure(float(value), max(4, len(str(abs(int(value)))) + 1))
    sign = MINUS if value < 0 else ""
    whole, part = divmod(abs(value), 1)
    return sign + (f"{grouped(str(whole))} " if whole else "") + f"{part.numerator}/{part.denominator}"


def figure(value: float, digits: int = 3) -> str:
    """`digits` significant digits without an exponent (trailing zeros kept: they are figures too)."""
    if value == 0:
        return "0"
    from math import floor, log10

    rounded = float(f"{value:.{digits - 1}e}")
    places = max(0, digits - 1 - floor(log10(abs(rounded))))
    return grouped(f"{rounded:.{places}f}")


def signed(value: float, places: int = 1) -> str:
    """A gain or loss with its sign, and no sign where it rounds to nought: +0.7, −12.3, 0.0."""
    text = f"{value:.{places}f}"
    if float(text) == 0:
        return f"{0:.{places}f}"
    return grouped(text) if value < 0 else "+" + grouped(text)


def period(hours: Fraction) -> str:
    """The time of one turn in the unit a person uses: 60 s, 7 1/2 min, 1 h, 2 days."""
    seconds = hours * 3600
    if seconds <= 90:
        return f"{whole_and_part(seconds)}{THIN}s"
    if hours < 1:
        return f"{whole_and_part(seconds / 60)}{THIN}min"
    if hours <= 48:
        return f"{whole_and_part(hours)}{THIN}h"
    return f"{whole_and_part(hours / 24)}{THIN}days"


def duration(hours: Fraction | float) -> str:
    """How long it goes, rounded as one says it: 30 h, 8 days, 7 days 18 h."""
    total = round(float(hours))
    days, rest = divmod(total, 24)
    if hours < 48:
        return f"{figure(float(hours), 3) if total != hours else total}{THIN}h"
    return f"{days}{THIN}days" + (f" {rest}{THIN}h" if rest else "")


def turns(value: Fraction) -> str:
    """1 turn, 2 1/2 turns, 7.65 turns."""
    text = whole_and_part(value, 12)
    return f"{text.rstrip('0') if '.' in text else text} turn{'' if value == 1 else 's'}"
