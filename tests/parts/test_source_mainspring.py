"""Open springs and going barrels: which of counts, sizes and readings tells what, and what is said of contradictions."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad

from builder.ground.faults import Refused
from builder.ground.words import figure
from tests.parts.source_cases import sized, source

BOTH = pytest.mark.parametrize("kind", ["open_spring", "going_barrel"])


@BOTH
def test_turns_come_from_the_room_less_set_up_and_recoil(kind):
    """Uncounted, the turns are what the room has, less stopwork's set-up, less what a recoiling click gives back."""
    made = sized(kind, ratchet=None)
    room = made.mainspring.housed.turns
    assert made.usable_turns == pytest.approx(room)
    assert sized(kind, ratchet=None, set_up_turns=1.0).usable_turns == pytest.approx(room - 1.0)
    assert sized(kind, ratchet={"teeth": 30, "recoil_teeth": 3.0}).usable_turns == pytest.approx(room - 0.1)
    assert sized(kind, turns=5.0).usable_turns == 5.0


@BOTH
def test_set_up_moves_the_winding_up_the_same_curve(kind):
    """A spring stopped two turns early pulls, with t turns left, as it does with t + 2 left when it runs right down."""
    whole, stopped = sized(kind, ratchet=None).drive, sized(kind, ratchet=None, set_up_turns=2.0).drive
    turns = np.linspace(0, stopped.turns, 9)
    np.testing.assert_allclose(stopped.torque_nmm(turns), whole.torque_nmm(turns + 2.0), rtol=1e-12)
    assert stopped.evenness > whole.evenness


@BOTH
def test_what_is_held_is_the_whole_triangle(kind):
    """Energy held is the area under the torque from the free shape up (scipy): what is kept, set-up and winding together."""
    made = sized(kind, set_up_turns=1.0)
    housed = made.mainspring.housed
    top = housed.preload_turns + 1.0 + made.usable_turns
    pull = housed.spring.pull_nmm_per_turn

    def held(turns: float) -> float:
        return 2 * np.pi / 1000 * quad(lambda n: pull * n, 0.0, turns)[0]

    assert made.stored.energy_j == pytest.approx(held(top), rel=1e-10)
    assert made.stored.kept_j == pytest.approx(held(housed.preload_turns), rel=1e-10)
    assert made.stored.energy_j - made.stored.kept_j == pytest.approx(held(top) - held(housed.preload_turns), rel=1e-10)


@BOTH
def test_picture_turns_as_the_winding_does(kind):
    """Between two states the drawn strip has exactly as many coils more as turns were wound, and the same length."""
    made = sized(kind, turns=6.0, set_up_turns=0.25)
    down, wound = made.coils(0.0), made.coils(6.0)
    assert wound.count - down.count == pytest.approx(6.0, abs=1e-9)
    assert made.coils(2.5).count - down.count == pytest.approx(2.5, abs=1e-9)
    assert wound.length_mm == pytest.approx(down.length_mm, rel=1e-9) == pytest.approx(made.spring.length_mm, rel=1e-9)
    with pytest.raises(ValueError, match="turns left from 0"):
        made.coils(6.5)
    assert source(kind, turns=6.0).coils(3.0) is None


@BOTH
def test_turns_counted_beyond_the_room_still_make_a_picture(kind):
    """A few per cent more turns than the sizes have: said, and drawn from run down to tight all the same."""
    room = sized(kind, ratchet=None).usable_turns
    counted = sized(kind, turns=1.06 * room, ratchet=None)
    assert ("turns",) in [f.key for f in counted.findings()]
    assert counted.coils(counted.turns).count == pytest.approx(counted.mainspring.housed.coils_wound)
    assert counted.coils(0.0).count == pytest.approx(counted.mainspring.housed.coils_down)


@BOTH
def test_turns_that_cannot_be_are_refused(kind):
    """Half as many turns again as the areas give is a wrong count or a wrong size; a set-up that eats all turns as well."""
    room = sized(kind).usable_turns
    assert [c.key for c in sized(kind, turns=1.5 * room).complaints()] == [("turns",)]
    assert [c.key for c in sized(kind, set_up_turns=room).complaints()] == [("set_up_turns",)]
    with pytest.raises(Refused):
        _ = sized(kind, set_up_turns=room).drive


@BOTH
def test_far_fewer_turns_than_the_room_has_are_explained(kind):
    """The finding names the set-up that would explain the count."""
    made = sized(kind, turns=4.0, ratchet=None)
    room = made.mainspring.housed.turns
    (text,) = [f.text for f in made.findings() if f.key == ("turns",)]
    assert f"set_up_turns = {figure(room - 4.0, 2)}" in text


@BOTH
def test_readings_tell_how_far_the_spring_has_set(kind):
    """Readings at 60 % of an unset spring's torque say 0.40; near the sizes' own torque nothing is said."""
    new = sized(kind, spring={"set": 0.0}, ratchet=None)
    turns = [0.0, 2.0, 4.0, float(new.usable_turns)]

    def read(part: float):
        torques = part * new.drive.torque_nmm(turns)
        readings = [list(pair) for pair in zip(turns, torques.tolist(), strict=True)]
        made = sized(kind, measured=readings, ratchet=None)
        return [f.text for f in made.findings() if f.key == ("measured",)]

    (text,) = read(0.6)
    assert "75" in text and "0.40" in text  # 0.6 of new is 75 % of a spring set by the usual fifth
    assert read(0.8) == []
    (text,) = read(1.3)
    assert "measure the thickness again" in text


@BOTH
def test_measured_wins_over_sizes_and_sizes_still_draw(kind):
    """With both, the torque is the one read; the picture and the energy kept in the barrel come from the sizes."""
    made = sized(kind, turns=5.0, measured=[[0.0, 10.0], [5.0, 20.0]])
    assert made.drive.origin == "measured"
    assert made.drive.uncertainty == 0.0
    assert float(made.drive.torque_nmm(2.5)) == pytest.approx(15.0)
    assert made.coils(2.5) is not None
    housed = made.mainspring.housed
    assert made.stored.energy_j == pytest.approx(housed.energy_j(0.0) + made.drive.energy_j())
    assert sized(kind, turns=5.0).drive.uncertainty == 0.3


@BOTH
def test_coil_friction_is_between_winding_and_running(kind):
    """A tenth lost between the coils: nine tenths come out, eleven tenths must be put in."""
    smooth, rough = sized(kind).drive, sized(kind, spring={"coil_friction": 0.1}).drive
    out, into = rough.torque_nmm(1.0), rough.torque_nmm(1.0) * rough.winding_factor
    assert float(out / smooth.torque_nmm(1.0)) == pytest.approx(0.9)
    assert float(into / smooth.torque_nmm(1.0)) == pytest.approx(1.1)


def test_a_strip_without_its_room_says_what_is_missing():
    """Spring measured, barrel or room not: no force, and why."""
    strip = {"thickness_mm": 0.3, "height_mm": 10.0, "length_mm": 1200.0}
    assert [f.key for f in source("going_barrel", turns=6.0, spring=strip).findings()] == [("barrel",)]
    assert [f.key for f in source("open_spring", turns=6.0, spring=strip).findings()] == [("arbor_diameter_mm",)]
    half = source("open_spring", turns=6.0, spring=strip, arbor_diameter_mm=7.0)
    assert [f.key for f in half.findings()] == [("room_diameter_mm",)]
    assert half.drive is None


def test_strip_must_stand_in_its_barrel():
    """A strip as high as the barrel, and an outside smaller than the inside, are both refused at once."""
    made = sized("going_barrel", spring={"height_mm": 1.7}, barrel={"outside_diameter_mm": 10.0})
    assert [c.key for c in made.complaints()] == [("barrel", "outside_diameter_mm"), ("spring", "height_mm")]


def test_misfits_are_told_in_the_kinds_own_keys():
    """An open spring's arbor and room, a barrel's arbor: the complaint points at the key that the file has."""
    assert [c.key for c in sized("open_spring", arbor_diameter_mm=51.5).complaints()] == [("arbor_diameter_mm",)]
    assert [c.key for c in sized("going_barrel", barrel={"arbor_diameter_mm": 10.9}).complaints()] == [
        ("barrel", "arbor_diameter_mm")
    ]


def test_pillar_outside_the_wound_spring():
    """A pillar within the wound coils cannot be; left out, it stands at the edge of the room."""
    made = sized("open_spring", pillar_mm=10.0)
    (complaint,) = made.complaints()
    assert complaint.key == ("pillar_mm",)
    assert sized("open_spring").pillar_distance_mm == 26.0
    assert sized("open_spring", pillar_mm=24.0).pillar_distance_mm == 24.0
    assert sized("open_spring", pillar_mm=24.0).complaints() == []


def test_ordinary_springs_come_out_in_the_ordinary_range():
    """A wristwatch's barrel gives some N·mm and holds about a joule, an eight-day open spring about a N·m and tens of joules.

    Common practice, no source.
    """
    watch, clock = sized("going_barrel"), sized("open_spring")
    assert 4 < float(watch.drive.torque_nmm(watch.usable_turns)) < 16
    assert 0.3 < watch.stored.energy_j < 1.5
    assert 5 < watch.usable_turns < 9
    assert 500 < float(clock.drive.torque_nmm(clock.usable_turns)) < 2500
    assert 20 < clock.stored.energy_j < 200
