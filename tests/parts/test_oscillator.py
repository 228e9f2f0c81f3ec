"""Pendulums: published figures (tests/authorities/oscillator.toml), independent mechanics, refusals."""

import math
import tomllib
from pathlib import Path

import numpy as np
import pytest
from scipy import linalg, special

from builder.ground.constants import MATERIALS, air_density_kg_m3, gravity_m_s2
from builder.ground.faults import Refused
from builder.parts.oscillator import OSCILLATORS, Pendulum
from builder.parts.oscillator import rating as law
from builder.parts.oscillator.suspension import Body, on_knife_edge, on_strip
from builder.parts.oscillator.terms import Terms, circular_error_s_per_day, elliptic_period_ratio, rate_s_per_day

AUTHORITY = tomllib.loads((Path(__file__).parents[1] / "authorities" / "oscillator.toml").read_text(encoding="utf-8"))
FIGURES = {figure["id"]: figure for figure in AUTHORITY["figure"]}
INCH = 0.0254
FAHRENHEIT = 5.0 / 9.0


def published(name):
    """(given, expect, what pytest.approx allows) of a figure."""
    figure = FIGURES[name]
    tolerance = figure["tolerance"]
    room = {"abs": tolerance["abs"] + 1e-9} if "abs" in tolerance else {"rel": tolerance["rel"]}
    return figure["given"], figure["expect"], room


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


def ball_on_thread(**changes):
    """As near as a model file comes to a simple pendulum."""
    plain = {
        "kind": "pendulum",
        "rod": {"material": "wood", "length_mm": 3000.0, "mass_g": 1e-4},
        "bob": {"shape": "sphere", "material": "gold", "mass_g": 8.0, "diameter_mm": 10.0, "held_at": "centre"},
    }
    return Pendulum.model_validate({**plain, **changes})


@pytest.mark.parametrize("name", [n for n in FIGURES if n.startswith(("beckett-length", "beckett-simple-length"))])
def test_length_goes_with_the_square_of_the_beat(name):
    """Beckett's lengths for other beats than the second."""
    given, expect, room = published(name)
    gravity = given["seconds_pendulum_in"] * INCH * math.pi**2
    assert law.simple_length_m(given["beat_s"], gravity) / INCH == pytest.approx(expect["length_in"], **room)


@pytest.mark.parametrize("name", ["beckett-seconds-pendulum-london", "standard-gravity-seconds-pendulum"])
def test_length_of_the_seconds_pendulum(name):
    """The seconds pendulum at London and at standard gravity."""
    given, expect, room = published(name)
    gravity = given["g_m_s2"] if "g_m_s2" in given else given["g_ft_s2"] * 12 * INCH
    (key, wanted) = next(iter(expect.items()))
    unit = INCH if key == "length_in" else 1e-3
    assert law.simple_length_m(given["beat_s"], gravity) / unit == pytest.approx(wanted, **room)


def test_gravity_by_latitude():
    """Beckett's seconds pendulums from equator to London, within the 0.005 in by which the gravity of his day was off; and
    the defining values of GRS 1980 at equator and pole (Moritz 1980)."""
    given, expect, _ = published("beckett-seconds-pendulum-latitude-a")
    for latitude, inches in zip(given["latitude_deg"], expect["length_in"], strict=True):
        assert law.simple_length_m(1.0, gravity_m_s2(latitude)) / INCH == pytest.approx(inches, abs=0.005)
    assert gravity_m_s2(0) == pytest.approx(9.7803267715, abs=1e-9)
    assert gravity_m_s2(90) == pytest.approx(9.8321863685, abs=1e-7)
    assert gravity_m_s2(45, 1000) == pytest.approx(gravity_m_s2(45) - 3.086e-3, abs=1e-9)


def test_a_clock_carried_to_the_equator():
    """An English pendulum loses two minutes and a quarter a day at the equator."""
    given, expect, room = published("beckett-english-pendulum-at-equator")
    rate = law.carried_s_per_day(given["length_london_in"], given["seconds_length_equator_in"])
    assert -rate / 60 == pytest.approx(expect["loss_min_per_day"], **room)


def test_derhams_tables():
    """Derham's swings a minute by length, and the length for 153 a minute."""
    given, expect, room = published("derham-table-of-swings-b")
    gravity = given["standard_in"] * INCH * math.pi**2
    for inches, swings in zip(given["length_in"], expect["vibrations_per_minute"], strict=True):
        assert 60 / law.beat_s(inches * INCH, gravity) == pytest.approx(swings, **room)
    given, expect, room = published("derham-153-a-minute")
    assert law.simple_length_m(60 / given["vibrations_per_minute"], gravity) / INCH == pytest.approx(expect["length_in"], **room)


@pytest.mark.parametrize("name", ["smith-royal-pendulum-table-b", "smith-crown-wheel-pendulum-table"])
def test_smiths_tables(name):
    """Smith's beats an hour by length to the bottom of the bob, each from its own standard."""
    given, expect, room = published(name)
    gravity = law.simple_length_m(1.0, 1.0) ** -1 * given["standard_in"] * (given["standard_beats_per_hour"] / 3600) ** 2
    for inches, beats in zip(given["length_in_to_bob_bottom"], expect["beats_per_hour"], strict=True):
        assert 3600 / law.beat_s(inches, gravity) == pytest.approx(beats, **room)


def test_recomputed_errata():
    """Misprints of the sources, put right by the same laws."""
    for name, inches, key in (("beckett-36in-pendulum", 36, "beat_s"), ("beckett-sidereal-pendulum", None, "length_in")):
        given, expect, room = published(name)
        standard = given.get("seconds_pendulum_in", given.get("mean_seconds_pendulum_in")) * INCH
        gravity = standard * math.pi**2
        found = law.beat_s(inches * INCH, gravity) if inches else law.simple_length_m(given["sidereal_over_mean"], gravity) / INCH
        assert found == pytest.approx(expect[key], **room)


def test_an_inch_more_or_less():
    """Smith: an inch off 41 gains 45 beats an hour, an inch more loses 43."""
    given, expect, room = published("smith-rating-per-inch")
    assert law.lengthened_s_per_day(given["length_in"], -1) / 24 == pytest.approx(expect["gain_beats_per_hour"], **room)
    assert -law.lengthened_s_per_day(given["length_in"], 1) / 24 == pytest.approx(expect["loss_beats_per_hour"], **room)


def test_divisions_of_the_rating_nut():
    """Smith's divisions of the nut for one second a day, by threads to the inch."""
    given, expect, room = published("smith-rating-nut-divisions")
    for threads, divisions in zip(given["threads_per_in"], expect["nut_divisions_for_1s_per_day"], strict=True):
        assert -law.lengthened_s_per_day(41, 1 / threads) == pytest.approx(divisions, **room)


def test_nut_of_a_seconds_pendulum():
    """Cunynghame: 18 threads to the inch and 60 divisions on a seconds pendulum make a division one second a day; a
    thousandth of an inch is about one second."""
    given, expect, room = published("cunynghame-rating-nut")
    nut = {"pitch_mm": 25.4 / given["threads_per_in"], "divisions": given["nut_divisions"], "range_mm": 20.0}
    pendulum = ball_on_thread(beats_per_hour=3600.0, rating_nut=nut)
    hung = pendulum.hung()
    division = pendulum.nut_s_per_day_per_turn(hung) / given["nut_divisions"]
    assert division == pytest.approx(expect["rate_s_per_day_per_division"], **room)
    given, expect, room = published("cunynghame-thou-per-second")
    rate = -law.lengthened_s_per_day(given["length_in"], given["lengthening_in"])
    assert rate == pytest.approx(expect["rate_s_per_day"], **room)


def test_circular_error_as_printed():
    """Beckett's and Cunynghame's losses by a wider arc."""
    given, expect, room = published("beckett-circular-error-difference")
    a, b = (circular_error_s_per_day(math.radians(given[f"semi_arc_deg_{x}"])) for x in "ab")
    assert b - a == pytest.approx(expect["loss_difference_s_per_day"], **room)
    given, expect, room = published("beckett-circular-error-10arcmin")
    narrow, wide = (
        circular_error_s_per_day(math.radians(given["semi_arc_deg"] + by * given["change_arcmin"] / 120)) for by in (-1, 1)
    )
    assert narrow - wide == pytest.approx(expect["loss_difference_s_per_day"], **room)
    given, expect, room = published("cunynghame-circular-error-per-tenth-inch")
    narrow, wide = (
        circular_error_s_per_day((given["swing_total_in"] / 2 + by) / given["length_in"]) for by in (0, given["increase_in"])
    )
    assert narrow - wide == pytest.approx(expect["loss_difference_s_per_day"], **room)


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


@pytest.mark.parametrize(
    ("name", "per"),
    [
        ("beckett-expansion-iron-wire-week", 7.0),
        ("beckett-expansion-brass", 0.0),
        ("beckett-expansion-iron-33F", 1.0),
        ("cunynghame-iron-rod-per-degF", 1.0),
        ("beckett-wood-33F", 1.0),
    ],
)
def test_loss_by_warmth(name, per):
    """What plain rods lose when they grow warm, as printed (wood: put right)."""
    given, expect, room = published(name)
    rate = -law.warmed_s_per_day(given["alpha_per_degF"], given["rise_degF"])
    found = rate * per if per else 60 / rate
    assert found == pytest.approx(next(iter(expect.values())), **room)


def test_wooden_rod_from_the_table_of_materials():
    """A wooden rod loses 6 s a day for 33 °C: the material's own figure agrees within the source's one figure."""
    given, expect, _ = published("wikipedia-wood-rod")
    assert MATERIALS["wood"].expansion_per_k == pytest.approx(expect["alpha_per_degC"], rel=0.05)
    assert -law.warmed_s_per_day(4.2e-6, given["rise_degC"]) == pytest.approx(given["loss_s_per_day"], rel=0.02)


def test_materials_agree_with_the_printed_tables():
    """Expansion within 6 % and density within 3 % of Beckett's tables (brass differs most between sources); invar as printed."""
    names = {"deal": "wood", "flint glass": "glass", "steel rod": "steel", "iron rod": "iron", "cast iron": "cast_iron",
             "zinc (effective)": "zinc"}  # fmt: skip
    given, expect, _ = published("beckett-expansion-table")
    for name, ppm in zip(given["material"], expect["per_degC_ppm"], strict=True):
        ours = MATERIALS.get(names.get(name, name))
        if name == "mercury (bulk)":
            assert 3e6 * MATERIALS["mercury"].expansion_per_k == pytest.approx(ppm, rel=1e-9)
        elif ours is not None:
            assert 1e6 * ours.expansion_per_k == pytest.approx(ppm, rel=0.06)
    given, expect, _ = published("beckett-densities")
    for name, density in zip(given["material"], expect["g_per_cm3"], strict=True):
        assert MATERIALS[name.replace(" ", "_")].density_kg_m3 == pytest.approx(1e3 * density, rel=0.03)
    _, expect, _ = published("invar-and-cast-iron")
    assert 1e6 * MATERIALS["invar"].expansion_per_k == pytest.approx(expect["per_degC_ppm"][0], abs=1e-9)


def test_gridiron_and_mercury_as_printed():
    """Beckett's length of brass for ten feet of steel, and his mercury columns in glass and iron."""
    given, expect, room = published("beckett-gridiron-ratio")
    rising = law.rising_length(given["steel_ft"], given["alpha_steel"], given["alpha_brass"])
    assert rising == pytest.approx(expect["brass_ft"], **room)
    given, expect, room = published("beckett-mercury-glass-jar")
    half = law.mercury_centre(given["length_in"], given["net_rise"], given["alpha_steel"])
    assert half == pytest.approx(expect["half_height_in"], **room)
    given, expect, room = published("beckett-mercury-iron-jar")
    above = given["total_length_in"] - expect["x_first_in"]
    assert law.mercury_centre(above, given["effective_rise"], given["alpha_steel"]) == pytest.approx(expect["x_first_in"], **room)


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
    """Beckett: a pendulum of specific gravity 11 loses a nine-thousandth of its weight; the whole model loses half of that
    part of a day (4.7 s)."""
    given, expect, room = published("beckett-air-buoyancy-reduction")
    part = law.air_lift_part(1.0 / given["water_over_air"], given["pendulum_specific_gravity"])
    assert 1 / part == pytest.approx(expect["reduction_inverse"], **room)
    pendulum = ball_on_thread(beats_per_hour=3600.0)
    lost = -pendulum.air_s_per_day(pendulum.hung())
    assert lost == pytest.approx(43200 * air_density_kg_m3() / 15500, rel=0.02)


def test_centre_of_oscillation_of_a_ball():
    """Derham: the centre of oscillation of a ball on a thread lies 2/5 r²/l below its centre."""
    given, expect, room = published("derham-centre-of-oscillation-ball")
    bob = {"shape": "sphere", "material": "gold", "mass_g": 500.0, "diameter_mm": 20 * given["ball_radius"],
           "centre_mm": 10 * given["string_to_centre"]}  # fmt: skip
    hung = ball_on_thread(bob=bob).hung()
    below = 100 * hung.oscillation_m - given["string_to_centre"]
    assert below == pytest.approx(expect["centre_of_oscillation_below_centre"], **room)


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
    """Estimates have the usual order: about 10 000 for a good seconds pendulum, less for a small one (common practice, from
    memory); a wider bob of the same mass has more drag."""
    pendulum = long_pendulum()
    assert 5e3 < pendulum.terms().q_factor < 1.5e4
    small = long_pendulum(
        beats_per_hour=8400.0,
        rod={"length_mm": 220.0, "diameter_mm": 2.0},
        bob={"shape": "drum", "material": "brass", "mass_g": 120.0, "diameter_mm": 40.0},
        suspension=None,
    )
    assert small.terms().q_factor < pendulum.terms().q_factor
    wide = long_pendulum(bob={"diameter_mm": 260.0}, rod={"length_mm": 1200.0})
    assert wide.terms().q_factor < pendulum.terms().q_factor


def test_great_clock_quality():
    """The loss of the Westminster pendulum, worked out from Beckett's weight, arc and impulse, is that of Q = 6600."""
    given, expect, room = published("beckett-westminster-q")
    pound_foot = 0.45359237 * 9.80665 * 0.3048
    arm, weight = given["length_ft"] * 0.3048, given["pendulum_lb"] * 0.45359237 * 9.80665
    inertia = weight / 9.80665 * arm**2
    terms = Terms(inertia, weight * arm, 0.0, math.sqrt(inertia * weight * arm) / expect["Q"], 4.0)
    amplitude = math.radians(given["semi_arc_deg"])
    assert terms.energy_j(amplitude) / pound_foot == pytest.approx(expect["energy_stored_lb_ft"], **room)
    assert terms.loss_j(amplitude) / 2 / pound_foot == pytest.approx(expect["energy_per_beat_lb_ft"], **room)


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
