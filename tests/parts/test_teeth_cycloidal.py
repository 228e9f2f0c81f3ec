"""Cycloidal teeth: rolled curves, sound outlines, refusals (published sizes: tests/authorities/teeth.toml)."""

import math

import numpy as np
import pytest
from scipy.integrate import quad
from shapely import Polygon

from builder.ground.faults import Refused
from builder.parts.teeth import TEETH, Cycloidal
from builder.parts.teeth.cycloidal import addendum_factor, pointed

PAIRS = [(96, 8), (80, 10), (75, 6), (60, 8), (64, 7), (120, 12), (180, 15), (48, 48), (12, 36), (10, 40), (30, 4), (36, 5)]


def test_leaf_end_is_chosen_by_the_count():
    """C to seven leaves, B for eight and nine, A from ten: a leaf without a named end is the one named by the table."""
    for leaves, end in ((4, "C"), (7, "C"), (8, "B"), (9, "B"), (10, "A"), (12, "A")):  # BS 978-2, as it was transcribed
        chosen, named = (Cycloidal(leaf_end=e).pair(90, leaves, 1.0).driven for e in (None, end))
        assert chosen == named


def test_the_addendum_is_that_of_the_table():
    """What is drawn has the addendum that is compared with BS 978-2."""
    wheel = Cycloidal().pair(80, 10, 0.5).driver
    assert (wheel.tip_mm - wheel.pitch_mm) / 0.5 == pytest.approx(addendum_factor(80, 10))


def test_no_driver_drives_ten_leaves_wholly_after_the_line_of_centres():
    """Willis: from eleven leaves on there is one (tests/authorities/), below it none of three hundred teeth."""
    assert all(pointed(300, runner)[1] * 300 < 2 * math.pi for runner in range(6, 11))


def test_face_is_a_rolled_curve():
    """The face's length to a point is the epicycloid's 4ρ(R + ρ)/R·(1 − cos(roll/2)); numerically from the points alone."""
    wheel = Cycloidal().pair(60, 8, 1.0).driver
    face = wheel.flank.pieces[2]

    def speed(t: float) -> float:
        step = 1e-6
        return float(abs(np.diff(face.at(np.array([t - step, t + step]))[0])[0]) / (2 * step))

    roll = face.end_rad * 30.0 / 2.0
    assert quad(speed, 1e-5, 1 - 1e-5)[0] == pytest.approx(4 * 2.0 * 32.0 / 30.0 * (1 - math.cos(roll / 2)), rel=1e-4)


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
