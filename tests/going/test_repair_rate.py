"""Findings that change beat and rate, against closed forms."""

from math import asin, pi, radians, sqrt

import pytest

from builder.going.setting import setting
from builder.going.steady import Running
from builder.ground.faults import Refused
from builder.parts.escapement import DetachedLever
from tests.going.faulty import beat, found, running, sound, works
from tests.solved import demo

DAY_S = 86400.0


def gains(slug: str, *findings) -> float:
    """Change of rate, s a day."""
    return running(slug, *findings).rate_s_per_day - sound(slug).rate_s_per_day


def test_out_of_beat_is_heard_as_sine_and_angle_say():
    """A balance that rests β off: beats are heard where it passes the fork's edge u each way, at asin((u ∓ β)/A) of its
    sine; half their difference is (asin((u + β)/A) − asin((u − β)/A))/ω (from the sine; the trade's 'beat error')."""
    solved, by = demo("shelf_timepiece"), 4.0
    now = running("shelf_timepiece", found("out_of_beat", by_deg=by))
    escapement = solved.movement.escapement
    assert isinstance(escapement, DetachedLever)
    edge, beta, w = now.works.course.unlocks_up, radians(by), 2 * pi / now.period_s
    expected = 1e3 * (asin((edge + beta) / now.amplitude_rad) - asin((edge - beta) / now.amplitude_rad)) / w
    own = sound("shelf_timepiece").beat_error_ms  # its two pallets are not quite alike
    assert now.beat_error_ms - own == pytest.approx(expected, rel=0.01)
    assert expected == pytest.approx(1e3 * 2 * beta / (w * now.amplitude_rad), rel=0.02)  # the same for small angles
    assert own < 0.1 * now.beat_error_ms


def test_out_of_beat_asks_more_swing_of_a_pendulum():
    """The pendulum must pass the further let-off from its own rest: so much more as it rests aside."""
    now = beat(works("hall_clock", found("out_of_beat", by_deg=0.1)))
    assert now.least_rad - sound("hall_clock").least_rad == pytest.approx(radians(0.1), rel=1e-6)
    assert isinstance(now, Running) and now.beat_error_ms > sound("hall_clock").beat_error_ms


@pytest.mark.parametrize(("stiffer", "rel"), [(0.002, 0.02), (-0.002, 0.02)])
def test_a_hairspring_off_changes_the_rate_by_half(stiffer: float, rel: float):
    """k → k(1 + s): the rate changes by √(1 + s) − 1, about s/2 of a day (frequency goes as √k)."""
    expected = DAY_S * (sqrt(1 + stiffer) - 1)
    assert gains("shelf_timepiece", found("wrong_rating", stiffer_part=stiffer)) == pytest.approx(expected, rel=rel)


def test_a_longer_hairspring_is_slower():
    """Stiffness goes as one over the length: of 180 mm, 1 mm more loses √(180/181) − 1 of a day, about 239 s."""
    assert gains("shelf_timepiece", found("wrong_rating", longer_mm=1.0)) == pytest.approx(
        DAY_S * (sqrt(180 / 181) - 1), rel=0.02
    )


def test_a_nut_let_down_loses_by_half_the_lengthening():
    """A seconds pendulum 994 mm long whose bob sinks by one turn of 0.8 mm loses about half 0.8/994 of a day, 35 s; a rod
    with weight of its own makes it some per cent less. Turns and millimetres say the same."""
    by_turn = gains("hall_clock", found("wrong_rating", nut_turns=1.0))
    assert by_turn == pytest.approx(-DAY_S * 0.8 / 994 / 2, rel=0.08)
    assert gains("hall_clock", found("wrong_rating", bob_down_mm=0.8)) == by_turn
    assert gains("hall_clock", found("wrong_rating", bob_down_mm=-0.8)) == pytest.approx(-by_turn, rel=0.02)


def test_a_bob_far_too_low_is_refused():
    """More than two per cent off the beat is no rating any more: said at the finding."""
    with pytest.raises(Refused) as refused:
        works("hall_clock", found("wrong_rating", bob_down_mm=80.0))
    assert refused.value.complaints[0].key == ("findings", "kind")


def test_magnetism_is_the_rate_that_was_stated():
    """It gains what the file says, to the little that the escapement's own error changes with the beat."""
    assert gains("shelf_timepiece", found("magnetised", rate_s_per_day=90.0)) == pytest.approx(90.0, rel=0.02)


def test_a_slipped_suspension_lets_the_bob_down():
    """A strip 2 mm longer hangs rod and bob so much lower: half of 2/994 of a day, 87 s, is lost (rod and all: nearer)."""
    assert gains("hall_clock", found("damaged_suspension", longer_mm=2.0)) == pytest.approx(-DAY_S * 2 / 994 / 2, rel=0.06)


def test_a_cracked_suspension_bends_nearer_the_chops():
    """A long strip bends about √(EI/W) below the chops (a bar under pull: e^(−x√(W/EI))); with half the width that shrinks by
    1 − √½, and the pendulum seems so much longer: it loses half of that by its length."""
    solved = demo("hall_clock").movement.oscillator
    strip = solved.suspension
    bending = 1e-12 * 210e9 * strip.width_mm * strip.thickness_mm**3 / 12
    weight = 9.81 * (solved.bob.mass_g * 1e-3 + solved.rod.mass_kg()) * 0.99989
    longer_mm = 1e3 * sqrt(bending / weight) * (1 - sqrt(0.5))
    lost = gains("hall_clock", found("damaged_suspension", width_left=0.5))
    assert lost == pytest.approx(-DAY_S * longer_mm / 994 / 2, rel=0.1)


def test_a_kinked_suspension_costs_swing():
    """Loss times f: Q is divided by f, and the clock swings less."""
    kink = found("damaged_suspension", loss_times=1.1)
    assert works("hall_clock", kink).terms.q_factor == pytest.approx(demo("hall_clock").beat.terms.q_factor / 1.1)
    assert running("hall_clock", kink).amplitude_rad < sound("hall_clock").amplitude_rad


def test_slack_hands_stay_behind_where_they_ask_for_more():
    """The hands ask m g r at most: slack at half of that they stay behind; tight ones hold. Lengths and weights of the hands as
    the setting supposes them, the hour hand's moment through 12 to 1."""
    solved = setting(demo("hall_clock"))
    minute, hour = solved.hands
    most = 9.80665e-3 * (minute.mass_g * minute.centre_mm + hour.mass_g * hour.centre_mm / 12 / solved.out_efficiency)
    assert solved.worst[1] == pytest.approx(most, rel=0.05) and solved.worst[1] <= most * (1 + 1e-9)
    assert solved.margin == pytest.approx(solved.grip.torque_nmm / solved.worst[1])
