"""Trains from wishes: every train within the limits is listed, no other is, and the nearest where there is none."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations_with_replacement
from math import prod

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from builder.bench import work
from builder.ground.faults import Refused

Chosen = tuple[tuple[int, ...], tuple[int, ...]]


def sets_of(train: object) -> Chosen:
    """Wheels and pinions of a train, whichever of them mesh."""
    meshes = [tuple(map(int, mesh.split("/"))) for mesh in str(train).split(", ")]
    return tuple(sorted(a for a, _ in meshes)), tuple(sorted(b for _, b in meshes))


def tried(ratio: Fraction, teeth: range, leaves: range) -> set[Chosen]:
    """Every pair of wheels with every pair of pinions that makes a ratio, by trying them all."""
    return {
        (wheels, pinions)
        for wheels in combinations_with_replacement(teeth, 2)
        for pinions in combinations_with_replacement(leaves, 2)
        if wheels[0] * wheels[1] == ratio * (pinions[0] * pinions[1])
    }


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.integers(48, 96), min_size=2, max_size=3),
    st.lists(st.integers(6, 12), min_size=3, max_size=3),
    st.sampled_from([15, 20, 30]),
)
def test_any_train_is_listed_for_its_own_wishes(wheels: list[int], pinions: list[int], escape: int) -> None:
    """Beat and limits of any train ask for it: it is in the list, and every train listed makes that beat."""
    pinions = pinions[: len(wheels)]
    beats = Fraction(prod(wheels), prod(pinions)) * 2 * escape
    assume(100 < beats <= 100_000)
    asks = {"beats_per_hour": str(beats), "escape_teeth": str(escape), "wheels": str(len(wheels) + 1), "most": "100000"}
    rows = work("train", asks | {"teeth_most": "96"}).table("trains")
    assert (tuple(sorted(wheels)), tuple(sorted(pinions))) in {sets_of(row["train"]) for row in rows}
    for row in rows:
        drivers, drivens = sets_of(row["train"])
        assert Fraction(prod(drivers), prod(drivens)) * 2 * escape == beats


def test_nothing_is_overlooked() -> None:
    """All trains of the seconds regulator between limits, found by trying every one, are the list."""
    asks = {
        "beats_per_hour": "3600",
        "wheels": "3",
        "teeth_least": "50",
        "teeth_most": "90",
        "leaves_most": "10",
        "most": "100000",
    }
    rows = work("train", asks).table("trains")
    listed = [sets_of(row["train"]) for row in rows]
    assert len(listed) == len(set(listed))
    assert set(listed) == tried(Fraction(60), range(50, 91), range(6, 11))


def test_hours_hands_and_beat_together() -> None:
    """With a winding's hours and a seconds hand every stretch is exact: the great wheel's, 60 to the hand, the beat."""
    asks = {
        "beats_per_hour": "18000",
        "escape_teeth": "15",
        "going_hours": "46",
        "turns": "7 2/3",
        "wheels": "5",
        "leaves_least": "7",
    }
    working = work("train", asks | {"seconds_hand": "yes", "teeth_most": "96", "most": "100000"})
    assert working["great_hours"] == 6
    rows = working.table("trains")
    assert any(str(row["train"]) == "72/12, 80/10, 75/10, 80/8" for row in rows)
    for row in rows:
        meshes = [Fraction(*map(int, mesh.split("/"))) for mesh in str(row["train"]).split(", ")]
        assert meshes[0] == 6 and meshes[1] * meshes[2] == 60 and meshes[3] == 10


def test_the_usual_train_comes_first() -> None:
    """Asked for the eight-day clock of the handbooks, the first train is theirs: pinions of eight (Beckett 1903, p. 133)."""
    rows = work("train", {"beats_per_hour": "3600", "going_hours": "192"}).table("trains")
    assert rows[0]["train"] == "96/8, 64/8, 60/8"


def test_the_nearest_train_is_the_nearest() -> None:
    """Where no train grants the wishes, the one named is as near as any that trying them all finds."""
    asks = {
        "beats_per_hour": "3571",
        "wheels": "3",
        "teeth_least": "50",
        "teeth_most": "70",
        "leaves_least": "7",
        "leaves_most": "8",
    }
    with pytest.raises(Refused) as caught:
        work("train", asks)
    said = str(caught.value)
    assert "no train of 3 wheels within these limits. Nearest is " in said
    named = sets_of(said.split("Nearest is ")[1].split(":")[0])
    wanted = Fraction(3571, 60)

    def off(chosen: Chosen) -> Fraction:
        return abs(Fraction(prod(chosen[0]), prod(chosen[1])) / wanted - 1)

    every = (
        (wheels, pinions)
        for wheels in combinations_with_replacement(range(50, 71), 2)
        for pinions in combinations_with_replacement(range(7, 9), 2)
    )
    assert off(named) == min(map(off, every))


@pytest.mark.parametrize(
    ("asks", "words"),
    [
        ({}, "just one of beats_per_hour, pendulum_mm"),
        ({"beats_per_hour": "3600", "pendulum_mm": "994"}, "Leave all but one out"),
        ({"beats_per_hour": "3600", "teeth_least": "90", "teeth_most": "60"}, "Exchange the two"),
        ({"beats_per_hour": "3600", "pinions": "8, 8"}, "3 pinions, one less than the wheels"),
        ({"beats_per_hour": "3600", "wheels": "8"}, "2 to 4 wheels for 1 stretch"),
        ({"beats_per_hour": "3600", "escape_teeth": "60", "seconds_hand": "yes"}, "to a slower one"),
        ({"beats_per_hour": "3600", "going_hours": "8", "turns": "16"}, "a step from the great arbor to a slower one"),
        ({"beats_per_hour": "3600", "minute_hand": "no"}, "known hours"),
        ({"beats_per_hour": "3600", "teeth_most": "50", "leaves_least": "12"}, "no train of 4 wheels within these limits"),
    ],
)
def test_what_cannot_be_is_said(asks: dict[str, str], words: str) -> None:
    """Wishes that contradict each other say which, and what to change."""
    with pytest.raises(Refused) as caught:
        work("train", asks)
    assert words in str(caught.value)
