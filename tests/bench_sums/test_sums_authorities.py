"""Published worked examples (tests/authorities/sums.toml), asked of the command: it says what the sums come to."""

from __future__ import annotations

import json
from fractions import Fraction
from typing import Any

import pytest

from builder.__main__ import main
from builder.authorities.entry import Entry
from builder.authorities.sums import CANDIDATE, asked, sum_check
from tests.authority import KNOWN, of_kind


def answer(entry: Entry, capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    name, texts = asked(entry)
    options = [f"--{option.replace('_', '-')}={text}" for option, text in texts.items()]
    assert main(["sum", name, *options, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


@pytest.mark.parametrize("entry", of_kind("sum"), ids=lambda entry: entry.id)
def test_the_command_says_what_is_compared(entry: Entry, capsys: pytest.CaptureFixture[str]) -> None:
    """Every value that is set beside a published one is what the command prints, exactly where it is exact; the source's
    counts stand among its candidates."""
    said = answer(entry, capsys)
    for name, value in sum_check(entry).items():
        if name == CANDIDATE:
            (rows,) = said["tables"].values()
            assert any(value.items() <= row.items() for row in rows)
            continue
        line = next(line for line in reversed(said["working"]) if line["name"] == name)
        if isinstance(value, Fraction):
            assert Fraction(line["exact"]) == value, name
        else:
            assert line["value"] == pytest.approx(value, rel=1e-12), name


def test_another_question_has_another_answer(capsys: pytest.CaptureFixture[str]) -> None:
    """Negative control: the comparison fails where the command is asked for another length."""
    entry = KNOWN["sum-beckett-length-3s"]
    other = entry.model_copy(update={"given": entry.given | {"beat_s": "3.001"}})
    line = next(line for line in answer(other, capsys)["working"] if line["name"] == "length_mm")
    assert line["value"] != pytest.approx(sum_check(entry)["length_mm"], rel=1e-12)
