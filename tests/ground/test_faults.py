"""What is wrong is said with its place, and all of it is kept."""

from __future__ import annotations

import pytest

from builder.ground.faults import Complaint, Fault, FaultsFound, Gathered, Refused, key_text


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ((), ""),
        (("source",), "source"),
        (("arbors", 2, "wheel", "teeth"), "arbors[2].wheel.teeth"),
        (("source", "measured", 0, 1), "source.measured[0][1]"),
    ],
)
def test_a_key_as_a_person_writes_it(key: tuple[str | int, ...], text: str) -> None:
    """Dots between tables, brackets for the place in a list."""
    assert key_text(key) == text


def test_a_fault_begins_with_its_place() -> None:
    """file:line:column: key = value: what may stand there. What to do. Editors jump to such a line."""
    fault = Fault("hall_clock/movement.toml", 12, 3, "source.turns", "0", "more than 0", "Count the turns.")
    assert str(fault) == "hall_clock/movement.toml:12:3: source.turns = 0: more than 0. Count the turns."


def test_a_fault_of_the_whole_file_has_no_key() -> None:
    """Where no key is to blame the value stands alone."""
    assert str(Fault("a.toml", 1, 1, "", "UTF-16", "UTF-8", "Save again.")) == "a.toml:1:1: UTF-16: UTF-8. Save again."


def test_a_refusal_keeps_every_complaint() -> None:
    """Not only the first, and in words even where nobody places them."""
    first = Complaint(("source", "turns"), "0", "more than 0", "Count the turns.")
    second = Complaint(("arbors", 1, "id"), "a", "used by an arbor before", "Rename it.")
    refused = Refused([first, second])
    assert refused.complaints == (first, second)
    assert str(refused) == (
        "source.turns = 0: more than 0. Count the turns.\narbors[1].id = a: used by an arbor before. Rename it."
    )


def test_faults_are_in_the_order_of_the_files() -> None:
    """By file, then line, then column, whoever found them first."""
    places = [("b", 1, 1), ("a", 10, 1), ("a", 2, 5), ("a", 2, 1)]
    found = FaultsFound([Fault(*place, "", "", "", "") for place in places])
    assert [(f.file, f.line, f.column) for f in found.faults] == [("a", 2, 1), ("a", 2, 5), ("a", 10, 1), ("b", 1, 1)]


def test_several_readings_are_told_together() -> None:
    """Every reading is tried, and the faults of all are raised at once; an error of another kind goes through."""
    one, two, three = (Fault(f"{name}.toml", 1, 1, "", "it", "none", "") for name in ("a", "b", "c"))

    def fails(*faults: Fault) -> int:
        raise FaultsFound([*faults])

    with pytest.raises(FaultsFound) as raised, Gathered([three]) as faults:
        assert faults.of(lambda: fails(two)) is None
        assert faults.of(lambda: 7) == 7
        assert faults.of(lambda: fails(one)) is None
    assert raised.value.faults == (one, two, three)
    with pytest.raises(KeyError), Gathered([one]):
        raise KeyError
    with Gathered() as faults:
        assert faults.of(lambda: 7) == 7
