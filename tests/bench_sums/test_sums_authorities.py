"""Published worked examples, asked of the command and compared with what the sources print."""

from __future__ import annotations

import json
import tomllib
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from builder.__main__ import main

EXAMPLES = tomllib.loads((Path(__file__).parents[1] / "authorities" / "sums.toml").read_text("utf-8"))["example"]


def asked(example: dict[str, Any], capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    options = [part for option, value in example["ask"].items() for part in (f"--{option}={value}",)]
    assert main(["sum", example["sum"], *options, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example["id"])
def test_published_examples(example: dict[str, Any], capsys: pytest.CaptureFixture[str]) -> None:
    """The command comes to the source's figures within its own precision: exactly where the source is exact, and the
    source's counts stand among the candidates."""
    found = asked(example, capsys)
    tolerance = example["tolerance"]
    for name, printed in example.get("expect", {}).items():
        line = next(line for line in reversed(found["working"]) if line["name"] == name)
        per = example.get("per", {}).get(name, 1)
        if tolerance.get("abs") == 0 and "exact" in line:
            assert Fraction(line["exact"]) / Fraction(str(per)) == Fraction(str(printed)), name
        else:
            wanted = float(Fraction(str(printed)))
            assert line["value"] / per == pytest.approx(wanted, abs=tolerance.get("abs", 0) or None, rel=tolerance.get("rel")), (
                name
            )
    if row := example.get("contains"):
        (rows,) = found["tables"].values()
        assert any(row.items() <= each.items() for each in rows)
    assert "expect" in example or "contains" in example


def test_a_wrong_figure_is_noticed(capsys: pytest.CaptureFixture[str]) -> None:
    """Negative control: with the printed figure a little beyond the tolerance the comparison fails."""
    example = dict(next(each for each in EXAMPLES if each["id"] == "beckett-length-3s"))
    example["expect"] = {"length_mm": 353}
    with pytest.raises(AssertionError):
        test_published_examples(example, capsys)
