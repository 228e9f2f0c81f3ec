"""Pendulums: independent mechanics, refusals (published figures: tests/authorities/)."""

import math

import numpy as np
import pytest
from scipy import linalg, special

from builder.authorities.pendulums import ball_on_thread
from builder.ground.constants import MATERIALS, air_density_kg_m3, gravity_m_s2
from builder.ground.faults import Refused
from builder.parts.oscillator import OSCILLATORS, Pendulum
from builder.parts.oscillator import rating as law
from builder.parts.oscillator.suspension import Body, on_knife_edge, on_strip
from builder.parts.oscillator.terms import Terms, elliptic_period_ratio, rate_s_per_day

INCH = 0.0254


def table(**changes):
    """The long pendulum of the Tidewater Road evening class (invented), as a model file has it."""
    plain = {
        "kind": "pendulum",
        "beats_per_hour": 3600.0,
        "rod": {"material": "steel", "length_mm": 1080.0, "diameter_mm": 6.0},
        "bob": {"shape": "lenticular", "material": "lead", "mass_g": 5000.0, "diameter_mm": 180.0},
        "suspension": {"thickness_mm": 0.12, "width_mm": 12.0, "length_mm": 15.0},
        "rating_nut": {"pitch_mm": 1.0, "range_mm": 30.0, "divisions": 60},
    }
    for key, value in changes.items():
        plain[key] = {**plain[key], **value} if isinstance(value, dict) and isinstance(plain.get(key), dict) else value
    return {key: value for key, value in plain.items() if value is not None}


def long_pendulum(**changes):
    return Pendulum.model_validate(table(**changes))


def test_gravity_by_latitude():
    """The defining values of GRS 1980 at equator and pole (Moritz 1980), and the fall of gravity with height."""
    assert gravity_m_s2(0) == pytest.approx(9.7803267715, abs=1e-9)
    assert gravity_m_s2(90) == pytest.approx(9.8321863685, abs=1e-7)
    assert gravity_m_s2(45, 1000) == pytest.approx(gravity_m_s2(45) - 3.086e-3, abs=1e-9)


@pytest.mark.parametrize("amplitude", [1e-3, 0.05, 0.5, 1.5, 3.0])
def test_period_at_an_arc_is_the_elliptic_integral(amplitude):
    """Period against amplitude is 2 K(sin A/2)/pi of the small swing's (scipy's ellipk), also where a spring, too weak to
    matter, sends the sum by the other road."""
    wanted = 2 / math.pi * special.ellipk(math.sin(amplitude / 2) ** 2)
    assert elliptic_period_ratio(amplitude) == pytest.approx(wanted, rel=1e-14)
    gravity = Terms(2.0, 19.0, 0.0, 0.0, 1.0)
    sprung = Terms(2.0, 19.0, 19.0e-13, 0.0, 1.0)
    assert gravity.period_s(amplitude) == pytest.approx(gravity.small_period_s * wanted, rel=1e-14)
    if amplitude < 2:
        assert sprung.period_s(amplitude) == pytest.approx(gravity.period_s(amplitude), rel=1e-11)


def test_a_pendulum_does_not_turn_over():
    """Half a turn and beyond is refused."""
    with pytest.raises(ValueError, match="does not swing"):
        elliptic_period_ratio(math.pi)
    with pytest.raises(ValueError, match="turns over"):
        Terms(1.0, 1.0, 0.0, 0.0, 1.0).amplitude_rad(2.0)


def test_spring_and_gravity_together():
    """A balance has no circular error; energy and amplitude undo each other; mixed period by scipy's quadrature."""
    balance = Terms(1e-9, 0.0, 4e-7, 0.0, 0.4)
    assert balance.circular_error_s_per_day(4.0) == 0.0
    mixed = Terms(1.0, 6.0, 3.0, 0.0, 2.0)
    assert mixed.amplitude_rad(mixed.energy_j(1.2)) == pytest.approx(1.2, rel=1e-14)
    s = (np.arange(4000) + 0.5) * math.pi / 4000 - math.pi / 2
    q = 1.2 * np.sin(s)
    left = 6.0 * (np.cos(q) - math.cos(1.2)) + 1.5 * (1.2**2 - q**2)
    wanted = 2 * math.pi * np.mean(1.2 * np.cos(s) / np.sqrt(2 * left))
    assert mixed.period_s(1.2) == pytest.approx(wanted, rel=1e-8)


def test_gridiron_holds_a_whole_pendulum():
    """With the rising length of the law, a heavy bob on a gridiron keeps time in warmth thirty times better than on a plain
    rod; with twice that length it gains (negative control)."""
    bob = {"shape": "sphere", "material": "lead", "mass_g": 6000.0, "diameter_mm": 102.0, "held_at": "centre"}
    plain = {"suspension": None, "bob": bob, "rod": {"mass_g": 1.0, "diameter_mm": None}}
    steel, brass = (MATERIALS[name].expansion_per_k for name in ("steel", "brass"))
    # the falling rods must also make up for the rising ones: rising (brass - steel) = steel × length
    rising = 1e3 * law.rising_length(law.simple_length_m(1.0), steel, brass - steel)
    rates = []
    for length in (None, rising, 2 * rising):
        iron = None if length is None else {"kind": "gridiron", "material": "brass", "rising_mm": length}
        pendulum = long_pendulum(**plain, compensation=iron)
        rates.append(pendulum.warmth_s_per_day_per_c(pendulum.hung()))
    air = 43200 * air_density_kg_m3() / 11350 / 293.15  # thinner air lifts less when warm: it gains a little
    ball = -86400 * 0.4 * (0.051 / 0.9936) ** 2 * (MATERIALS["lead"].expansion_per_k - steel)  # and the ball itself grows
    assert rates[0] == pytest.approx(-43200 * steel + air + ball, rel=1e-3)
    assert abs(rates[1]) < abs(rates[0]) / 30
    assert rates[2] > 0.4


def test_mercury_holds_a_whole_pendulum():
    """A column of the printed height, over 6 in of mercury in a glass jar, takes most of a steel rod's loss away (Beckett)."""
    height, radius = 6.2 * INCH, 0.025
    mass_g = 1e3 * 13560 * math.pi * radius**2 * height
    jar = {"shape": "cylinder", "material": "mercury", "mass_g": mass_g, "diameter_mm": 2e3 * radius}
    rates = []
    for held, compensation in (("centre", None), ("base", {"kind": "mercury", "jar": "glass"})):
        bob = {**jar, "held_at": held, "material": "lead" if compensation is None else "mercury", "diameter_mm": 60.0}
        if compensation:
            bob = {**jar, "held_at": held}
        pendulum = long_pendulum(bob=bob, rod={"length_mm": 1150.0, "mass_g": 100.0}, compensation=compensation)
        rates.append(pendulum.warmth_s_per_day_per_c(pendulum.hung()))
    assert rates[0] < -0.45
    assert abs(rates[1]) < 0.08


def test_lift_of_the_air():
    """The whole model loses half of the part of its weight that the air bears, of a day: gold bears little of it."""
    pendulum = ball_on_thread(beats_per_hour=3600.0)
    lost = -pendulum.air_s_per_day(pendulum.hung())
    assert lost == pytest.approx(43200 * air_density_kg_m3() / 15500, rel=0.02)


@pytest.mark.parametrize(
    ("shape", "height_mm", "part"),
    [("sphere", None, 0.4), ("drum", None, 0.5), ("lenticular", None, None), ("cylinder", 90.0, None)],
)
def test_inertia_of_bobs(shape, height_mm, part):
    """A bob's own inertia by summing up small pieces of it: sphere and drum by the textbook too."""
    bob = long_pendulum(
        bob={"shape": shape, "diameter_mm": 60.0, "mass_g": 900.0, **({"height_mm": height_mm} if height_mm else {})}
    ).bob
    x, z, y = np.meshgrid(*[np.linspace(-1, 1, 81)] * 3)
    x, y, z = 0.03 * x, 0.03 * y, (height_mm or 60.0) / 2e3 * z
    inside = {
        "sphere": x**2 + y**2 + z**2 < 0.03**2,
        "drum": x**2 + z**2 < 0.03**2,
        "lenticular": (x**2 + z**2 < 0.03**2) & (np.abs(y) / 0.03 < 1 - (x**2 + z**2) / 0.03**2),
        "cylinder": x**2 + y**2 < 0.03**2,
    }[shape]
    assert bob.gyration_m2() == pytest.approx(np.mean((x**2 + z**2)[inside]), rel=0.02)
    if part:
        assert bob.gyration_m2() == pytest.approx(part * 0.03**2, rel=1e-12)


def chain_of_links(body, length_m, bending_n_m2, links=4000):
    """Slow frequency (rad/s) and apparent axis of a body on a strip made of stiff links and hinge springs."""
    d = length_m / links
    below, weight_below = body.centre_m - length_m, body.weight_centre_m - length_m
    springs = np.full(links + 1, bending_n_m2 / d)
    springs[[0, links]] *= 2.0
    diagonal = np.append(springs[:links] + springs[1:] + body.weight_n * d, springs[links] + body.weight_n * weight_below)
    banded = np.vstack([np.append(0.0, -springs[1:]), diagonal])
    turn = np.zeros(links + 1)
    turn[links] = 1.0
    shift = np.append(np.full(links, d), 0.0)
    # the mass sits in two motions only (of the body): the slow one has the largest share of it per stiffness
    moved = np.column_stack([shift + below * turn, turn]) * np.sqrt([body.mass_kg, body.own_inertia_kg_m2])
    gives = linalg.solveh_banded(banded, moved)
    values, vectors = np.linalg.eigh(moved.T @ gives)
    slow = gives @ vectors[:, -1]
    return 1 / math.sqrt(values[-1]), length_m - shift @ slow / slow[links]


@pytest.mark.parametrize(("length_mm", "thickness_mm"), [(15.0, 0.12), (5.0, 0.2), (40.0, 0.06), (0.5, 0.1)])
def test_strip_against_a_chain_of_links(length_mm, thickness_mm):
    """Frequency and apparent axis of a body on a suspension spring agree with four thousand hinged links (scipy)."""
    body = Body(4.0, 0.8, 0.05, 39.2, 0.8)
    bending = 206e9 * 8e-3 * (1e-3 * thickness_mm) ** 3 / 12
    hanging = on_strip(body, 1e-3 * length_mm, bending)
    w, axis = chain_of_links(body, 1e-3 * length_mm, bending)
    ours = math.sqrt((hanging.gravity_nm + hanging.stiffness_nm) / hanging.inertia_kg_m2)
    assert ours == pytest.approx(w, rel=1e-7)
    assert hanging.pivot_m == pytest.approx(axis, abs=2e-7)


def test_long_and_short_strips():
    """Under a small heavy bob a long strip only puts the axis sqrt(EI/W) below the chops (textbook, from memory); a short
    one adds EI/L."""
    body = Body(4.0, 0.8, 1e-9, 39.2, 0.8)
    bending = 206e9 * 8e-3 * 0.06e-3**3 / 12
    long = on_strip(body, 0.04, bending)
    assert long.pivot_m == pytest.approx(math.sqrt(bending / 39.2), rel=1e-2)
    assert abs(long.stiffness_nm) < 1e-3 * math.sqrt(bending * 39.2)
    short = on_strip(body, 1e-6, bending)
    assert short.stiffness_nm == pytest.approx(bending / 1e-6, rel=1e-2)
    assert on_knife_edge(body).gravity_nm == pytest.approx(39.2 * 0.8)


def test_bob_follows_from_the_beat():
    """Where the bob's centre is left out, the small swing takes two beats exactly, and the centre of oscillation lies a
    simple length below the apparent axis but for spring and air (Huygens)."""
    pendulum = long_pendulum()
    hung = pendulum.hung()
    assert hung.small_period_s == pytest.approx(2.0, rel=1e-13)
    assert hung.oscillation_m == pytest.approx(law.simple_length_m(1.0), rel=1e-3)
    assert 980 < 1e3 * hung.centre_m < 1020
    terms = pendulum.terms()
    assert terms.small_period_s == pytest.approx(2.0, rel=1e-13)
    assert long_pendulum(q_factor=9000.0).terms().q_factor == pytest.approx(9000, rel=1e-12)
    assert pendulum.terms(small_period_s=2.001).small_period_s == pytest.approx(2.001, rel=1e-13)


def test_given_bob_is_moved_by_the_nut_only_as_far_as_its_thread():
    """A bob a few mm off is rated; further off than the nut's thread it is refused with the figures."""
    right_mm = 1e3 * long_pendulum().hung().centre_m
    near = long_pendulum(bob={"centre_mm": right_mm + 5}).hung()
    assert 1e3 * near.moved_m == pytest.approx(-5, abs=1e-6)
    with pytest.raises(Refused) as refused:
        long_pendulum(bob={"centre_mm": right_mm - 25}).hung()
    (said,) = refused.value.complaints
    assert said.key == ("bob", "centre_mm")
    assert f"{right_mm:.1f} mm" in said.allowed
    assert "25.0 mm lower" in said.allowed
    assert "15 mm each way" in said.allowed


def test_without_a_nut_the_bob_stays():
    """No nut: the given place stands and the rate shows; two per cent off the beat is a slip and is refused."""
    right_mm = 1e3 * long_pendulum().hung().centre_m
    hung = long_pendulum(bob={"centre_mm": right_mm + 2}, rating_nut=None).hung()
    assert rate_s_per_day(hung.small_period_s, 2.0) == pytest.approx(-86400 / 993.6, rel=0.05)
    with pytest.raises(Refused, match="times an hour, the train asks for"):
        long_pendulum(bob={"centre_mm": right_mm - 60}, rating_nut=None).hung()


@pytest.mark.parametrize(
    ("change", "key"),
    [
        ({"rod": {"length_mm": 900.0}}, ("rod", "length_mm")),
        ({"rod": {"diameter_mm": None}}, ("rod",)),
        ({"rod": {"width_mm": 20.0, "diameter_mm": None}}, ("rod", "thickness_mm")),
        ({"rod": {"width_mm": 20.0, "thickness_mm": 3.0}}, ("rod", "diameter_mm")),
        ({"bob": {"shape": "sphere", "diameter_mm": 60.0}}, ("bob", "mass_g")),
        ({"bob": {"height_mm": 20.0}}, ("bob", "height_mm")),
        ({"compensation": {"kind": "mercury"}}, ("bob",)),
        ({"suspension": {"material": "lead"}}, ("suspension", "material")),
        ({"beats_per_hour": None}, ("bob", "centre_mm")),
    ],
)
def test_what_cannot_be_is_refused_at_its_key(change, key):
    """Each contradiction names its key, what may stand there and what to do."""
    data = table(**change)
    data["rod"] = {k: v for k, v in data["rod"].items() if v is not None}
    with pytest.raises(Refused) as refused:
        Pendulum.model_validate(data).terms()
    assert key in [complaint.key for complaint in refused.value.complaints]
    assert all(c.value and c.allowed and c.advice for c in refused.value.complaints)


def test_all_complaints_come_at_once():
    """Two slips in one table are told together."""
    data = table(bob={"height_mm": 20.0}, suspension={"material": "lead"})
    with pytest.raises(Refused) as refused:
        Pendulum.model_validate(data).terms()
    assert len(refused.value.complaints) == 2


def test_estimated_quality():
    """Estimates have the usual order: a threefold range takes in a seconds pendulum in its case (3000) and a regulator's on a
    wall (10 000); less for a small one (common practice, from memory); a wider bob of the same mass has more drag."""
    pendulum = long_pendulum()
    assert pendulum.terms().q_factor / 3 < 3000 < 10_000 < 3 * pendulum.terms().q_factor
    small = long_pendulum(
        beats_per_hour=8400.0,
        rod={"length_mm": 220.0, "diameter_mm": 2.0},
        bob={"shape": "drum", "material": "brass", "mass_g": 120.0, "diameter_mm": 40.0},
        suspension=None,
    )
    assert small.terms().q_factor < pendulum.terms().q_factor
    wide = long_pendulum(bob={"diameter_mm": 260.0}, rod={"length_mm": 1200.0})
    assert wide.terms().q_factor < pendulum.terms().q_factor


def test_family_is_complete():
    """Every kind of the family validates its own smallest table and knows its beats."""
    smallest = {
        "pendulum": table(),
        "balance": {"kind": "balance", "diameter_mm": 9.0, "inertia_mg_cm2": 12.0, "hairspring": {}},
        "counted": {"kind": "counted", "name": "verge balance, not measured"},
    }
    assert set(smallest) == set(OSCILLATORS)
    for kind, model in OSCILLATORS.items():
        assert model.model_validate(smallest[kind]).kind == kind
