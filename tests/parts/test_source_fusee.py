"""The fusee: an even torque, the line that is let go by one drum and taken by the other, the set-up that suits."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from builder.ground.faults import Refused
from builder.parts.source.cone import Cone, Pull, even_cone, even_turns
from tests.authority import KNOWN
from tests.parts.source_cases import UNHURRIED, sized, source


def test_turns_for_two_radii():
    """The turns after which an even cone has the small radius asked for, for the published pull (tests/authorities/)."""
    asked, small = KNOWN["fusee-even"].given, KNOWN["fusee-even"].expect["radius_small_mm"]
    drum, wound_on, large = 20.0, 4.0, asked["radius_large_mm"]
    full = wound_on * asked["torque_full"] / asked["torque_end"]
    turns = drum * (full**2 - wound_on**2) / (2 * large * wound_on)
    assert even_turns(large, small, drum, wound_on) == pytest.approx(turns, rel=1e-9)
    assert even_cone(turns, large, drum, wound_on).small_mm == pytest.approx(small, rel=1e-9)


@UNHURRIED
@given(st.floats(4, 20), st.floats(8, 40), st.floats(10, 40), st.floats(0.5, 12), st.floats(1, 200))
def test_torque_is_even_to_the_last_digit(turns, large, drum, wound_on, pull):
    """Over all turns the torque through an even cone keeps to one value within 1e-9, whatever the spring."""
    law = Pull(even_cone(turns, large, drum, wound_on), drum, wound_on, pull)
    torque = law.torque_nmm(np.linspace(0, turns, 201))
    assert np.ptp(torque) < 1e-9 * torque.mean()
    assert torque.mean() == pytest.approx(pull * wound_on * large / drum, rel=1e-9)


@UNHURRIED
@given(st.floats(4, 20), st.floats(10, 40), st.floats(0.4, 0.95), st.floats(10, 40), st.floats(0.5, 12))
def test_line_and_energy_balance(turns, large, narrowing, drum, wound_on):
    """Line off the cone is line onto the barrel (scipy's quadrature); the barrel's work is the fusee's, even cone or not."""
    cone = Cone(turns, large, narrowing * large)
    law = Pull(cone, drum, wound_on, 30.0)
    line, _ = quad(lambda t: 2 * np.pi * float(cone.radius_mm(t)), 0.0, turns, epsrel=1e-12)
    assert cone.line_mm == pytest.approx(line, rel=1e-9)
    barrel = float(cone.line_turns(np.array(turns), drum))
    assert 2 * np.pi * drum * barrel == pytest.approx(line, rel=1e-9)
    at_fusee, _ = quad(lambda t: float(law.torque_nmm(t)), 0.0, turns, epsrel=1e-12)
    at_barrel, _ = quad(lambda n: 30.0 * (wound_on + n), 0.0, barrel, epsrel=1e-12)
    assert at_fusee == pytest.approx(at_barrel, rel=1e-9)
    assert float(law.work_j(np.array(turns))) == pytest.approx(2 * np.pi * at_barrel / 1000, rel=1e-9)


def test_profile_is_the_solution_of_the_fusees_equation():
    """dn/dφ = r/R with r = C R / torque, integrated by scipy: the closed form's radius all along the cone."""
    large, drum, wound_on, turns = 16.0, 26.0, 6.0, 14.0
    even = wound_on * large / drum

    def rolled(_: float, n: np.ndarray) -> np.ndarray:
        return even / (wound_on + n)

    at = np.linspace(0, turns, 30)
    found = solve_ivp(rolled, (0, turns), [0.0], t_eval=at, rtol=1e-11, atol=1e-12)
    cone = even_cone(turns, large, drum, wound_on)
    np.testing.assert_allclose(cone.radius_mm(at), even * drum / (wound_on + found.y[0]), rtol=1e-8)


def test_a_cylinder_does_not_even():
    """Negative control: on a drum of one radius the torque follows the spring; on a straight cone it bulges."""
    drum, wound_on = 26.0, 6.0
    even = even_cone(14.0, 16.0, drum, wound_on)
    cylinder = Pull(Cone(14.0, 16.0, 16.0), drum, wound_on, 30.0).torque_nmm(np.array([0.0, 14.0]))
    barrel = 14.0 * 16.0 / drum
    assert cylinder[1] / cylinder[0] == pytest.approx((wound_on + barrel) / wound_on, rel=1e-12)
    turns = np.linspace(0, 14.0, 50)
    straight = 16.0 + (even.small_mm - 16.0) * turns / 14.0
    assert np.max(straight / even.radius_mm(turns)) > 1.005


def test_any_two_of_small_end_turns_and_set_up_tell_the_third():
    """Small end, turns and set-up worked out one from the other two agree, and the torque is even each time."""
    first = sized("fusee").chained
    small_mm = 2 * first.cone.small_mm - 1.5
    by_set_up = sized("fusee", small_diameter_mm=small_mm, set_up_turns=None)
    assert by_set_up.chained.set_up_turns == pytest.approx(0.5, abs=1e-9)
    by_turns = sized("fusee", small_diameter_mm=small_mm, turns=None)
    assert by_turns.usable_turns == pytest.approx(14.0, rel=1e-9)
    for made in (sized("fusee"), by_set_up, by_turns):
        assert made.drive.evenness == pytest.approx(1.0, abs=1e-9)
    assert [f.key for f in by_set_up.findings()][-1] == ("set_up_turns",)


def test_a_wrong_set_up_is_uneven_and_the_finding_cures_it():
    """Too little or too much set-up on a well set spring: which way it pulls is said, and the set-up named evens it."""
    strip = {"free_coils": 14.0}
    small_mm = 2 * sized("fusee", spring=strip, turns=10.0, set_up_turns=1.0).chained.cone.small_mm - 1.5
    for set_up, way in ((0.3, "more"), (1.8, "less")):
        made = sized("fusee", spring=strip, turns=10.0, small_diameter_mm=small_mm, set_up_turns=set_up)
        torque = made.drive.torque_nmm(np.array([0.0, 10.0]))
        assert bool(torque[1] > torque[0]) is (way == "more")
        (text,) = [f.text for f in made.findings() if f.key == ("set_up_turns",) and "pulls" in f.text]
        assert f"pulls {way} than nearly run down" in text and "1.0 turns of set-up would even it" in text
        assert made.chained.suiting_set_up_turns == pytest.approx(1.0, abs=1e-9)


def test_line_leaves_one_drum_and_comes_to_the_other():
    """Wound, all line is on the fusee and pulls at the small end; run down, all of it is on the barrel."""
    made = sized("fusee")
    wound, down = made.line_state(14.0), made.line_state(0.0)
    assert (wound.on_fusee_turns, wound.on_barrel_turns) == (14.0, pytest.approx(0.0, abs=1e-12))
    assert wound.fusee_radius_mm == pytest.approx(made.chained.cone.small_mm)
    assert down.on_fusee_turns == 0.0
    assert down.fusee_radius_mm == pytest.approx(14.75)  # 28 mm across the groove's floor and half of a line of 1.5 mm
    assert down.on_barrel_turns == pytest.approx(made.chained.barrel_turns)
    assert down.barrel_radius_mm == pytest.approx(53.0 / 2 + 0.75)


def test_barrel_in_the_picture_turns_with_the_line():
    """The strip gains exactly the coils that the line turns the barrel by, and keeps its length."""
    made = sized("fusee")
    down, half, wound = (made.coils(t) for t in (0.0, 7.0, 14.0))
    rolled, _ = quad(lambda t: float(made.chained.cone.radius_mm(t)) / made.chained.drum_mm, 0.0, 7.0)
    assert half.count - down.count == pytest.approx(rolled, rel=1e-9)
    assert wound.count - down.count == pytest.approx(made.chained.barrel_turns, rel=1e-9)
    assert half.length_mm == pytest.approx(made.spring.length_mm, rel=1e-9)
    with pytest.raises(ValueError, match="turns left from 0"):
        made.coils(14.5)


def test_groove_runs_from_the_large_end_to_the_small():
    """As many pitches long as the fusee has turns; its floor is half the line under where the line pulls."""
    made = sized("fusee", pitch_mm=1.8)
    groove = made.groove_mm(57)
    assert groove.shape == (57, 2)
    np.testing.assert_allclose(groove[0], [0.0, 14.0])
    np.testing.assert_allclose(groove[-1], [14 * 1.8, made.chained.cone.small_mm - 0.75])
    assert np.all(np.diff(groove[:, 1]) < 0)
    assert np.all(np.diff(groove[:, 1], 2) > 0)  # hollow towards the large end, as fusees are


def test_energy_held_counts_the_set_up():
    """Let run down, a fusee's spring still holds its set-up, and the barrel what the coils keep: all in the caution."""
    made = sized("fusee")
    housed, chained = made.chained.housed, made.chained
    assert made.stored.energy_j == pytest.approx(housed.energy_j(0.5 + chained.barrel_turns))
    assert made.stored.kept_j == pytest.approx(housed.energy_j(0.0))
    still = made.stored.energy_j - made.drive.energy_j()
    assert still == pytest.approx(housed.energy_j(0.5), rel=1e-9)
    assert still > made.stored.kept_j


def test_what_cannot_be_is_refused():
    """Ends exchanged, a chain longer than the spring's turns, a cone that no set-up evens."""
    assert [c.key for c in sized("fusee", small_diameter_mm=29.0).complaints()] == [("small_diameter_mm",)]
    long = sized("fusee", turns=24.0)
    (complaint,) = long.complaints()
    assert complaint.key == ("set_up_turns",)
    assert "tight before the fusee is full" in complaint.advice
    with pytest.raises(Refused):
        _ = long.drive
    steep = sized("fusee", small_diameter_mm=12.0, turns=8.0, set_up_turns=None)
    (complaint,) = steep.complaints()
    assert complaint.key == ("small_diameter_mm",)
    assert sized("fusee", small_diameter_mm=12.0, turns=8.0).complaints() == []  # stated, it is taken as found, and told
    both = sized("fusee", spring={"height_mm": 41.0, "length_mm": 5000.0})
    assert [c.key for c in both.complaints()] == [("spring", "height_mm"), ("spring", "length_mm")]


def test_a_set_up_asked_too_high_names_the_most_there_is():
    """With the set-up that the complaint allows, there is nothing to complain of."""
    (complaint,) = sized("fusee", set_up_turns=6.0).complaints()
    assert complaint.key == ("set_up_turns",)
    chained = sized("fusee", small_diameter_mm=20.0).chained
    room = chained.housed.handbook_turns - chained.barrel_turns
    assert sized("fusee", small_diameter_mm=20.0, set_up_turns=0.999 * room).complaints() == []
    (complaint,) = sized("fusee", small_diameter_mm=20.0, set_up_turns=1.001 * room).complaints()
    assert f"{room:.2f}" in complaint.allowed


def test_sizes_missing_are_named_one_at_a_time():
    """Spring known and the rest not: the force is not known, and the finding says which size to measure next."""
    for missing, named in (
        ("barrel", "the barrel's sizes"),
        ("line", "the line's thickness"),
        ("large_diameter_mm", "large diameter"),
        ("turns", "turns or its small diameter"),
        ("set_up_turns", "the set-up"),
    ):
        made = sized("fusee", **{missing: None})
        assert made.drive is None
        assert named in made.findings()[-1].text
        assert made.coils(1.0) is None and made.line_state(1.0) is None and made.groove_mm() is None
    assert sized("fusee", large_diameter_mm=None, measured=[[0.0, 500.0], [14.0, 510.0]]).drive.origin == "measured"


def test_outside_of_the_barrel_is_asked_for():
    """Not measured, a wall is assumed and said, since the fusee's torque goes inversely with it."""
    made = sized("fusee", barrel={"outside_diameter_mm": None})
    assert ("barrel", "outside_diameter_mm") in [f.key for f in made.findings()]
    assert made.chained.drum_mm > 25.75


def test_counted_turns_alone_go_far_enough_for_the_hands():
    """Only the fusee's turns counted: duration is known, force is not."""
    made = source("fusee", turns=12.0)
    assert (made.usable_turns, made.drive, made.chained) == (12.0, None, None)
