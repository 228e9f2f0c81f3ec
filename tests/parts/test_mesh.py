"""Two gears drawn in phase at their exact ratio never run into each other, as shapely sees it."""

import math

import numpy as np
import pytest
from shapely import Polygon

from builder.ground.geometry import polar, turned
from builder.parts.teeth import Cycloidal, Involute
from builder.parts.teeth.mesh import meshing_angle

CYCLOIDAL = [
    (96, 8),
    (80, 10),
    (75, 6),
    (60, 8),
    (64, 8),
    (120, 12),
    (48, 48),
    (12, 36),
    (10, 40),
    (70, 7),
    (32, 4),
    (16, 4),
    (16, 8),
    (12, 11),
    (8, 6),
]
INVOLUTE = [(80, 20), (20, 60), (40, 40), (120, 18)]
PAIRS = [(Cycloidal(), *t) for t in CYCLOIDAL] + [(Involute(), *t) for t in INVOLUTE] + [(Cycloidal(leaf_end="C"), 80, 10)]
MODULE_MM = 0.6
LINE_RAD = 0.7


def depth_of_overlap(pair, positions, ccw, further_mm=0.0):
    """Greatest thickness of any overlap (mm) while the driver turns two pitches."""
    sense, worst = (1 if ccw else -1), 0.0
    centre = polar(pair.distance_mm, LINE_RAD)
    first, second = pair.driver.outline(), pair.driven.outline()
    for turn in np.linspace(0, 2 * pair.driver.angle_rad, positions, endpoint=False):
        driver_rad = 1.1 + sense * turn
        driven_rad = meshing_angle(pair, driver_rad, LINE_RAD, ccw) + sense * further_mm / pair.driven.pitch_mm
        one, other = Polygon(turned(first, driver_rad)), Polygon(turned(second, driven_rad) + centre)
        assert one.is_valid and other.is_valid and one.area > 0 and other.area > 0
        shared = one.intersection(other)
        for part in getattr(shared, "geoms", [shared]):
            if part.geom_type == "Polygon" and part.area > 0:
                worst = max(worst, 2 * part.area / (part.length / 2))
    return worst


@pytest.mark.parametrize("ccw", [True, False], ids=["counter-clockwise", "clockwise"])
@pytest.mark.parametrize(("form", "driver", "driven"), PAIRS, ids=lambda v: getattr(v, "kind", str(v)))
def test_drawn_teeth_do_not_overlap(form, driver, driven, ccw):
    """Forty positions over two pitches, both senses: overlap below 1e-4 module; 0.02 module further it is seen."""
    pair = form.pair(driver, driven, MODULE_MM)
    assert depth_of_overlap(pair, 40, ccw) < 1e-4 * MODULE_MM
    # negative control: the driven turned against its driver
    assert depth_of_overlap(pair, 4, ccw, further_mm=0.02 * MODULE_MM) > 5e-3 * MODULE_MM


@pytest.mark.parametrize(("form", "driver", "driven"), PAIRS, ids=lambda v: getattr(v, "kind", str(v)))
def test_there_is_play_on_the_other_side(form, driver, driven):
    """The driven can be turned away from its driver by 0.05 module without overlap, and not by a whole module."""
    pair = form.pair(driver, driven, MODULE_MM)
    assert depth_of_overlap(pair, 10, True, further_mm=-0.05 * MODULE_MM) < 1e-4 * MODULE_MM
    assert depth_of_overlap(pair, 10, True, further_mm=-1.0 * MODULE_MM) > 0.02 * MODULE_MM


@pytest.mark.parametrize("ccw", [True, False])
def test_ratio_is_exact_and_lines_turn_the_whole(ccw):
    """A whole turn of the driver turns the driven by the ratio of the counts the other way; turning the plan turns all."""
    pair = Cycloidal().pair(75, 10, 1.0)
    stands = meshing_angle(pair, 0.3, 0.2, ccw)
    assert meshing_angle(pair, 0.3 + 2 * math.pi, 0.2, ccw) - stands == pytest.approx(-2 * math.pi * 7.5, abs=1e-12)
    assert meshing_angle(pair, 0.3 + 1.234, 0.2 + 1.234, ccw) - stands == pytest.approx(1.234, abs=1e-12)


@pytest.mark.parametrize(("ccw", "sense"), [(True, 1), (False, -1)])
def test_working_flanks_meet_at_the_pitch_point(ccw, sense):
    """With the driver's working flank on the line of centres, the driven's working flank is there too."""
    pair = Involute(backlash=0.3).pair(30, 25, 1.0)
    driver_rad = LINE_RAD - sense * pair.driver.half_tooth_rad
    driven_rad = meshing_angle(pair, driver_rad, LINE_RAD, ccw)
    flank = driven_rad + sense * pair.driven.half_tooth_rad
    assert (flank - LINE_RAD - math.pi) % pair.driven.angle_rad == pytest.approx(0, abs=1e-12)
