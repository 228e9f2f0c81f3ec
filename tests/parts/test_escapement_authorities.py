"""Escapements against the figures of Beckett, Playtner and the Keystone (tests/authorities/escapement.toml)."""

import math
import tomllib
from pathlib import Path

import numpy as np
import pytest

from builder.parts.escapement.drafting import half_span_rad, stations, tangent_centre_mm, tangent_length_mm, usual_span
from builder.parts.escapement.fork import LeverTable, fork_for
from tests.parts.escapement_models import escapement

TABLE = tomllib.loads((Path(__file__).parents[1] / "authorities" / "escapement.toml").read_text(encoding="utf-8"))
FIGURES = {figure["id"]: figure for figure in TABLE["figure"]}


def figure(name):
    """Given, expected and tolerance as pytest takes it."""
    entry = FIGURES[name]
    within = {key: value for key, value in entry["tolerance"].items() if key in ("abs", "rel")}
    if within == {"abs": 0}:
        within = {"abs": 1e-9}
    return entry["given"], entry["expect"], within


def travel_deg(pieces, word):
    """Pallet and wheel angles travelled while the surface's name holds a word."""
    mine = [p for p in pieces if word in p.surface]
    return (
        math.degrees(sum(abs(p.end_rad - p.start_rad) for p in mine)),
        math.degrees(sum(float(p.wheel_rad(p.end_rad) - p.wheel_rad(p.start_rad)) for p in mine)),
    )


@pytest.mark.parametrize("name", ["beckett-graham-30t-span-9p5", "beckett-graham-30t-span-10", "recoil-anchor-30t-span-7p5"])
def test_centre_distance_by_tangents(name):
    """Centre distance r / cos(half span) and pallet radius r tan(half span), as Beckett p. 97 tabulates them."""
    given, expect, within = figure(name)
    r, teeth, span = given["wheel_radius"], given["escape_teeth"], given["span_teeth"]
    assert tangent_centre_mm(r, teeth, span) == pytest.approx(expect["centre_distance"], **within)
    assert tangent_length_mm(r, teeth, span) == pytest.approx(expect["pallet_radius"], **within)


def test_a_drafted_graham_has_becketts_proportions():
    """A whole dead-beat of 30 teeth spanning 9.5, locking at the tangents, has Beckett's centre distance and, at both locking
    corners, his pallet radius (p. 97)."""
    given, expect, within = figure("beckett-graham-30t-span-9p5")
    graham = {"kind": "dead_beat", "teeth": given["escape_teeth"], "span": given["span_teeth"], "lockings": "equidistant"}
    draft = escapement({**graham, "radius_mm": 10.0}).draft()
    assert draft.centre_mm / 10 == pytest.approx(expect["centre_distance"], **within)
    for nib in draft.surfaces.values():
        corner = next(spot for spot in nib.spots if spot.name == "locking corner")
        assert math.hypot(*corner.at_mm) / 10 == pytest.approx(expect["pallet_radius"], **within)


def test_usual_regulator():
    """For 10 of 30 spaces the pallet arbor is a wheel's diameter off; the wheel moves 6 degrees a beat (Beckett p. 96)."""
    given, expect, within = figure("beckett-graham-proportions")
    r = given["wheel_diameter_in"] / 2
    assert tangent_centre_mm(r, given["escape_teeth"], given["span_teeth"]) == pytest.approx(
        expect["centre_distance_in"], **within
    )
    action = escapement({"kind": "dead_beat", "teeth": given["escape_teeth"], "radius_mm": 20.0, "span": 9.5}).action()
    assert math.degrees(action.pitch_rad) / 2 == pytest.approx(expect["wheel_angle_per_beat_deg"], abs=1e-9)


def test_impulse_lies_where_beckett_wants_it():
    """Lock 1/2 and impulse 1 1/2 degrees put the impulse from 30 minutes before the middle to 60 after it, on both pallets,
    90 in all (Beckett p. 90)."""
    given, expect, _ = figure("beckett-deadbeat-impulse-placing")
    action = escapement(
        {"kind": "dead_beat", "teeth": 30, "radius_mm": 20.0, "span": 9.5, "lock_deg": 0.5, "impulse_deg": 1.5}
    ).action()
    for swing, way in ((action.up, 1), (action.down, -1)):
        (impulse,) = [p for p in swing.pieces if "impulse" in p.surface]
        before, after = -way * math.degrees(impulse.start_rad) * 60, way * math.degrees(impulse.end_rad) * 60
        assert before == pytest.approx(given["impulse_start_arcmin_before_zero"], abs=1e-6)
        assert after == pytest.approx(given["impulse_end_arcmin_after_zero"], abs=1e-6)
        assert before + after == pytest.approx(expect["impulse_total_arcmin"], abs=1e-6)
        assert after - before == pytest.approx(expect["gamma_minus_beta_arcmin"], abs=1e-6)


def test_gravity_escapements_are_laid_out_by_the_same_tangents():
    """Stops at right angles to their arms: r / cos 67 1/2 for four legs, r / cos 60 for three (Beckett p. 124 and 130)."""
    given, expect, within = figure("beckett-four-legged-centre-distance")
    assert tangent_centre_mm(given["wheel_diameter_in"] / 2, 8, 3) == pytest.approx(expect["distance_in"], **within)
    given, expect, within = figure("beckett-double-three-legged-centre-distance")
    r = given["wheel_radius"]
    assert tangent_centre_mm(r, given["beats_per_turn"], 2) / (2 * r) == pytest.approx(expect["distance_over_diameter"], **within)
    assert 90 - math.degrees(half_span_rad(6, 2)) == pytest.approx(expect["pallet_obliquity_deg"], **within)
    assert 90 - math.degrees(half_span_rad(8, 3)) == pytest.approx(expect["four_legged_obliquity_deg"], **within)


def test_lever_with_equidistant_lockings():
    """15 teeth spanning 2 1/2: 24 degrees of interval, 60 from lock to lock, 10 1/2 of action and 1 1/2 of drop at the wheel, a
    fork action of 8 1/2 with 1 of lock and 7 1/2 of lift (Keystone, ch. I)."""
    given, expect, within = figure("keystone-ratchet-lever-equidistant")
    m = escapement(
        {
            "kind": "club_lever",
            "radius_mm": 5.0,
            "lockings": "equidistant",
            "teeth": given["escape_teeth"],
            "lock_deg": float(given["lock_deg"]),
            "lift_deg": given["lift_deg"],
            "draw_deg": float(given["draw_deg"]),
            "drop_deg": expect["drop_deg"],
        }
    )
    assert m.embraced == given["span_teeth"]
    assert 360 / m.teeth == pytest.approx(expect["tooth_interval_deg"], **within)
    draft, action = m.draft(), m.action()
    corners = {name: next(s for s in nib.spots if s.name == "locking corner").at_mm for name, nib in draft.surfaces.items()}
    unlocking = {"entry": m.lock_deg / 2 - m.lift_deg / 2, "exit": m.lift_deg / 2 - m.lock_deg / 2}
    at = {}
    for name, corner in corners.items():
        turn = math.radians(unlocking[name])
        place = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]]) @ corner
        at[name] = math.degrees(math.atan2(place[1] + draft.centre_mm, place[0]))
    assert at["exit"] - at["entry"] == pytest.approx(expect["lock_to_lock_deg"], **within)
    for swing in (action.up, action.down):
        driving = [p for p in swing.pieces if p.pallet == swing.pieces[0].pallet and "locking face" not in p.surface]
        wheel = float(driving[-1].wheel_rad(driving[-1].end_rad) - driving[0].wheel_rad(driving[0].start_rad))
        assert math.degrees(wheel) == pytest.approx(given["wheel_action_deg"], abs=1e-6)
        fork = math.degrees(abs(driving[-1].end_rad - driving[0].start_rad)) + m.lock_deg
        assert fork == pytest.approx(expect["fork_action_deg"], abs=1e-6)
    assert expect["drop_deg"] / expect["tooth_interval_deg"] * 100 == pytest.approx(expect["drop_loss_percent"])
    assert action.entry.draw_deg == pytest.approx(given["draw_deg"], abs=1e-6)


@pytest.mark.parametrize("name", ["keystone-club-circular", "keystone-club-not-setting"])
def test_club_teeth_share_the_action(name):
    """Wheel: tooth and stone together 10 1/2 (or 11) degrees; fork: tooth, lock and stone together 10 (Keystone, ch. I). Half
    of the stone's width lies each side of the radius to the tangent point."""
    given, expect, within = figure(name)
    m = escapement(
        {
            "kind": "club_lever",
            "radius_mm": 5.0,
            "tooth_deg": float(given["wheel_on_tooth_deg"]),
            "tooth_lift_deg": float(given["fork_on_tooth_deg"]),
            "lock_deg": float(given["lock_deg"]),
            "lift_deg": given["fork_on_tooth_deg"] + float(given["fork_on_pallet_deg"]),
            "drop_deg": float(expect["drop_deg"]),
        }
    )
    draft, action = m.draft(), m.action()
    for swing, report in ((action.up, action.entry), (action.down, action.exit)):
        driving = [p for p in swing.pieces if p.pallet == swing.pieces[0].pallet and "locking face" not in p.surface]
        wheel = float(driving[-1].wheel_rad(driving[-1].end_rad) - driving[0].wheel_rad(driving[0].start_rad))
        assert math.degrees(wheel) == pytest.approx(expect["wheel_total_deg"], abs=1e-6)
        assert report.lock_deg + report.lift_deg == pytest.approx(expect["fork_total_deg"], abs=1e-6)
    tangent = 90 - math.degrees(half_span_rad(15, 2.5))
    st = stations(5.0, 15, 2.5, math.radians(expect["drop_deg"]), m.tooth_rad, 0.5)
    assert tangent - math.degrees(st.entry_first_rad) == pytest.approx(given["wheel_on_pallet_deg"] / 2, **within)
    assert math.degrees(st.entry_last_rad - m.tooth_rad) - tangent == pytest.approx(given["wheel_on_pallet_deg"] / 2, **within)
    assert draft.tip_mm > 5.0


def test_playtners_budget_of_angles():
    """Lock and run 1 3/4, banking to let-off 10 1/4, drop to drop 10, and of the lift 5 1/2 on the stones (the mean of both; each
    loses or gains a little) and 3 on the tooth (Playtner, Specifications)."""
    given, expect, _ = figure("playtner-spec-lift-budget")
    m = escapement({"kind": "club_lever", "radius_mm": 3.75, "lock_deg": given["lock_deg"], "run_deg": given["run_deg"]})
    action = m.action()
    for report in (action.entry, action.exit):
        assert report.lock_deg + report.run_deg == pytest.approx(expect["total_lock_deg"], abs=1e-6)
    let_off = math.degrees(action.up.drops[0].at_rad)
    assert math.degrees(action.reach_rad) + let_off == pytest.approx(given["fork_total_deg"], abs=1e-6)
    assert let_off - math.degrees(action.down.drops[0].at_rad) == pytest.approx(expect["drop_to_drop_deg"], abs=1e-6)
    on_stone = [travel_deg(s.pieces, "toe on impulse face")[0] for s in (action.up, action.down)]
    assert sum(on_stone) / 2 == pytest.approx(expect["pallet_lift_deg"], abs=0.1)
    assert m.tooth_lift_deg == given["tooth_lift_deg"]


def test_span_variants():
    """From lock to lock 60, 84 and 56 1/4 degrees for 2 1/2 and 3 1/2 of 15 and 2 1/2 of 16 teeth (Playtner)."""
    given, expect, within = figure("playtner-span-variants")
    for (teeth, span), between in zip(given["cases"], expect["lock_to_lock_deg"], strict=True):
        st = stations(1.0, int(teeth), span, math.radians(1.5), 0.0, 0.0)
        assert math.degrees(st.exit_first_rad - st.entry_first_rad) == pytest.approx(between, **within)
    assert usual_span(15, 1 / 6) == 2.5 and usual_span(16, 1 / 6) == 2.5


def test_heels_clear_the_pallet_arbor():
    """A wheel of 7.5 mm with 3 degrees of lift on the tooth leaves 0.469 mm from heel to pallet centre (Playtner)."""
    given, expect, within = figure("playtner-heel-clearance")
    m = escapement(
        {"kind": "club_lever", "radius_mm": given["primitive_diameter_mm"] / 2, "tooth_lift_deg": float(given["tooth_lift_deg"])}
    )
    draft = m.draft()
    assert draft.centre_mm - draft.tip_mm == pytest.approx(expect["heel_to_pallet_centre_mm"], **within)


def test_disengaging_stone_loses_lift():
    """Between 30 and 36 degrees the heels' circle falls from the tangent by about 7/8 of a degree at the pallets (Playtner)."""
    given, expect, within = figure("playtner-loss-of-lift-disengaging")
    m = escapement(
        {"kind": "club_lever", "radius_mm": float(given["wheel_radius"]), "tooth_lift_deg": float(given["tooth_lift_deg"])}
    )
    st = stations(m.radius_mm, 15, 2.5, m.drop_rad, m.tooth_rad, 0.5)
    points = [
        st.seen_from_pallets(math.pi / 2 + math.radians(30 + more), m.heel_mm, 0.0) for more in (0.0, given["pallet_width_deg"])
    ]
    angles = [math.degrees(math.atan2(x, -y)) for x, y in points]
    assert angles[1] - angles[0] == pytest.approx(expect["loss_deg"], **within)


def test_impulse_angle_and_radius():
    """10 1/4 degrees of fork and 28 of balance: fork and impulse radius are as 2.73 to 1 (Playtner takes angles inversely as
    radii; the exact fork differs by three parts in a hundred at most)."""
    given, expect, _ = figure("playtner-impulse-angle")
    fork = fork_for(
        LeverTable(balance_lift_deg=float(given["impulse_deg"])),
        4.0,
        math.radians(given["total_lock_deg"]),
        math.radians(given["fork_total_deg"]) / 2,
    )
    ratio = (fork.centre_mm - fork.pin_circle_mm) / fork.pin_circle_mm
    assert ratio == pytest.approx(expect["ratio"], rel=0.03)
    middle = fork.slope(0.0)
    assert 1 / float(middle) == pytest.approx(ratio, rel=1e-12)


@pytest.mark.parametrize(("index", "ratio"), [(0, 3), (1, 4)])
def test_roller_ratios(index, ratio):
    """A fork of 10 degrees three (four) times as long as the roller's radius turns it 30 (40) degrees (Keystone, ch. I): the
    exact fork keeps within four parts in a hundred of that small-angle rule."""
    given, expect, _ = figure("keystone-roller-ratio")
    assert given["radius_ratios"][index] == ratio
    table = LeverTable(balance_lift_deg=float(expect["roller_deg"][index]))
    fork = fork_for(table, 3.0, math.radians(1.75), math.radians(given["fork_deg"]) / 2)
    assert (fork.centre_mm - fork.pin_circle_mm) / fork.pin_circle_mm == pytest.approx(ratio, rel=0.04)


def test_usual_lever_is_playtners():
    """What a lever watch is given when its keys are left out is what Playtner calls usual: lock and drop 1 1/2, run 1/4 to 1/2,
    10 from drop to drop, slot wider than the pin by 1/4 degree, dart 1 1/4 and horn 1 1/2 free, safety roller 4/7."""
    _, expect, _ = figure("playtner-usual-angles")
    m = escapement({"kind": "club_lever", "radius_mm": 3.75})
    assert m.lock_deg == expect["lock_deg"] and math.degrees(m.drop_rad) == pytest.approx(expect["drop_club_deg"])
    assert expect["run_min_deg"] <= m.run_deg <= expect["run_max_deg"]
    assert 2 * math.degrees(m.half_rad) == pytest.approx(expect["drop_to_drop_deg"])
    given, widths, _ = figure("playtner-fork-and-pin-angles")
    fork = m.fork()
    acting = fork.centre_mm - fork.pin_circle_mm
    assert math.degrees((fork.slot_mm - 2 * fork.pin_mm) / acting) == pytest.approx(given["pin_shake_deg"], rel=1e-12)
    assert given["pin_shake_deg"] == widths["slot_width_deg"] - widths["pin_width_deg"]
    assert math.degrees(fork.guard_freedom_rad) == pytest.approx(1.25) and math.degrees(fork.horn_freedom_rad) == pytest.approx(
        1.5
    )
    assert fork.safety_mm / fork.pin_circle_mm == pytest.approx(4 / 7)
    usual = FIGURES["swiss-lever-typical"]["expect"]
    assert usual["lift_angle_balance_min_deg"] <= m.lever.balance_lift_deg <= usual["lift_angle_balance_max_deg"]


def test_three_to_one_by_sums():
    """Lift 8 1/2, lock 1 1/2 and run 1/2 make a fork angle of 10 1/2; half of it is 5 1/4 each side (Playtner)."""
    given, expect, _ = figure("playtner-proportion-3-to-1")
    m = escapement(
        {"kind": "club_lever", "radius_mm": 3.75, "lift_deg": given["lift_deg"], "lock_deg": given["lock_deg"], "run_deg": 0.25}
    )
    action = m.action()
    assert 2 * math.degrees(action.reach_rad) == pytest.approx(expect["fork_total_deg"], abs=1e-9)
    assert math.degrees(action.reach_rad) == pytest.approx(expect["half_fork_deg"], abs=1e-9)


def test_cylinder_has_the_keystones_proportions():
    """Lifting each lip 40 degrees in all, 20 each way, a wheel of radius 10 has teeth about 1.92 long that stand 0.68 up at 64
    degrees to the radius (Keystone, ch. II, Fig. 129). He lets the tooth fill the cylinder and the lips be sharp; with drop and
    rounded lips the same lift needs a little less height: within a hundredth of the length and a twentieth of the height."""
    given, expect, _ = figure("keystone-cylinder-lift")
    m = escapement({"kind": "cylinder", "radius_mm": 10.0, "lift_deg": float(expect["arc_under_impulse_deg"])})
    assert m.teeth == given["escape_teeth"] and 2 * given["lift_each_way_deg"] == m.lift_deg
    action = m.action()
    assert math.degrees(action.pitch_rad) / 2 == pytest.approx(expect["wheel_movement_per_impulse_deg"], abs=1e-9)
    drawing, lengths, _ = figure("keystone-cylinder-construction")
    assert math.degrees(m.tooth_rad) == pytest.approx(drawing["heel_to_point_deg"], abs=1e-4)
    form = m.form()
    heel = m.radius_mm * np.array([math.cos(m.tooth_rad), -math.sin(m.tooth_rad)])
    face = np.array([form.point_mm, 0.0]) - heel
    assert math.hypot(*face) == pytest.approx(lengths["inner_diameter"], rel=0.01)
    assert m.radius_mm - form.point_mm == pytest.approx(lengths["incline_height"], rel=0.05)
    to_radius = math.degrees(math.acos(-face @ heel / math.hypot(*face) / m.radius_mm))
    assert to_radius == pytest.approx(given["tooth_face_to_radius_deg"], abs=1.5)
