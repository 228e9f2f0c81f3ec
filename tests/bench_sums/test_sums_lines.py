"""Every line of a working is true as it stands there: the numbers put in come to the result, and no formula is idle."""

from __future__ import annotations

import pytest

from builder.bench import SUMS, work
from builder.bench.examples import EXAMPLES
from builder.bench.live import PLANS
from builder.bench.working.asked import Unreadable
from builder.bench.working.lines import Working
from builder.bench.working.said import written
from builder.ground.faults import Refused
from tests.bench_sums.arithmetic import worked
from tests.bench_sums.questions import QUESTIONS, questions
from tests.solved import wording

HANDED_ON = {"s a day": 2e-3}
"""What eight figures of the line before leave open, where nearly equal figures are taken from each other."""

SEARCHES = (
    ("count-up", {"train": "55/5, 45/5, 40/5", "escape_teeth": "17", "report": "4/32", "turns": "12"}),
    ("count-up", {"train": "80/12, 75/10, 80/10", "escape_teeth": "15", "seconds_arbor": "4", "beats_per_tooth": "1"}),
    ("count-up", {"train": "12/36, 10/40", "hour_arbor": "3"}),
    ("count-up", {"train": "108/9, 64/8", "escape_teeth": "30", "beats_per_hour": "3000", "going_hours": "192"}),
    ("count-up", {"train": "96/8", "first_hours": "12", "going_hours": "192"}),
    ("count-up", {"train": "96/8", "turns": "16", "going_hours": "192"}),
    ("missing", {"train": "x/12, 64/8, 60/8", "minute_arbor": "2", "turns": "7.65", "going_hours": "45.9"}),
    ("missing", {"train": "72/12, 64/8, 60/x", "minute_arbor": "2", "seconds_arbor": "4"}),
    ("missing", {"train": "64/8, x/8", "minute_arbor": "1", "escape_teeth": "30", "pendulum_mm": "994", "latitude_deg": "50"}),
    ("missing", {"train": "96/8, 64/8, x/8", "minute_arbor": "2", "escape_teeth": "30", "pendulum_mm": "994"}),
    ("missing", {"train": "96/8, 64/8, 60/8", "minute_arbor": "2", "escape_is": "missing", "beats_per_hour": "3600"}),
    ("missing", {"train": "12/36, 10/x", "minute_arbor": "1", "hour_arbor": "3"}),
    ("missing", {"train": "55/5, 45/5, 40/x", "report": "4/32", "beats_per_hour": "17952", "escape_teeth": "17"}),
    ("missing", {"train": "x/x", "first_hours": "1/72", "beats_per_hour": "9368", "escape_teeth": "11", "within_percent": "2"}),
    ("train", {"pendulum_mm": "994", "going_hours": "192", "latitude_deg": "50"}),
    ("train", {"beats_per_hour": "18000", "escape_teeth": "15", "great_hours": "6", "wheels": "5", "seconds_hand": "yes"}),
    ("train", {"beats_per_hour": "18000", "escape_teeth": "15", "great_hours": "4/3", "wheels": "4", "minute_hand": "no"}),
)  # fmt: skip
"""What the random questions leave out: sums that search."""


def check(working: Working) -> None:
    said = written(working, wording())
    for line, text in zip(working.lines, said.lines, strict=True):
        if text.put_in:
            assert isinstance(line.value, (int, float)) or hasattr(line.value, "numerator"), line
            slack = next((slack for end, slack in HANDED_ON.items() if text.text.endswith(end)), 1e-6)
            if line.by == "beats_by_pendulum":
                slack = 0.5
            assert worked(text.put_in) == pytest.approx(float(line.value), rel=1e-6, abs=slack), (working.sum, text)


@pytest.mark.parametrize("name", QUESTIONS)
def test_the_numbers_put_in_come_to_the_result(name: str) -> None:
    """Arithmetic that knows nothing of the builder, done on the numbers as they are printed, gives the printed result."""
    answered = 0
    for asked, texts in questions(60 * len(QUESTIONS), seed=11):
        if asked == name:
            try:
                working = work(name, texts)
            except (Refused, Unreadable):
                continue
            check(working)
            answered += 1
    assert answered >= 10


@pytest.mark.parametrize(("name", "texts"), SEARCHES, ids=lambda value: value if isinstance(value, str) else "")
def test_searches_show_true_lines_too(name: str, texts: dict[str, str]) -> None:
    """So do the lines of the sums that search."""
    check(work(name, texts))


def test_every_formula_is_used() -> None:
    """No formula stands in the wording that no working shows, and every sum has its example and its words."""
    shown: dict[str, set[str]] = {name: set() for name in SUMS}
    for name, texts in [*questions(60 * len(QUESTIONS), seed=3), *SEARCHES, *EXAMPLES.items()]:
        try:
            shown[name] |= {line.by for line in work(name, texts).lines}
        except (Refused, Unreadable):
            continue
    table = wording()["sums"]
    for name, used in shown.items():
        own = set(table[name.replace("-", "_")].get("lines", {}))
        assert own <= used, (name, own - used)
        assert {"title", "lede"} <= set(table[name.replace("-", "_")])
    assert set(table["shared"]["lines"]) <= set().union(*shown.values())
    assert set(EXAMPLES) == set(SUMS)
    assert set(PLANS) == set(QUESTIONS)


def test_a_wrong_line_is_noticed() -> None:
    """Negative control: the arithmetic gives another figure where a number put in is another."""
    line = written(work("rate", {"second_s": "12", "first_s": "-3", "hours_between": "36"}), wording()).lines[0]
    assert worked(line.put_in) == 15
    assert worked(line.put_in.replace("12", "13")) == 16
    with pytest.raises(SyntaxError):
        worked("twice 12")
