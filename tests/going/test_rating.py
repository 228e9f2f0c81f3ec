"""What brings the oscillator to time and takes it off, and what estimates leave open, against other reckonings."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from builder.going.facts import Fact
from builder.going.facts.rating import rating
from builder.going.going import Going
from builder.going.steady import Running, Stopped
from builder.going.uncertain import left_open
from tests.solved import changed, demo


def by_kind(going: Going) -> dict[str, Fact]:
    return {fact.kind: fact for fact in rating(going)}


def half_wound(going: Going) -> Running:
    assert going.beat is not None
    beat = going.beat["half wound"].beat
    assert isinstance(beat, Running)
    return beat


@cache
def warm(slug: str) -> Going:
    return changed(slug, lambda data: data["oscillator"].update(temperature_c=30.0))


@pytest.mark.parametrize("slug", ["hall_clock", "pocket_watch"])
def test_a_clock_rated_in_the_room_loses_in_the_warm(slug: str) -> None:
    """Brought to time at 20 °C and run at 30, the solved rate is ten times the loss a degree; the control, at 20, keeps time."""
    a_degree = next(fact for kind, fact in by_kind(demo(slug)).items() if kind.startswith("warmth"))
    assert isinstance(a_degree.value, float)
    assert a_degree.value < -0.4
    assert half_wound(warm(slug)).rate_s_per_day == pytest.approx(10 * a_degree.value, rel=0.01)
    assert abs(half_wound(demo(slug)).rate_s_per_day) < 1e-3


def test_nut_air_and_regulator_are_the_trades() -> None:
    """One turn of the nut: 43 200 × pitch / length of the simple pendulum; the air: 43 200 × its density by lead's (Beckett,
    p. 71); a millimetre of hairspring: 43 200 / length (textbook). All of first order and of a bob alone: to some per cent."""
    clock, watch = by_kind(demo("hall_clock")), by_kind(demo("pocket_watch"))
    assert clock["nut_turn"].value == pytest.approx(43_200 * 0.8 / 993.7, rel=0.03)
    assert clock["nut_division"].value == pytest.approx(43_200 * 0.8 / 993.7 / 20, rel=0.03)
    assert clock["air"].value == pytest.approx(-43_200 * 1.204 / 11_350, rel=0.02)
    assert watch["regulator"].value == pytest.approx(43_200 / 150, rel=0.01)


def test_the_bob_hangs_where_the_clock_keeps_time() -> None:
    """Given that place and no nut, the same clock keeps time by itself."""
    place = by_kind(demo("hall_clock"))["bob_centre"].value
    hung = changed(
        "hall_clock", lambda data: (data["oscillator"]["bob"].update(centre_mm=place), data["oscillator"].pop("rating_nut"))
    )
    assert abs(half_wound(hung).rate_s_per_day) < 1e-3


def test_the_spring_that_follows_from_the_beat_beats() -> None:
    """Given the thickness that was worked out, the hairspring has the period of the smallest swing that the train asks for."""
    watch = by_kind(demo("pocket_watch"))
    spring, inertia = {"h": 0.18e-3, "L": 0.150, "t": 1e-3 * float(watch["spring_thickness"].value or 0)}, 150e-10
    stiffness = 206e9 * spring["h"] * spring["t"] ** 3 / 12 / spring["L"]
    assert 2 * math.pi * math.sqrt(inertia / stiffness) == pytest.approx(0.4, rel=1e-9)


def test_a_heavy_spot_upright() -> None:
    """Gain at the solved amplitude: scipy's integration of I q'' + k q + m g r sin(q + d) = 0 over a swing and back. Below, it
    loses over 220° and gains under; a poised balance is not spoken of."""
    spotted = changed("pocket_watch", lambda data: data["oscillator"].update(poise_mg_mm=0.5, poise_deg=20.0))
    beat = half_wound(spotted)
    terms, amplitude = beat.works.terms, beat.amplitude_rad
    moment, turned = 0.5e-9 * 9.80665, math.radians(20.0)

    def swing(_: float, y: np.ndarray) -> list[float]:
        return [y[1], -(terms.stiffness_nm * y[0] + moment * math.sin(y[0] + turned)) / terms.inertia_kg_m2]

    def turns(_: float, y: np.ndarray) -> float:
        return float(y[1])

    turns.direction = -1.0  # type: ignore[attr-defined]
    solved = solve_ivp(swing, (0.0, 0.6), [amplitude, 0.0], method="DOP853", rtol=1e-12, atol=1e-14, events=turns)
    period = next(t for t in solved.t_events[0] if t > 0.2)
    gain = 86_400 * (terms.small_period_s / period - 1)
    (fact,) = (fact for fact in rating(spotted) if fact.kind == "poise" and fact.state == "half wound")
    assert fact.value == pytest.approx(gain, rel=0.03)
    assert gain < -1
    assert not any(fact.kind == "poise" for fact in rating(demo("pocket_watch")))


def test_what_was_measured_leaves_nothing_open() -> None:
    """A weight and a quality factor given: no estimate; a spring by its sizes, its torque; both estimated, both."""
    assert left_open(demo("hall_clock")) == ()
    assert [one.cause for one in left_open(demo("shelf_timepiece"))] == ["torque"]
    assert [one.cause for one in left_open(demo("pocket_watch"))] == ["quality", "torque"]


def test_an_estimate_at_both_ends() -> None:
    """The swing of a detached balance goes about as the root of quality factor and of torque (loss with speed, one lift)."""
    watch = demo("pocket_watch")
    now = half_wound(watch).amplitude_rad
    for one in left_open(watch):
        assert isinstance(one.at_least, Running)
        assert isinstance(one.at_most, Running)
        middle = 200.0 if one.cause == "quality" else 1e3 * half_wound(watch).works.torque_nm
        for value, beat in ((one.least, one.at_least), (one.most, one.at_most)):
            assert beat.amplitude_rad / now == pytest.approx(math.sqrt(value / middle), rel=0.04)
        assert one.at_least.amplitude_rad < now < one.at_most.amplitude_rad


def test_a_usual_clock_with_its_estimate_swings_as_such_clocks_do() -> None:
    """Eight days by five kilograms, a seconds pendulum with a bob of four, nothing said of its quality factor: two and a half
    degrees each way, within half a degree (common practice, no source)."""
    usual = changed("hall_clock", lambda data: data["oscillator"].pop("q_factor"))
    assert math.degrees(half_wound(usual).amplitude_rad) == pytest.approx(2.5, abs=0.5)


def test_an_estimate_may_leave_open_whether_it_goes() -> None:
    """A pendulum whose least quality factor would stop it: said in figures as a reason, not as an angle."""
    doubtful = changed("hall_clock", lambda data: (data["oscillator"].pop("q_factor"), data["source"].update(mass_kg=3.0)))
    (one,) = left_open(doubtful)
    assert isinstance(one.at_least, Stopped)
    assert isinstance(one.at_most, Running)
    assert one.most / one.least == pytest.approx(9)
    stops = by_kind(doubtful)["open_quality_least"]
    assert (stops.value, stops.unit) == ("too little energy", "")
