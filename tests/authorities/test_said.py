"""Names and numbers of the table of published values, as a reader sees them."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from builder.authorities import said
from builder.authorities.entry import Entry
from builder.authorities.row import Row
from tests.authority import KNOWN


@pytest.mark.parametrize(
    ("key", "name", "unit"),
    [
        ("escape_teeth", "escape teeth", ""),
        ("length_mm", "length", "mm"),
        ("loss_s_per_day_per_degC", "loss", "s per day per °C"),
        ("beats_per_hour", "beats per hour", ""),
        ("threads_per_in", "threads per in", ""),
        ("energy_stored_lb_ft", "energy stored", "lb ft"),
        ("driver.3", "driver 3", ""),
        ("turns", "turns", ""),
    ],
)
def test_a_key_is_a_name_and_a_unit(key: str, name: str, unit: str) -> None:
    """The last words of a key are its unit where they are one, and a rate's denominator alone is none."""
    assert said.named(key) == (name, unit)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (18000, "18\u202f000"),
        (0.5, "0.5"),
        (1e-9, "10⁻⁹"),
        (6e-05, "6 × 10⁻⁵"),
        ([1, 2.5], "1, 2.5"),
        ([[8, 7], [5, 3]], "8, 7 · 5, 3"),
        ("1/12", "1/12"),
        ({"driver.3": 36, "train": "55/5"}, "driver 3 36, train 55/5"),
    ],
)
def test_a_value_is_written_as_its_source_has_it(value: Any, text: str) -> None:
    """Thousands apart, powers of ten for what is very small, lists and rows in one line."""
    assert said.typed(value) == text


def row(published: Any, computed: Any, **tolerance: Any) -> Row:
    given = {"id": "a", "kind": "x", "source": "s", "given": {}, "expect": {"turns": published}}
    entry = Entry.model_validate({**given, "tolerance": {"why": "round", **(tolerance or {"abs": 0})}})
    return Row(entry, "turns", published, computed)


@pytest.mark.parametrize(
    ("one", "computed", "difference", "tolerance"),
    [
        (row(12, Fraction(12)), "12", "0", "exact"),
        (row(1.84, 1.836077, abs=0.005), "1.8361", "−0.0039", "±\u202f0.005"),
        (row(64, Fraction(190, 3), abs=1), "63.33", "−0.67", "±\u202f1"),
        (row(9000, 9240.0, rel=0.03), "9240", "+240", "±\u202f3\u202f%"),
        (row([1, 2], [1.0, 2.1], abs=0.2), "1, 2.1", "+0.10", "±\u202f0.2"),
        (row(2, [2.0, 2.004], abs=0.2), "2", "+0.0040", "±\u202f0.2"),
        (row("1/12", Fraction(1, 12)), "1/12", "0", "exact"),
        (row(0.1, 0.1 + 1e-16, abs=1e-9), "0.1", "0", "±\u202f10⁻⁹"),
    ],
)
def test_what_is_computed_is_told_two_places_further(one: Row, computed: str, difference: str, tolerance: str) -> None:
    """And the difference with its sign; nought where only the last bits of a computer's numbers differ."""
    assert (said.computed(one), said.difference(one), said.tolerance(one, "exact")) == (computed, difference, tolerance)


def test_inputs_are_told_in_one_line() -> None:
    """What was given, names and units; a sum by its name."""
    assert said.listed(KNOWN["cunynghame-thou-per-second"].given) == "length 39.14\u202fin; lengthening 0.001\u202fin"
    assert said.listed(KNOWN["sum-beckett-length-3s"].given) == "pendulum length; beat 3\u202fs; standard 994.156\u202fmm"
