"""The closed sums against mechanics done another way: integrals, swings followed in time, bodies, the parts' own models."""

from __future__ import annotations

from math import asin, degrees, pi, radians, sqrt

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.special import ellipk

from builder.bench import work
from builder.ground.faults import Refused
from builder.parts.oscillator.balance import Balance, Hairspring, Screws
from builder.parts.source.cone import Cone, Pull
from builder.parts.teeth import MESH_FORMS
from tests.authority import KNOWN
from tests.solved import demo

DAY = 86_400.0


def test_length_for_a_swing_by_following_it() -> None:
    """A pendulum as long as the sum says, let go at that angle and followed in time (scipy), takes two beats to come back."""
    working = work("pendulum-length", {"beat_s": "1", "semi_arc_deg": "10"})
    length_m = float(working["swung_mm"]) / 1e3  # type: ignore[arg-type]

    def level(_: float, state: np.ndarray) -> float:
        return state[1]

    level.direction = -1  # type: ignore[attr-defined]
    run = solve_ivp(
        lambda _, s: [s[1], -9.80665 / length_m * np.sin(s[0])],
        (0, 2.2), [radians(10), 0.0], events=level, rtol=1e-11, atol=1e-13,
    )  # fmt: skip
    assert run.t_events[0][-1] == pytest.approx(2.0, abs=1e-8)


def test_circular_error_is_the_elliptic_integral() -> None:
    """Loss at an arc by scipy's complete elliptic integral; the trade's rule is near it."""
    for arc in (0.5, 2.0, 5.0, 20.0):
        working = work("circular-error", {"semi_arc_deg": str(arc)})
        exact = DAY * (pi / (2 * ellipk(np.sin(radians(arc) / 2) ** 2)) - 1)
        assert working["circular_s_per_day"] == pytest.approx(exact, rel=1e-9)
        assert working["rule_s_per_day"] == pytest.approx(exact, rel=0.01)


def test_added_weight_against_a_compound_pendulum() -> None:
    """Moments of a point bob and a point weight on a massless rod, taken about the axis, make the same rate; and the weight
    that is worked out for a rate makes that rate. Half way down it tells most, about 10 800 m/M (from memory)."""
    M, L, m, x = 7.2, 0.994, 0.012, 0.35
    period = 2 * pi * sqrt((M * L**2 + m * x**2) / (9.80665 * (M * L + m * x)))
    rate = DAY * (2 * pi * sqrt(L / 9.80665) / period - 1)
    told = {"pendulum_kg": "7.2", "length_mm": "994", "depth_mm": "350"}
    assert work("added-weight", told | {"added_g": "12"})["rate_s_per_day"] == pytest.approx(rate, rel=1e-9)
    assert work("added-weight", told | {"rate_s_per_day": f"{rate:.12f}"})["added_g"] == pytest.approx(12, rel=1e-8)
    half = [work("added-weight", told | {"added_g": "1", "depth_mm": str(d)})["rate_s_per_day"] for d in (480, 497, 514)]
    assert half[1] == max(half)  # type: ignore[type-var]
    assert half[1] == pytest.approx(10_800 * 0.001 / 7.2, rel=1e-3)


def test_a_penny_on_the_great_clock() -> None:
    """A penny on the tray of the Westminster clock gains two fifths of a second a day (from memory, and roughly): by its 700 lb
    and 13 ft (Beckett 1903, p. 253) a penny of 9.4 g gains that to a quarter."""
    working = work("added-weight", {"pendulum_kg": "317.5", "length_mm": "3962", "added_g": "9.4"})
    assert working["rate_s_per_day"] == pytest.approx(0.4, rel=0.25)


def test_the_nut_does_what_it_says() -> None:
    """A pendulum shortened by what the nut raises it gains the rate that was asked for."""
    working = work("rating-nut", {"length_mm": "994", "pitch_mm": "0.75", "rate_s_per_day": "25", "divisions": "60"})
    shorter = 994 - float(working["raise_mm"])  # type: ignore[arg-type]
    assert DAY * (sqrt(994 / shorter) - 1) == pytest.approx(25, rel=1e-12)
    assert working["nut_marks"] == pytest.approx(60 * working["nut_turns"])  # type: ignore[operator]


def test_hairspring_and_screws_as_the_balance_itself_has_them() -> None:
    """The thickness and the screws' rate are those of the balance's own model, which is solved apart."""
    spring = Hairspring(height_mm=0.18, length_mm=150.0)
    balance = Balance(kind="balance", diameter_mm=17.0, inertia_mg_cm2=150.0, hairspring=spring, beats_per_hour=18000)
    told = {"inertia_mg_cm2": "150", "beats_per_hour": "18000", "height_mm": "0.18", "length_mm": "150"}
    working = work("hairspring", told)
    sprung = balance.sprung()
    assert working["stiffness_nnm"] == pytest.approx(1e9 * sprung.stiffness_nm, rel=1e-12)
    assert working["thickness_mm"] == pytest.approx(sprung.spring.thickness_mm, rel=1e-12)

    def inertia(radius_mm: float) -> float:
        screws = Screws(count=4, mass_mg=9.0, radius_mm=radius_mm)
        rim = {"width_mm": 1.0, "height_mm": 0.5, "arm_width_mm": 1.0}
        table = {
            "kind": "balance",
            "diameter_mm": 17.0,
            "rim": rim,
            "screws": screws,
            "hairspring": spring,
            "beats_per_hour": 18000,
        }
        return Balance.model_validate(table).sprung().inertia_kg_m2

    before, after = inertia(8.6), inertia(8.65)
    told = {"inertia_mg_cm2": f"{1e10 * before:.12g}", "screws": "4", "mass_mg": "9", "radius_mm": "8.6"}
    assert work("timing-screws", told | {"out_mm": "0.05"})["rate_s_per_day"] == pytest.approx(
        DAY * (sqrt(before / after) - 1), rel=1e-8
    )
    rate = float(work("timing-screws", told | {"out_mm": "0.05"})["rate_s_per_day"])  # type: ignore[arg-type]
    assert work("timing-screws", told | {"rate_s_per_day": f"{rate:.12g}"})["out_mm"] == pytest.approx(0.05, rel=1e-8)


def test_amplitude_and_beat_error_by_the_swing_itself() -> None:
    """Times at which a sine of a known amplitude passes its marks, found as roots (scipy), read back as amplitude and error."""
    A, T, lift, off = radians(270.0), 0.4, radians(52.0), radians(3.0)

    def passes(angle: float, near: float) -> float:
        return brentq(lambda t: A * np.sin(2 * pi * t / T) - angle, near - T / 4, near + T / 4)

    lift_ms = 1000 * (passes(lift / 2, 0.0) - passes(-lift / 2, 0.0))
    read = work("amplitude", {"lift_deg": "52", "lift_ms": f"{lift_ms:.12g}", "beats_per_hour": "18000", "true_lift_deg": "50"})
    assert read["amplitude_deg"] == pytest.approx(270, rel=1e-9)
    assert read["true_amplitude_deg"] == pytest.approx(270 * 50 / 52, rel=1e-9)
    first, second = passes(off, 0.0), passes(off, T / 2)
    long_ms, short_ms = 1000 * (T - (second - first)), 1000 * (second - first)
    told = {"beats_per_hour": "18000", "amplitude_deg": "270", "long_ms": f"{long_ms:.12g}", "short_ms": f"{short_ms:.12g}"}
    assert work("beat-error", told)["off_rest_deg"] == pytest.approx(3.0, rel=1e-8)
    assert degrees(asin(0.5)) == pytest.approx(30)


def test_half_full_has_the_most_turns() -> None:
    """Of all lengths of one strip in one barrel the one that fills half of the area has the most turns, by the same rings."""
    told = {"barrel_mm": "16.4", "arbor_mm": "5.4", "thickness_mm": "0.16"}
    half = float(work("mainspring", told)["half_area_mm"])  # type: ignore[arg-type]
    turns = [work("mainspring", told | {"length_mm": f"{part * half:.9g}"})["ring_turns"] for part in (0.8, 1.0, 1.2)]
    assert turns[1] == max(turns)  # type: ignore[type-var]
    assert turns[1] == pytest.approx(work("mainspring", told)["most_turns"], rel=1e-9)


def test_mainspring_near_the_true_spiral() -> None:
    """Rings and true spiral differ by some per cent, the rings being the larger; a thickness for turns has those turns."""
    told = {"barrel_mm": "16.4", "arbor_mm": "5.4", "thickness_mm": "0.16", "length_mm": "560", "height_mm": "3"}
    working = work("mainspring", told)
    assert 0.9 < working["true_turns"] / working["ring_turns"] < 1.0  # type: ignore[operator]
    wished = work("mainspring", {"barrel_mm": "16.4", "arbor_mm": "5.4", "turns": "6"})
    back = work("mainspring", {"barrel_mm": "16.4", "arbor_mm": "5.4", "thickness_mm": f"{wished['thickness_mm']:.12g}"})
    assert back["most_turns"] == pytest.approx(6, rel=1e-9)


def test_a_fusee_keeps_the_torque_even() -> None:
    """Chain, turns and set-up of the sum, put into the cone's own law, give one torque from first turn to last."""
    working = work("fusee", {"wound_nmm": "60", "down_nmm": "40", "small_mm": "12", "turns": "5", "drum_mm": "24"})
    cone = Cone(5.0, float(working["large_mm"]) / 2, 6.0)  # type: ignore[arg-type]
    pull = Pull(cone, 12.0, float(working["set_up_turns"]), float(working["pull_nmm_per_turn"]))  # type: ignore[arg-type]
    torques = pull.torque_nmm(np.linspace(0, 5, 11))
    assert np.allclose(torques, working["fusee_nmm"], rtol=1e-12)


@pytest.mark.parametrize("leaves", [6, 7, 10, 14])
def test_module_by_the_standard_s_table(leaves: int) -> None:
    """A wheel of the standard's own addendum (BS 978-2:1952 as transcribed) measures as the module it was made for."""
    table = KNOWN[f"bs978-{leaves}-leaves"]
    for ratio, addendum in zip(table.given["ratio"], table.expect["addendum"], strict=True):
        if (teeth := ratio * leaves) == int(teeth):
            outside = 0.5 * (teeth + 2 * addendum)
            working = work("module", {"teeth": str(int(teeth)), "mate": str(leaves), "outside_mm": f"{outside:.9g}"})
            assert working["module_mm"] == pytest.approx(0.5, rel=1e-4)


def test_a_pair_that_belongs_together_and_one_that_does_not() -> None:
    """Diameters as the teeth are cut agree with their centres; a pinion of another module is found out."""
    gears = MESH_FORMS["cycloidal"]().pair(64, 8, 0.45)
    told = {"wheel_teeth": "64", "pinion_leaves": "8", "distance_mm": f"{gears.distance_mm:.9g}"}
    told |= {"wheel_mm": f"{2 * gears.driver.tip_mm:.9g}", "pinion_mm": f"{2 * gears.driven.tip_mm:.9g}"}
    working = work("pair", told)
    assert (working["wheel_off_percent"], working["pinion_off_percent"]) == pytest.approx((0, 0), abs=1e-5)
    assert [note.key for note in working.notes] == ["agree"]
    working = work("pair", told | {"pinion_mm": f"{2.1 * gears.driven.tip_mm:.9g}"})
    assert working["pinion_off_percent"] == pytest.approx(5, abs=1e-3)
    assert [note.key for note in working.notes] == ["differ"]


def test_depth_errors_by_true_contact() -> None:
    """Right, the pinion strays by almost nothing; shallower it has more play and strays more, and too deep it jams."""
    told = {"wheel_teeth": "64", "pinion_leaves": "8", "module_mm": "0.1"}
    rows = {row["error_mm"]: row for row in work("depth", told).table("errors")}
    assert rows[0.0]["verdict"] == rows[0.02]["verdict"] == "runs"
    assert rows[-0.1]["verdict"] == "jams" and rows[-0.1]["efficiency_percent"] is None
    assert rows[0.0]["play_mm"] < rows[0.02]["play_mm"] < rows[0.05]["play_mm"]  # type: ignore[operator]
    assert abs(rows[0.0]["strays_deg"]) < 0.1 * rows[0.05]["strays_deg"]  # type: ignore[arg-type, operator]
    assert 85 < rows[0.0]["efficiency_percent"] < 100  # type: ignore[operator]
    assert work("depth", told | {"table": "no"})["centres_mm"] * 10 == 36  # type: ignore[operator]
    (right, one) = work("depth", told | {"error_mm": "0.03"}).table("errors")
    assert (right["error_mm"], one["error_mm"]) == (0.0, 0.03)


def test_another_spring_needs_a_spring() -> None:
    """A clock that goes by a weight, and a question without a size, are refused."""
    with pytest.raises(Refused, match="a movement with a mainspring of known sizes"):
        work("other-spring", {"thickness_mm": "0.2"}, demo("shop_regulator"))
    with pytest.raises(Refused, match="a size that is to change"):
        work("other-spring", {}, demo("pocket_watch"))


BAD = [
    ("pendulum-length", {}, "just one of beat_s, beats_per_hour"),
    ("pendulum-beat", {"length_mm": "900", "to_centre_mm": "900"}, "Leave all but one out"),
    ("rating-nut", {"length_mm": "15", "pitch_mm": "16"}, "less than the pendulum's 15 mm"),
    ("added-weight", {"pendulum_kg": "1", "length_mm": "500", "depth_mm": "510", "rate_s_per_day": "1"}, "lay it higher"),
    ("added-weight", {"pendulum_kg": "0.001", "length_mm": "500", "added_g": "-90"}, "less than the pendulum itself"),
    ("circular-error", {"swing_mm": "80"}, "the depth at which swing_mm was measured"),
    ("circular-error", {"swing_mm": "800", "at_mm": "500"}, "an arc of 30° to each side at most"),
    ("circular-error", {"semi_arc_deg": "2", "to_deg": "2", "to_swing_mm": "3", "at_mm": "500"}, "to_deg or to_swing_mm"),
    ("place", {"from_latitude_deg": "50"}, "both latitudes"),
    ("warmth", {"rise_c": "10"}, "rod or expansion_ppm_per_c"),
    ("gridiron", {"falling_mm": "900", "falling": "steel", "rising_ppm_per_c": "0"}, "Name a metal that grows"),
    ("mercury-jar", {"length_mm": "900", "rod": "mercury", "net_rise_ppm_per_c": "9"}, "more than the rod's 60"),
    ("hairspring", {"inertia_mg_cm2": "9", "beats_per_hour": "18000", "height_mm": "1"}, "Give both"),
    ("shorter-spring", {"length_mm": "9", "shorter_mm": "9"}, "less than the spring's 9 mm"),
    ("timing-screws", {"inertia_mg_cm2": "9", "radius_mm": "5", "out_mm": "1"}, "the mass of one screw"),
    ("timing-screws", {"inertia_mg_cm2": "9", "radius_mm": "5", "mass_mg": "1", "out_mm": "-6"}, "the staff"),
    ("timing-screws", {"inertia_mg_cm2": "900", "radius_mm": "5", "mass_mg": "1", "rate_s_per_day": "9000"}, "Move more screws"),
    ("timing-screws", {"inertia_mg_cm2": "1", "radius_mm": "9", "washer_mg": "-900"}, "taken off"),
    ("mainspring", {"barrel_mm": "5", "arbor_mm": "9", "turns": "6"}, "Have the two been exchanged?"),
    (
        "mainspring",
        {"barrel_mm": "9", "arbor_mm": "3", "thickness_mm": "0.2", "length_mm": "900"},
        "which fills the barrel solid",
    ),
    ("weight-fall", {"drum_mm": "40"}, "turns, or great_hours and going_hours"),
    ("weight-fall", {"drum_mm": "40", "turns": "16", "great_hours": "12", "going_hours": "200"}, "leave one of the three out"),
    ("weight-fall", {"fall_mm": "40", "turns": "16", "cord_mm": "3"}, "use a pulley, or fewer turns"),
    ("fusee", {"wound_nmm": "3", "down_nmm": "4", "small_mm": "5"}, "have the two been exchanged?"),
    ("module", {"teeth": "12", "mate": "40", "outside_mm": "9", "form": "involute"}, "at least"),
    ("pair", {"wheel_teeth": "60", "pinion_leaves": "8", "wheel_mm": "9"}, "Measure another"),
    ("depth", {"wheel_teeth": "60", "pinion_leaves": "6", "module_mm": "1", "form": "involute"}, "at least"),
    ("beat-error", {"beats_per_hour": "18000", "amplitude_deg": "9", "error_ms": "900"}, "from 0 to a beat, 200 ms"),
    ("amplitude", {"lift_deg": "50", "lift_ms": "210", "beats_per_hour": "18000"}, "less than a beat, 200 ms"),
    ("count-up", {"train": "96/8, 64/x"}, "a train of which every count is known"),
    ("count-up", {"train": "96/8", "beats_per_hour": "3600"}, "a train with an escape wheel"),
    ("count-up", {"train": "96/8, 64/8", "minute_arbor": "2", "seconds_arbor": "3"}, "8 turns an hour of arbor 3"),
    ("count-up", {"train": "96/8, 64/8", "report": "4/x"}, "a report with nothing missing"),
]


@pytest.mark.parametrize(("name", "texts", "words"), BAD, ids=lambda value: value if isinstance(value, str) else "")
def test_what_cannot_be_is_said(name: str, texts: dict[str, str], words: str) -> None:
    """Every refusal says in plain words what is wrong or what to do."""
    with pytest.raises(Refused) as caught:
        work(name, texts)
    assert words in str(caught.value)
