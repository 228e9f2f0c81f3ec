"""One figure with what it was computed from."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from builder.ground import words

Value = int | float | Fraction | str | None
Inputs = tuple[tuple[str, str], ...]

COUNTED = ("", "1/h", "1/s", "1/min")
"""Units that the figure's label says in words."""


def quantity(value: float, unit: str, digits: int = 4) -> str:
    """A figure with its unit, as an input is written."""
    return f"{words.figure(value, digits)}{'' if unit == '°' else words.THIN}{unit}"


def told(value: float) -> float:
    """As programs are told it: ten digits, more than any figure here is known to, and none that only rounding has made."""
    return float(f"{value:.10g}")


@dataclass(frozen=True)
class Fact:
    """One figure. `inputs` are (name of the input in the wording, its text)."""

    key: str
    """Lasting, for programs that read the JSON."""
    group: str
    kind: str
    """Names label, formula and source in the wording."""
    subject: str
    value: Value
    unit: str
    text: str
    """The value as a person writes it: with the unit where that is part of how it is said (7 1/2 min), else without."""
    inputs: Inputs = ()
    state: str | None = None
    """State of winding that it holds for; None where it holds for all."""

    @property
    def said(self) -> str:
        """The text with its unit."""
        if self.unit in COUNTED or not self.text[-1:].isdecimal():
            return self.text
        return f"{self.text}{'' if self.unit == '°' else words.THIN}{self.unit}"

    def as_json(self) -> dict[str, Any]:
        """Rationals as exact text beside the number nearest to them."""
        value: Any = self.value
        entry: dict[str, Any] = {"kind": self.kind, "subject": self.subject, "unit": self.unit, "text": self.text}
        if self.state is not None:
            entry["state"] = self.state
        if isinstance(value, Fraction):
            entry["exact"] = str(value)
            value = value.numerator if value.denominator == 1 else float(value)
        entry["value"] = told(value) if isinstance(value, float) else value
        entry["inputs"] = dict(self.inputs)
        return entry
