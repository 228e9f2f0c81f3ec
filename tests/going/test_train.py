"""The train is exact: published trains come out as their books say, and every structure obeys the same few laws."""

from __future__ import annotations

from fractions import Fraction
from math import prod
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.authorities.entry import Entry
from builder.authorities.trains import counted
from builder.going.train import Train, exact, train
from builder.ground.faults import Refused
from builder.movement.model import Movement
from tests.authority import of_kind
from tests.movement_texts import Data, movement_data, read_movement

TRAINS = of_kind("train")


def solved(folder: Path, data: Data) -> Train:
    """Through the file and its reader, as the commands do it."""
    return train(read_movement(folder, data).model)


@pytest.mark.parametrize("entry", TRAINS, ids=lambda entry: entry.id)
def test_published_trains_through_their_files(tmp_path: Path, entry: Entry) -> None:
    """A published train written as a movement file and read again is the train that is set beside its source."""
    data = counted(entry.given)
    assert solved(tmp_path, data) == train(Movement.model_validate(data))


def test_enough_trains_are_published() -> None:
    """At least 25 of the trains have their figures from the source itself, and they have two to six wheels."""
    assert sum(entry.printed for entry in TRAINS) >= 25
    assert {len(entry.given["wheels"]) + 1 for entry in TRAINS} == {2, 4, 5, 6}


# ---- structures


def with_branch() -> Data:
    """A clock whose centre arbor carries nothing but the hands: a further wheel of the great arbor drives it."""
    work = {
        "kind": "minute_and_hour",
        "on": "centre",
        "cannon_leaves": 36,
        "minute_wheel_teeth": 36,
        "minute_pinion_leaves": 6,
        "hour_wheel_teeth": 72,
    }
    data = movement_data([84, 72, 60], [7, 8, 6], 30, motion_work=work)
    data["arbors"][0]["more"] = {"hands": {"teeth": 60}}
    data["arbors"].append({"id": "centre", "wheel": {"teeth": 20}})
    data["meshes"].append({"driver": "great", "driven": "centre", "driver_part": "hands", "driven_part": "wheel"})
    return data


def test_a_centre_arbor_driven_aside(tmp_path: Path) -> None:
    """Hands off a further wheel of the great arbor: 60 drives 20, so the great arbor turns once in 3 hours.

    By hand: 1/3 turn an hour × 12 × 9 × 10 × 60 beats for a turn of the escape wheel are 21600 beats an hour.
    """
    found = solved(tmp_path, with_branch())
    assert found["great"].hours_per_turn == 3
    assert found["centre"].role == "branch"
    assert found.path == ("great", "second", "third", "escape")
    assert found.beats_per_hour == 21600
    assert found["centre"].clockwise
    assert not found["great"].clockwise
    assert [pair.driven for pair in found.path_pairs] == ["second", "third", "escape"]


@pytest.mark.parametrize(("dial_hours", "hour_wheel"), [(12, 72), (24, 144)])
def test_dials_of_twelve_and_of_twenty_four_hours(tmp_path: Path, dial_hours: int, hour_wheel: int) -> None:
    """The hour hand turns once in the dial's hours; the beat does not depend on the dial."""
    work = {
        "kind": "minute_and_hour",
        "on": "second",
        "dial_hours": dial_hours,
        "cannon_leaves": 36,
        "minute_wheel_teeth": 36,
        "minute_pinion_leaves": 6,
        "hour_wheel_teeth": hour_wheel,
    }
    found = solved(tmp_path, movement_data([96, 64, 60], [8, 8, 8], 30, motion_work=work))
    assert found["hour_wheel"].hours_per_turn == dial_hours
    assert found.beats_per_hour == 3600


@pytest.mark.parametrize("dial_hours", [12, 24])
def test_one_hand_only(tmp_path: Path, dial_hours: int) -> None:
    """The dial wheel alone decides: 6 leaves drive 36 teeth, so the great wheel turns in 2 or 4 hours."""
    work = {"kind": "hour_only", "on": "great", "dial_hours": dial_hours, "pinion_leaves": 6, "hour_wheel_teeth": 36}
    found = solved(tmp_path, movement_data([66, 50, 45], [6, 5, 5], 15, motion_work=work))
    assert found["great"].hours_per_turn == Fraction(dial_hours, 6)
    assert found.hands == (("hours", "hour_wheel"),)
    assert found["hour_wheel"].clockwise
    assert not found["great"].clockwise


def test_seconds_on_the_fourth_arbor(tmp_path: Path) -> None:
    """A watch: seconds hand on the fourth arbor, once a minute and clockwise as the minute hand."""
    data = movement_data([80, 80, 75, 80], [10, 10, 10, 8], 15, hands={"second": "minutes", "fourth": "seconds"})
    found = solved(tmp_path, data)
    assert found["fourth"].turns_per_hour == -60
    assert found.beats_per_hour == 18000
    assert found.hands == (("minutes", "second"), ("seconds", "fourth"))


def test_no_hands_at_all(tmp_path: Path) -> None:
    """A train on the bench without its dial runs at the stated beat, the first arbor clockwise by convention."""
    found = solved(tmp_path, movement_data([80, 54, 40], [8, 6, 5], 15, beats_per_hour=21600))
    assert found.beats_per_hour == 21600
    assert found["great"].turns_per_hour == Fraction(-21600, 2 * 15 * 720)
    assert found.hands == ()
    assert found.going_hours is None


def test_counts_decide_where_hand_and_beat_differ_a_little(tmp_path: Path) -> None:
    """A beat within half a per cent is a finding with seconds a day; the hands keep their exact rate."""
    data = movement_data([96, 64, 60], [8, 8, 8], 30, beats_per_hour=3609, hands={"second": "minutes"})
    found = solved(tmp_path, data)
    assert found.beats_per_hour == 3600
    (finding,) = found.findings
    assert finding.key == ("oscillator", "beats_per_hour")
    assert "3609 the hands gain 216 s a day" in finding.text  # 9/3600 of 86400 s


@pytest.mark.parametrize(
    ("change", "key", "words"),
    [
        ({"beats_per_hour": 3700}, "oscillator.beats_per_hour", "3600 beats an hour"),
        ({"hands": {"second": "minutes", "third": "seconds"}}, "arbors[2].hand", "one turn clockwise in 60\u202fs"),
        ({"hands": {"second": "minutes", "great": "hours"}}, "arbors[0].hand", "one turn clockwise in 12\u202fh"),
        ({"hands": {}}, "oscillator.beats_per_hour", "a number of beats an hour"),
    ],
)
def test_rates_that_contradict(tmp_path: Path, change: dict[str, Any], key: str, words: str) -> None:
    """A beat too far off, a hand on an arbor of another rate or sense, nothing that gives a rate: each is said with figures."""
    given = {"hands": {"second": "minutes"}} | change
    with pytest.raises(Refused) as caught:
        solved(tmp_path, movement_data([96, 64, 60], [8, 8, 8], 30, **given))
    (complaint,) = caught.value.complaints
    assert (str(complaint).split(" = ")[0], complaint.allowed) == (key, words)


@pytest.mark.parametrize("known", [{"beats_per_hour": 3600}, {"hands": {"escape": "seconds"}}], ids=["beat", "seconds"])
def test_hands_said_to_be_on_another_arbor(tmp_path: Path, known: dict[str, Any]) -> None:
    """Where beat or seconds hand tell which arbor turns once an hour, the gearing of the hands is wrong, and only that."""
    work = {"kind": "minute_and_hour", "on": "third", "cannon_leaves": 12, "minute_wheel_teeth": 36}
    work |= {"minute_pinion_leaves": 10, "hour_wheel_teeth": 40, "module_mm": 0.8}
    with pytest.raises(Refused) as caught:
        solved(tmp_path, movement_data([96, 64, 60], [8, 8, 8], 30, motion_work=work, **known))
    (complaint,) = caught.value.complaints
    assert (complaint.key, complaint.value) == (("motion_work", "on"), "third")
    assert "the second arbor does, and third turns once in 7 1/2\u202fmin. Name second" in complaint.advice


def test_a_hand_that_would_turn_backwards(tmp_path: Path) -> None:
    """The right rate in the wrong sense is refused, and the sense is named."""
    data = movement_data([60, 60], [10, 6], 30, hands={"great": "minutes", "second": "seconds"})
    data["arbors"][0]["wheel"]["teeth"] = 600
    with pytest.raises(Refused) as caught:
        solved(tmp_path, data)
    (complaint,) = caught.value.complaints
    assert "one turn counter-clockwise in 60\u202fs" in complaint.advice


# ---- laws that hold for every train


@st.composite
def trains(draw: st.DrawFn) -> Data:
    """Counts of two to six wheels at random, at a stated beat."""
    size = draw(st.integers(1, 5))
    return movement_data(
        draw(st.lists(st.integers(6, 150), min_size=size, max_size=size)),
        draw(st.lists(st.integers(4, 30), min_size=size, max_size=size)),
        draw(st.integers(1, 120)),
        beats_per_tooth=draw(st.integers(1, 4)),
        beats_per_hour=draw(st.integers(101, 100_000)),
        turns=draw(st.one_of(st.none(), st.integers(1, 3200).map(lambda n: n / 16))),
    )


def counts_of(data: Data) -> tuple[list[int], list[int], int]:
    """Teeth of the wheels, leaves of the pinions, beats for one turn of the escape wheel."""
    wheels = [arbor["wheel"]["teeth"] for arbor in data["arbors"] if "wheel" in arbor]
    pinions = [arbor["pinion"]["leaves"] for arbor in data["arbors"] if "pinion" in arbor]
    return wheels, pinions, data["escapement"]["teeth"] * data["escapement"]["beats_per_tooth"]


@given(trains())
@settings(max_examples=150, deadline=None)
def test_laws_of_every_train(data: Data) -> None:
    """Turns multiply out, senses alternate, turns times period is one, beats are teeth that pass: all exactly."""
    found = train(Movement.model_validate(data))
    wheels, pinions, beats_per_turn = counts_of(data)
    arbors = [found[name] for name in found.path]
    for place, arbor in enumerate(arbors):
        turns = Fraction(prod(wheels[:place]), prod(pinions[:place]))
        assert arbor.turns_per_hour == (-1) ** place * turns * arbors[0].turns_per_hour
        assert abs(arbor.turns_per_hour) * arbor.hours_per_turn == 1
    assert found.whole_ratio == Fraction(prod(wheels), prod(pinions))
    assert abs(found["escape"].turns_per_hour) * beats_per_turn == found.beats_per_hour == data["oscillator"]["beats_per_hour"]
    assert found.beat_s * found.beats_per_hour == 3600
    assert found.teeth_per_minute * 60 == abs(found["escape"].turns_per_hour) * data["escapement"]["teeth"]
    if "turns" in data["source"]:
        assert found.going_hours == Fraction(data["source"]["turns"]) * found["great"].hours_per_turn


@given(trains(), st.integers(0, 5))
@settings(max_examples=150, deadline=None)
def test_a_hand_fixes_the_beat(data: Data, place: int) -> None:
    """With a minute hand on any arbor that arbor turns once an hour, and the beat is the counts above it, or below it."""
    wheels, pinions, beats_per_turn = counts_of(data)
    place = min(place, len(wheels))
    data["arbors"][place]["hand"] = "minutes"
    del data["oscillator"]["beats_per_hour"]
    beats = Fraction(prod(wheels[place:]), prod(pinions[place:])) * beats_per_turn
    movement = Movement.model_validate(data)
    if not 100 < beats <= 100_000:
        with pytest.raises(Refused, match="a train for 100 to 100\u202f000 beats an hour"):
            train(movement)
        return
    found = train(movement)
    assert found.beats_per_hour == beats
    assert found[data["arbors"][place]["id"]].turns_per_hour == -1


def test_exact_is_the_decimal_as_typed() -> None:
    """0.1 is a tenth, not the binary number beside it."""
    assert exact(0.1) == Fraction(1, 10)
    assert exact(12.84) == Fraction(1284, 100)
    assert exact(16) == 16
