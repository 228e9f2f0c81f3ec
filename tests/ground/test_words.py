"""Numbers as a person writes them."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.ground.words import (
    FIGURE_SPACE,
    MINUS,
    THIN,
    aligned,
    duration,
    figure,
    grouped,
    levelled,
    period,
    turns,
    united,
    whole_and_part,
)

F = Fraction


def read(text: str) -> Fraction:
    """What a person reads: the number that the words stand for."""
    sign = -1 if text.startswith(MINUS) else 1
    parts = [Fraction(part) for part in text.removeprefix(MINUS).replace(THIN, "").split(" ")]
    return sign * sum(parts, Fraction(0))


@pytest.mark.parametrize(
    ("given", "text"),
    [
        ("3600", "3600"),
        ("18000", "18\u202f000"),
        ("1234567", "1\u202f234\u202f567"),
        ("-18000", "\u221218\u202f000"),
        ("17952.5", "17\u202f952.5"),
        ("0.00012", "0.00012"),
    ],
)
def test_digits_in_groups_of_three(given: str, text: str) -> None:
    """Groups of three with thin spaces from five digits on (ISO 80000-1, 7.3.1), none after the point."""
    assert grouped(given) == text


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (F(15, 2), "7 1/2"),
        (F(1, 2), "1/2"),
        (F(-7, 2), "\u22123 1/2"),
        (F(0), "0"),
        (F(17952), "17\u202f952"),
        (F(35905, 2), "17\u202f952 1/2"),
        (F(1, 101), "1/101"),
        (F(1, 576), "1/576"),
        (F(3, 577), "0.005199"),
        (F(12345, 101), "122.2"),
        (F(101, 1000), "0.1010"),
        (F(-1001, 1000), "\u22121.001"),
    ],
)
def test_fractions_as_fractions(value: Fraction, text: str) -> None:
    """7 1/2, not 7.5, as long as the denominator is one that a person divides by; else digits."""
    assert whole_and_part(value) == text


def test_no_digit_of_a_whole_number_is_lost() -> None:
    """17952 1/137 is about 17952, never 17950: a clock that beats 17952 has other counts than one that beats 17950."""
    assert whole_and_part(17952 + F(1, 137)) == "17\u202f952.0"
    assert whole_and_part(3600 + F(5, 137)) == "3600.0"


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        (0.0, 3, "0"),
        (9.9996, 3, "10.0"),
        (0.0012345, 3, "0.00123"),
        (123456.0, 3, "123\u202f000"),
        (-1.5, 3, "\u22121.50"),
        (99.95, 3, "100"),
        (216.0, 3, "216"),
        (1e-7, 2, "0.00000010"),
    ],
)
def test_significant_digits(value: float, digits: int, text: str) -> None:
    """So many digits and no exponent, rounded once, with trailing zeros that are figures."""
    assert figure(value, digits) == text


@given(st.floats(1e-9, 1e9), st.integers(1, 9), st.booleans())
def test_a_figure_is_near_its_value(value: float, digits: int, negative: bool) -> None:
    """Read back, a figure is within half a unit of its last digit."""
    value = -value if negative else value
    assert abs(float(read(figure(value, digits))) - value) <= 0.5000001 * 10.0 ** (1 - digits) * abs(value)


@given(st.fractions(max_denominator=99))
def test_a_fraction_is_read_back_exactly(value: Fraction) -> None:
    """Nothing is rounded as long as the fraction is written as one."""
    assert read(whole_and_part(value)) == value


@given(st.fractions(min_value=-(10**9), max_value=10**9, max_denominator=10**6))
def test_any_other_is_near(value: Fraction) -> None:
    """At least four significant digits and every digit before the point."""
    assert abs(read(whole_and_part(value)) - value) <= min(F(1, 2), abs(value) * F(5001, 10**7))


@pytest.mark.parametrize(
    ("hours", "text"),
    [
        (F(1, 60), "60\u202fs"),
        (F(1, 480), "7 1/2\u202fs"),
        (F(1, 40), "90\u202fs"),
        (F(1, 8), "7 1/2\u202fmin"),
        (F(91, 3600), "1 31/60\u202fmin"),
        (F(1), "1\u202fh"),
        (F(12), "12\u202fh"),
        (F(48), "48\u202fh"),
        (F(95), "3 23/24\u202fdays"),
        (F(576), "24\u202fdays"),
    ],
)
def test_the_time_of_a_turn(hours: Fraction, text: str) -> None:
    """In the unit that a person uses for a turn of that length."""
    assert period(hours) == text


@pytest.mark.parametrize(
    ("hours", "text"),
    [
        (F(30), "30\u202fh"),
        (36.25, "36.2\u202fh"),
        (F(192), "8\u202fdays"),
        (F(186), "7\u202fdays 18\u202fh"),
        (F(48), "2\u202fdays"),
        (47.9, "47.9\u202fh"),
        (49.6, "2\u202fdays 2\u202fh"),
    ],
)
def test_how_long_it_goes(hours: Fraction | float, text: str) -> None:
    """Hours up to two days, then days and hours."""
    assert duration(hours) == text


def test_one_turn_and_several() -> None:
    """One turn has no s."""
    assert [turns(F(1)), turns(F(5, 2)), turns(F(16))] == ["1 turn", "2 1/2 turns", "16 turns"]


@pytest.mark.parametrize(
    ("typed", "joined"),
    [
        ("3600 s ÷ beats an hour", "3600~s ÷ beats an hour"),
        ("slips at {torque} N·mm; {part} % of it", "slips at {torque}~N·mm; {part}~% of it"),
        ("7 1/2 min and 12.5 mg·cm², 9.8 m/s²", "7 1/2~min and 12.5~mg·cm², 9.8~m/s²"),
        ("3 sets of 12 hands in 8 days, 4 mountings", "3 sets of 12 hands in 8 days, 4 mountings"),
        ("{rate} s a day", "{rate}~s a day"),
    ],
)
def test_a_figure_and_its_unit_stay_together(typed: str, joined: str) -> None:
    """A narrow space that never breaks stands between them (SI brochure, 5.4.3: the unit behind the number, after a space),
    however it was typed; words behind a number are words."""
    assert united(typed) == joined.replace("~", THIN)


def test_figures_stand_in_line() -> None:
    """Ones under ones: the whole part ends at one place for all; 1/12 hangs behind it; words stay as they are."""
    column = ["1/12", "8", "7 1/2\u202fmin", "600", f"{MINUS}12.5", "18\u202f000", "0.5\u202fmm", "rock to and fro", ""]
    laid = aligned(column)
    assert [text.lstrip(FIGURE_SPACE + THIN) for text in laid] == column
    room = [text.removesuffix(given) for text, given in zip(laid, column, strict=True)]
    wholes = ["", "8", "7", "600", f"{MINUS}12", "18\u202f000", "0"]
    ends = {len((space + whole).replace(THIN, "")) for space, whole in zip(room, wholes, strict=False)}
    thins = {(space + whole).count(THIN) for space, whole in zip(room, wholes, strict=False)}
    assert (ends, thins, room[-2:]) == ({5}, {1}, ["", ""])


@pytest.mark.parametrize(
    ("given", "level"),
    [
        (["1103", "896.7"], ["1103", "897"]),
        (["10.39~µW", "8.444~µW", "6.986~µW"], ["10.39~µW", "8.44~µW", "6.99~µW"]),
        (["299", "22.7"], ["299", "23"]),
        (["0.0140~N", "0.0114~N", "0.00942~N"], ["0.0140~N", "0.0114~N", "0.0094~N"]),
        (["16.0", "8.00", "2.00"], ["16.0", "8.0", "2.0"]),
        (["\u221212.5°", "0", "3.25°"], ["\u221212.5°", "0", "3.2°"]),
        (["18~000.5", "17~999.75"], ["18~000.5", "17~999.8"]),
        (["10.4", "0.0123"], ["10.4", "0.0123"]),
        (["7 1/2", "8.25"], ["7 1/2", "8.25"]),
        (["12.5", "it stops"], ["12.5", "it stops"]),
        ([], []),
    ],
)
def test_figures_side_by_side_have_the_same_decimals(given: list[str], level: list[str]) -> None:
    """As a table of measurements is set (common practice, no source): what one of them leaves out, none of them gives."""
    assert levelled([text.replace("~", THIN) for text in given]) == [text.replace("~", THIN) for text in level]
