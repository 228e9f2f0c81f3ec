"""Balances and hairsprings: their laws, scipy, refusals (published figures: tests/authorities/)."""

import math

import numpy as np
import pytest
from scipy import special

from builder.ground.faults import Refused
from builder.parts.oscillator import Balance
from builder.parts.oscillator import rating as law
from builder.parts.oscillator.terms import Terms
from tests.authority import KNOWN

SPRING = {"thickness_mm": 0.027, "height_mm": 0.12, "length_mm": 100.0}


def balance(**changes):
    """A watch balance of the Tidewater Road evening class (invented)."""
    plain = {"kind": "balance", "beats_per_hour": 18000.0, "diameter_mm": 10.0, "inertia_mg_cm2": 16.0, "hairspring": {}}
    return Balance.model_validate({key: v for key, v in {**plain, **changes}.items() if v is not None})


def test_stiffness_for_the_beat():
    """k = I (2 pi / T)², exactly, at the beats that are published (tests/authorities/)."""
    for beats in KNOWN["frequency-table"].given["beats_per_hour"]:
        terms = balance().terms(float(beats))
        assert terms.nominal_period_s == pytest.approx(7200 / beats, rel=1e-12)
        assert terms.stiffness_nm == pytest.approx(terms.inertia_kg_m2 * (math.pi * beats / 3600) ** 2, rel=1e-12)


def test_quality_factor():
    """A given Q is the terms' Q; left out, it lies between 100 and 300 (usual for watches)."""
    assert balance(q_factor=260.0).terms().q_factor == pytest.approx(260, rel=1e-12)
    assert 100 <= balance().terms().q_factor <= 300
    assert Terms(1.0, 1.0, 0.0, 0.0, 1.0).q_factor == math.inf


def test_warmth_of_plain_balances():
    """A movement that runs in another warmth has the period that its loss a °C makes."""
    brass = balance().warmth_s_per_day_per_c()
    warm = balance(temperature_c=30.0).terms()
    assert 86400 * (warm.nominal_period_s / warm.small_period_s - 1) == pytest.approx(10 * brass, rel=1e-9)


def test_compensated_balances():
    """An elinvar spring brings a plain balance inside the 0.6 s a day a °C that ISO 3159 allows (from memory); a cut balance
    runs as its table says."""
    assert abs(balance(hairspring={"material": "elinvar"}).warmth_s_per_day_per_c()) < 0.6
    table = {"kind": "cut_bimetal", "low_c": 5.0, "high_c": 35.0, "middle_gain_s_per_day": 3.0}
    cold = balance(compensation=table, temperature_c=5.0)
    assert cold.warmth_s_per_day(5.0) == pytest.approx(-3.0)


def test_hairspring_length_and_rate():
    """E h t³/12 L by the bending of a bar (textbook); a mm less gains as the law of shortening says."""
    # a bar of 100 mm under an end moment turns by M L / (E I), I = h t³/12
    second_moment = 0.12e-3 * 0.027e-3**3 / 12
    turn = 1e-6 * 0.1 / (206e9 * second_moment)
    assert law.strip_stiffness_nm(206e9, 0.12e-3, 0.027e-3, 0.1) == pytest.approx(1e-6 / turn, rel=1e-12)
    assert balance(hairspring={"length_mm": 100.0}).sprung().regulator_s_per_day_per_mm == pytest.approx(
        law.hairspring_shortened_s_per_day(0.01), rel=1e-9
    )


@pytest.mark.parametrize("key", list(SPRING))
def test_missing_dimension_of_the_spring_follows(key):
    """Two dimensions and the beat give the third: the spring so made has the stiffness that the beat asks for."""
    known = {k: v for k, v in SPRING.items() if k != key}
    sprung = balance(hairspring=known).sprung()
    assert sprung.spring.stiffness_nm() == pytest.approx(sprung.stiffness_nm, rel=1e-12)
    assert getattr(sprung.spring, key) > 0


def test_missing_inertia_follows_from_the_spring():
    """A spring known in full and the beat give the inertia."""
    sprung = balance(inertia_mg_cm2=None, hairspring=SPRING).sprung()
    assert sprung.inertia_kg_m2 == pytest.approx(sprung.stiffness_nm * (0.4 / (2 * math.pi)) ** 2, rel=1e-12)
    free = balance(beats_per_hour=None, hairspring=SPRING).sprung()
    assert free.nominal_period_s == pytest.approx(2 * math.pi * math.sqrt(16e-10 / free.stiffness_nm), rel=1e-12)


def test_inertia_from_rim_and_screws():
    """A rim with arms by summing up small pieces of it; screws as points."""
    rim = {"width_mm": 0.8, "height_mm": 0.5, "arm_width_mm": 0.7, "material": "brass"}
    bare = balance(inertia_mg_cm2=None, rim=rim).sprung().inertia_kg_m2
    x, y = np.meshgrid(*[(np.arange(1200) + 0.5) / 120 - 5] * 2)
    r2 = x**2 + y**2
    metal = (r2 < 25) & ((r2 > 4.2**2) | (np.abs(y) < 0.35))
    summed = 8500 * 0.5e-3 * 1e-12 * (1 / 120) ** 2 * np.sum(r2[metal])
    assert bare == pytest.approx(summed, rel=3e-3)
    screwed = balance(inertia_mg_cm2=None, rim=rim, screws={"count": 12, "mass_mg": 3.0}).sprung().inertia_kg_m2
    assert screwed - bare == pytest.approx(12 * 3e-6 * 5e-3**2, rel=1e-9)


def test_poise_error():
    """The arc of no poise error is the first zero of J1 (scipy), with the heavy point below gaining at less and losing at
    more; small arcs by the plain stiffness of a pendulum."""
    zero = special.jn_zeros(1, 1)[0]
    watch = balance(poise_mg_mm=0.5)
    terms = watch.terms()
    assert abs(watch.poise_s_per_day(terms, zero)) < 1e-9
    assert watch.poise_s_per_day(terms, zero - 0.3) > 0 > watch.poise_s_per_day(terms, zero + 0.3)
    heavier = 86400 * (math.sqrt(1 + 0.5e-9 * 9.80665 / terms.stiffness_nm) - 1)
    assert watch.poise_s_per_day(terms, 1e-4) == pytest.approx(heavier, rel=5e-3)
    for x in (0.0, 0.7, 3.0, 5.5):
        assert law.bessel_j1(x) == pytest.approx(special.j1(x), abs=1e-14)
    assert balance(poise_mg_mm=0.5, poise_deg=180.0).poise_s_per_day(terms, 1.0) == pytest.approx(
        -watch.poise_s_per_day(terms, 1.0), rel=1e-12
    )


def test_poise_against_the_equation_of_motion():
    """The poise law agrees with scipy's integration of the balance with its heavy spot, to first order in the spot."""
    from scipy.integrate import solve_ivp

    watch = balance(poise_mg_mm=0.05)
    terms = watch.terms()
    spot = 0.05e-9 * 9.80665

    def turn(_, y):
        return y[1]

    turn.direction = -1.0
    rhs = lambda _, y: [y[1], -(terms.stiffness_nm * y[0] + spot * math.sin(y[0])) / terms.inertia_kg_m2]  # noqa: E731
    done = solve_ivp(rhs, (0, 1), [4.5, 0.0], "DOP853", events=turn, rtol=1e-12, atol=1e-12)
    period = done.t_events[0][-1] - done.t_events[0][-2]
    gain = 86400 * (terms.small_period_s / period - 1)
    assert watch.poise_s_per_day(terms, 4.5) == pytest.approx(gain, rel=1e-2)


@pytest.mark.parametrize(
    ("change", "key"),
    [
        ({"rim": {"width_mm": 6.0, "height_mm": 0.5, "arm_width_mm": 0.7}}, ("rim", "width_mm")),
        ({"rim": {"width_mm": 0.6, "height_mm": 0.5, "arm_width_mm": 0.7}}, ("inertia_mg_cm2",)),
        ({"inertia_mg_cm2": None}, ("inertia_mg_cm2",)),
        ({"beats_per_hour": None}, ("beats_per_hour",)),
        ({"hairspring": {"material": "lead"}}, ("hairspring", "material")),
        ({"compensation": {"kind": "cut_bimetal", "low_c": 30.0, "high_c": 10.0}}, ("compensation", "low_c")),
        ({"hairspring": {**SPRING, "thickness_mm": 0.05}}, ("hairspring", "length_mm")),
    ],
)
def test_what_cannot_be_is_refused_at_its_key(change, key):
    """Each contradiction names its key, what may stand there and what to do."""
    with pytest.raises(Refused) as refused:
        balance(**change).terms()
    assert key in [complaint.key for complaint in refused.value.complaints]
    assert all(c.value and c.allowed and c.advice for c in refused.value.complaints)


def test_regulator_takes_up_what_it_can():
    """A spring known in full is brought to time inside the regulator's reach, and refused with figures beyond it; free
    sprung it keeps its own rate up to two per cent."""
    right = balance(hairspring={k: v for k, v in SPRING.items() if k != "length_mm"}).sprung()
    length = right.spring.length_mm
    near = balance(hairspring={**SPRING, "length_mm": length + 1.0, "regulator_mm": 4.0})
    assert near.sprung().stiffness_nm == pytest.approx(right.stiffness_nm, rel=1e-12)
    with pytest.raises(Refused, match=r"3\.00 mm of spring, and the regulator has 2 mm each way"):
        balance(hairspring={**SPRING, "length_mm": length + 3.0, "regulator_mm": 4.0}).sprung()
    free = balance(hairspring={**SPRING, "length_mm": length + 1.0}).terms()
    assert free.small_period_s > free.nominal_period_s
