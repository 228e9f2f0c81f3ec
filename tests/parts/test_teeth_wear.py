"""Worn flanks against what a pit is, and shapely."""

import numpy as np
import pytest
from shapely import Polygon

from builder.ground.faults import Refused
from builder.parts.teeth import Cycloidal
from builder.parts.teeth.wear import worn

PINION = Cycloidal().pair(80, 10, 1.0).driven


def test_a_pit_takes_only_what_it_should():
    """Depth along the circle: nothing outside the pit, all of it halfway; radii of tip and root stay."""
    pitted = worn(PINION, 0.1, 4.2, 5.2)
    r = np.array([4.0, 4.2, 4.7, 5.2, 5.4])
    taken = r * (PINION.flank.half_angle(r)[0] - pitted.flank.half_angle(r)[0])
    assert np.allclose(taken, [0, 0, 0.1, 0, 0], atol=1e-12)
    assert pitted.tip_mm == PINION.tip_mm and pitted.root_mm == PINION.root_mm


def test_tangents_follow_the_pitted_flank():
    """Directions agree with finite differences of the points across the pit."""
    flank = worn(PINION, 0.1, 4.2, 5.2).flank
    s = np.linspace(1.05, 2.95, 60)
    s = s[np.abs(s - 2) > 1e-3]
    step = 1e-6
    chord = flank.at(s + step)[0] - flank.at(s - step)[0]
    assert np.allclose(chord / np.abs(chord), flank.at(s)[1], atol=1e-6)


def test_the_outline_loses_the_area_of_the_pits():
    """Twice ten pits of cos² section: depth × length / 2 each, as shapely measures the drawn polygons."""
    whole, pitted = Polygon(PINION.outline(1e-5)), Polygon(worn(PINION, 0.05, 4.2, 5.2).outline(1e-5))
    assert pitted.is_valid and whole.contains(pitted.buffer(-1e-4))
    assert whole.area - pitted.area == pytest.approx(20 * 0.05 * 1.0 / 2, rel=2e-3)


def test_impossible_wear_is_refused():
    """Beyond the tip, or right through the leaf: refused with the key."""
    for wear, key in (((0.1, 4.2, 6.0), ("from_mm",)), ((0.1, 5.0, 4.0), ("from_mm",)), ((0.6, 4.2, 5.2), ("depth_mm",))):
        with pytest.raises(Refused) as refused:
            worn(PINION, *wear)
        assert refused.value.complaints[0].key == key
