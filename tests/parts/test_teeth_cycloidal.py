"""Cycloidal teeth against BS 978-2, Willis and Derham (tests/authorities/teeth.toml)."""

import math
import tomllib
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import quad
from shapely import Polygon

from builder.ground.faults import Refused
from builder.parts.teeth import TEETH, Cycloidal
from builder.parts.teeth.cycloidal import addendum_factor, pointed

AUTHORITY = tomllib.loads((Path(__file__).parents[1] / "authorities" / "teeth.toml").read_text(encoding="utf-8"))
PAIRS = [(96, 8), (80, 10), (75, 6), (60, 8), (64, 7), (120, 12), (180, 15), (48, 48), (12, 36), (10, 40), (30, 4), (36, 5)]


@pytest.mark.parametrize("column", AUTHORITY["wheel_driving_pinion"], ids=lambda column: f"{column['leaves']} leaves")
def test_addenda_agree_with_the_standard(column):
    """Every cell of BS 978-2: addendum 0.95 f_t and arc radius 1.40 f_t, within the rounding that the file states."""
    for ratio, addendum, arc_radius in zip(column["ratio"], column["addendum"], column["arc_radius"], strict=True):
        teeth = ratio * column["leaves"]
        assert addendum_factor(teeth, column["leaves"]) == pytest.approx(addendum, abs=column["abs"])
        assert 1.40 * pointed(teeth, column["leaves"])[0] == pytest.approx(arc_radius, abs=column["abs"])


def test_wheel_has_the_standards_proportions():
    """Teeth π/2 modules thick on the pitch circle and as deep below it; the addendum is that of the table."""
    wheel = Cycloidal().pair(80, 10, 0.5).driver
    published = AUTHORITY["wheel_proportions"]
    thickness = 2 * wheel.pitch_mm * wheel.flank.half_angle(np.array([wheel.pitch_mm]))[0][0] / 0.5
    assert thickness == pytest.approx(published["thickness"], rel=published["rel"])
    assert (wheel.pitch_mm - wheel.root_mm) / 0.5 == pytest.approx(published["dedendum"], rel=published["rel"])
    assert (wheel.tip_mm - wheel.pitch_mm) / 0.5 == pytest.approx(addendum_factor(80, 10))


@pytest.mark.parametrize("end", ["A", "B", "C"])
def test_leaf_ends_are_the_standards_arcs(end):
    """Thickness, addendum and radius of profiles A, B, C; the radius from three points of the drawn end."""
    pinion = Cycloidal(leaf_end=end).pair(80, 10, 2.0).driven
    published = AUTHORITY["leaves_to_ten"]
    assert 2 * pinion.pitch_mm * pinion.half_tooth_rad / 2 == pytest.approx(published["thickness"], abs=published["abs"])
    assert (pinion.tip_mm - pinion.pitch_mm) / 2 == pytest.approx(published["addendum"][end], abs=published["abs"])
    points = pinion.flank.at(np.array([2.0, 2.5, 3.0]))[0] / 2
    sides = np.abs(points - np.roll(points, 1))
    around = sides.prod() / (4 * abs(((points[1] - points[0]).conjugate() * (points[2] - points[0])).imag) / 2)
    assert around == pytest.approx(published["radius"][end], abs=published["abs"])


def test_leaf_end_is_chosen_by_the_count():
    """C to seven leaves, B for eight and nine, A from ten: a leaf without a named end is the one named by the table."""
    for leaves, end in AUTHORITY["leaves_to_ten"]["profile"].items():
        chosen, named = (Cycloidal(leaf_end=e).pair(90, int(leaves), 1.0).driven for e in (None, end))
        assert chosen == named


def test_teeth_for_both_ways_have_the_standards_thickness_and_addendum():
    """Motion work: each member's addendum from the table by its own count, 1.41 modules thick."""
    published = AUTHORITY["driving_and_driven"]
    for first, last, addendum in zip(published["teeth_from"], published["teeth_to"], published["addendum"], strict=True):
        for teeth in {first, min(last, 500)}:
            gear = Cycloidal(both_ways=True).pair(teeth, 60, 1.0).driver
            assert gear.tip_mm - gear.pitch_mm == pytest.approx(addendum, abs=published["abs"])
            assert 2 * gear.pitch_mm * gear.half_tooth_rad == pytest.approx(published["thickness"])


def test_willis_least_drivers_after_the_line_of_centres():
    """The least driver whose pointed teeth drive a runner for one whole pitch after the line of centres (Willis)."""
    published = AUTHORITY["least_driver_after_centres"]

    def lasts(driver: int, runner: int) -> float:
        """Driver pitches from the line of centres to the point of the tooth."""
        return pointed(driver, runner)[1] * driver / (2 * math.pi)

    def least(runner: int) -> int | None:
        return next((n for n in range(6, 400) if lasts(n, runner) >= 1), None)

    assert [least(runner) for runner in published["runner"]] == published["driver"]
    for runner, driver in zip(published["loose_runner"], published["loose_driver"], strict=True):
        assert least(runner) == pytest.approx(driver, abs=published["loose_abs"])
    assert all(lasts(300, runner) < 1 for runner in range(6, published["none_below"]))


def test_face_is_a_rolled_curve():
    """The face's length to a point is the epicycloid's 4ρ(R + ρ)/R·(1 − cos(roll/2)); numerically from the points alone."""
    wheel = Cycloidal().pair(60, 8, 1.0).driver
    face = wheel.flank.pieces[2]

    def speed(t: float) -> float:
        step = 1e-6
        return float(abs(np.diff(face.at(np.array([t - step, t + step]))[0])[0]) / (2 * step))

    roll = face.end_rad * 30.0 / 2.0
    assert quad(speed, 1e-5, 1 - 1e-5)[0] == pytest.approx(4 * 2.0 * 32.0 / 30.0 * (1 - math.cos(roll / 2)), rel=1e-4)


def test_pinion_is_as_large_as_derham_makes_it():
    """Pitch diameters in the ratio of the counts: 60 teeth on 2 in. want a pinion of 0.2 in. for 6 leaves."""
    published = AUTHORITY["pinion_size"]
    module = published["wheel_diameter_in"] / published["wheel_teeth"]
    pinion = Cycloidal().pair(published["wheel_teeth"], published["leaves"], module).driven
    assert 2 * pinion.pitch_mm == pytest.approx(published["pinion_diameter_in"], abs=published["abs"])


@pytest.mark.parametrize("teeth", PAIRS, ids=str)
@pytest.mark.parametrize("which", ["driver", "driven"])
def test_outlines_are_sound_polygons(teeth, which):
    """Counter-clockwise, simple, between root and tip, as many equal teeth as counted, tooth 0 on +x, few points."""
    gear = getattr(Cycloidal().pair(*teeth, 0.7), which)
    outline = gear.outline()
    polygon = Polygon(outline)
    assert polygon.is_valid and polygon.exterior.is_ccw
    assert math.pi * gear.root_mm**2 < polygon.area < math.pi * gear.tip_mm**2
    radii = np.hypot(*outline.T)
    assert radii.max() == pytest.approx(gear.tip_mm) and radii.min() == pytest.approx(gear.root_mm)
    each = len(outline) // gear.teeth
    assert each * gear.teeth == len(outline) and each <= 36
    z = outline[:, 0] + 1j * outline[:, 1]
    assert np.allclose(z[each:], z[:-each] * np.exp(2j * math.pi / gear.teeth))
    highest = z[:each][np.abs(z[:each]) > gear.tip_mm - 1e-9]
    assert np.mean(np.angle(highest)) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("error", [3e-3, 1e-4])
def test_chords_keep_their_error(error):
    """No face strays from its chords by more than asked, nor are the points twice as dense as that needs."""
    gear = Cycloidal().pair(80, 10, 1.0).driver
    for piece in gear.flank.pieces[1:]:
        stations = piece.stations(error)
        between = stations[:-1, None] + np.diff(stations)[:, None] * np.linspace(0, 1, 33)
        points = piece.at(between)[0]
        chord = points[:, -1:] - points[:, :1]
        sagitta = np.abs((np.conj(chord) * (points - points[:, :1])).imag / np.abs(chord)).max(axis=1)
        assert sagitta.max() <= error * 1.02
        assert len(stations) == 2 or sagitta[1:].min() > error / 4


def test_impossible_counts_are_refused_and_few_leaves_noted():
    """Three leaves: refused with the key and the figure. Four: built, with a word. Eight: action before the line of centres."""
    with pytest.raises(Refused) as refused:
        Cycloidal().pair(3, 3, 1.0)
    assert [c.key for c in refused.value.complaints] == [("driver",), ("driven",)]
    assert refused.value.complaints[1].allowed == "at least 4"
    assert len(Cycloidal().pair(40, 4, 1.0).findings) == 2
    assert ["before" in f.text for f in Cycloidal().pair(64, 8, 1.0).findings] == [True]
    assert Cycloidal().pair(120, 12, 1.0).findings == ()


def test_every_form_is_in_the_family():
    """The family's dict names each form by its kind, and each builds with its own defaults."""
    assert all(form().kind == name for name, form in TEETH.items())
