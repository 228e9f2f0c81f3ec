"""Findings that change force and friction, against closed forms and against the same change made in the movement's file."""

from dataclasses import replace
from math import pi, sqrt

import numpy as np
import pytest
from scipy.integrate import quad

from builder.going import steady
from builder.going.beat import Workings
from builder.going.going import going
from builder.going.repair import condition
from builder.going.steady import Running, Stopped
from builder.parts.escapement.solve import action_of
from builder.parts.finding import SOUND, Condition
from builder.parts.source.tired import tired
from tests.going.faulty import beat, escape_nmm, found, running, sound, works
from tests.solved import changed, demo


def test_a_balance_swings_as_the_root_of_a_tired_springs_force():
    """Energy in goes with the torque, energy lost with the square of the amplitude (viscous loss), so A ∝ √torque."""
    weak = running("shelf_timepiece", found("tired_mainspring", torque_part=0.64))
    assert weak.amplitude_rad / sound("shelf_timepiece").amplitude_rad == pytest.approx(0.8, rel=0.01)


def test_turns_lost_take_the_last_turns_away():
    """A strip pulls in proportion to its turns: with two lost, what is left pulls as E b h³/(12 L)·2π a turn from nought."""
    made = works("shelf_timepiece", found("tired_mainspring", turns_lost=2.0))
    spring = demo("shelf_timepiece").movement.source.spring
    inertia = spring.height_mm * spring.thickness_mm**3 / 12
    pull = (1 - spring.set_part) * 2 * pi * spring.modulus_gpa * 1e3 * inertia / spring.length_mm
    whole = demo("shelf_timepiece").movement.source.drive
    assert made.drive.turns == pytest.approx(whole.turns - 2)
    left = np.array([0.0, 1.0, 2.5])
    assert made.drive.torque_nmm(left) == pytest.approx(pull * left, abs=1e-9)
    energy = 2 * pi / 1000 * quad(lambda t: pull * t, 0, made.drive.turns)[0]
    assert made.drive.energy_j() == pytest.approx(energy, rel=1e-3)


def test_free_coils_tell_how_far_a_spring_has_set():
    """Each coil more in which the spring lies free takes one turn's pull off the torque, wound or down."""

    def springy(data):
        data["source"]["spring"]["free_coils"] = 1.0

    solved = changed("shelf_timepiece", springy)
    set_spring = condition(solved, [found("tired_mainspring", free_coils=3.0)])
    source = solved.movement.source
    now = tired(source.drive, set_spring.torque_part, set_spring.torque_less_nmm, set_spring.lost_turns)
    inertia = source.spring.height_mm * source.spring.thickness_mm**3 / 12
    pull = 2 * pi * source.spring.modulus_gpa * 1e3 * inertia / source.spring.length_mm
    wound = now.torque_nmm(now.turns)
    assert source.drive.torque_nmm(source.drive.turns) - wound == pytest.approx(2 * pull, rel=1e-9)
    assert now.turns == source.drive.turns and set_spring.lost_turns == 0


@pytest.mark.parametrize("group", ["pivots", "teeth"])
def test_poor_oil_in_the_train_is_the_file_with_more_friction(group: str):
    """A factor on the friction of all pivots, or of all teeth, is what the file's own coefficient times that factor gives."""
    made = works("hall_clock", found("poor_oil", state="dry", where=[group], friction_times=1.5))

    def rubbed(data):
        data["friction"] = {group: {"pivots": 0.12, "teeth": 0.15}[group] * 1.5}

    asked = changed("hall_clock", rubbed).windings[0].power.escape_torque_nmm
    assert escape_nmm(made) == pytest.approx(asked, rel=1e-12)
    assert escape_nmm(made) < sound("hall_clock").works.torque_nm * 1e3


def test_poor_oil_on_one_arbor_takes_its_pivots_share():
    """μ load r at the third arbor's pivots, three times over: the torque on it falls by twice the old pivot torque (to the
    change of the load itself), and nothing else is touched. Load from the flow, radius from the plan."""
    solved = demo("hall_clock")
    flow = solved.windings[0].power
    made = works("hall_clock", found("poor_oil", state="thick", where=["pivots"], arbors=["third"], friction_times=3.0))
    now = made.flow(16.0)
    third = next(arbor for arbor in flow.arbors if arbor.arbor == "third")
    passed, was = now.meshes[2].torque_in_nmm, flow.meshes[2].torque_in_nmm
    assert was - passed == pytest.approx(2 * third.pivot_torque_nmm, rel=0.05)
    assert now.meshes[1].torque_in_nmm == flow.meshes[1].torque_in_nmm


def test_poor_oil_on_the_pallets_is_the_escapement_with_more_friction():
    """The same action as the escapement solved with that coefficient; the drop and lock are not touched by it."""
    made = works("hall_clock", found("poor_oil", state="dry", where=["pallets"], friction_times=2.0))
    asked = demo("hall_clock").movement.escapement.action(friction=0.30)
    piece, other = made.course.action.up.pieces[1], asked.up.pieces[1]
    assert piece.gain.coef == pytest.approx(other.gain.coef, abs=1e-12)
    assert made.course.action.entry.drop_wheel_deg == asked.entry.drop_wheel_deg


def light(made: Workings) -> Running:
    """The beat with a wheel and a lever that weigh nothing: then all that is lost goes with the balance."""
    course = replace(made.course, coupling=replace(made.course.coupling, inertia_kg_m2=0.0))
    solved = steady.solve(made.terms, course, escape_nmm(made), 0.0)
    assert isinstance(solved, Running)
    return solved


def test_a_balance_in_poor_oil_swings_less():
    """Loss at a speed f times as great, torque unchanged: A ∝ 1/√f for a light wheel and lever, and Q is divided by f. The
    blows of a wheel that has weight do not grow with the oil: with it the balance loses less of its swing."""
    oil = found("poor_oil", state="thick", where=["oscillator"], friction_times=1.5)
    thick, clean = works("shelf_timepiece", oil), works("shelf_timepiece")
    assert light(thick).amplitude_rad / light(clean).amplitude_rad == pytest.approx(1 / sqrt(1.5), rel=0.01)
    assert thick.terms.q_factor == pytest.approx(clean.terms.q_factor / 1.5)
    assert 1 / sqrt(1.5) < running("shelf_timepiece", oil).amplitude_rad / sound("shelf_timepiece").amplitude_rad < 1


def test_oil_can_stop_a_clock():
    """Where loss outgrows what the wheel can give, it stops, and says by how much it falls short; the sound one goes."""
    stopped = beat(works("hall_clock", found("poor_oil", state="thick", where=["oscillator"], friction_times=3.0)))
    assert isinstance(stopped, Stopped) and stopped.reason == "too little energy"
    assert stopped.covered < 1 and "%" in stopped.text


def test_faults_are_solved_together():
    """Torque × 0.64 leaves 0.8 of whatever swing there is: the two multiply; what they cost alone, added up, would leave less."""
    tired_one = found("tired_mainspring", torque_part=0.64)
    oil = found("poor_oil", state="thick", where=["oscillator"], friction_times=1.5)
    whole = sound("shelf_timepiece").amplitude_rad
    both, first, second = (running("shelf_timepiece", *each).amplitude_rad for each in ((tired_one, oil), (tired_one,), (oil,)))
    assert both / second == pytest.approx(first / whole, rel=0.01)
    assert both > (first + second - whole) * 1.03


def test_a_sound_movement_is_not_touched():
    """Negative control: no finding, or one in words only, and the beat is the sound one's to the last bit."""
    solved = demo("hall_clock")
    assert condition(solved, []) == SOUND == Condition()
    only_words = condition(solved, [found("other", words="The case has lost a hinge.")])
    assert only_words == SOUND and only_words.sound
    assert not replace(SOUND, lost_turns=1.0).sound
    assert beat(works("hall_clock")).amplitude_rad == sound("hall_clock").amplitude_rad


def test_the_plain_way_and_the_worn_way_are_one():
    """The beat of a movement as read is the beat of that movement in sound condition: one pipeline."""
    solved = demo("hall_clock")
    draft, escapement = solved.plan.draft, solved.movement.escapement
    assert action_of(draft, escapement.friction).entry == escapement.action().entry
    assert going("hall_clock", solved.movement).windings[0].beat.amplitude_rad == sound("hall_clock").amplitude_rad
