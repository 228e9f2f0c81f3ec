"""Involute teeth against the basic rack, the textbook's involute function, scipy and shapely."""

import math

import numpy as np
import pytest
from scipy.optimize import brentq
from shapely import Polygon

from builder.ground.faults import Refused
from builder.parts.teeth import Involute

LEAST_AGAINST_A_RACK = 18
"""2/sin² 20° = 17.1, from memory: seventeen, with a trace of undercut."""


@pytest.mark.parametrize("teeth", [18, 40, 90])
def test_flank_follows_the_involute_function(teeth):
    """Half tooth angle at r = half at the pitch circle + inv 20° − inv(arccos(base/r)), from the textbook definition."""
    gear = Involute().pair(teeth, 120, 1.0).driver
    base = gear.pitch_mm * math.cos(math.radians(20))
    r = np.linspace(max(base, gear.flank.radii_mm[1]) + 1e-6, gear.tip_mm, 40)

    def inv(a):
        return np.tan(a) - a

    expected = gear.half_tooth_rad + inv(math.radians(20)) - inv(np.arccos(base / r))
    half, slope = gear.flank.half_angle(r)
    assert np.allclose(half, expected, atol=1e-13)
    assert np.allclose(slope[4:-1], np.gradient(expected, r)[4:-1], rtol=1e-2, atol=1e-6)


@pytest.mark.parametrize("teeth", [18, 25, 40, 60, 120, 300])
def test_outline_is_sound_and_its_fillet_touches_root_and_flank(teeth):
    """Simple polygon; radius rising all along the flank; the fillet leaves the root circle and meets the flank smoothly."""
    gear = Involute().pair(teeth, 80, 0.5).driver
    polygon = Polygon(gear.outline())
    assert polygon.is_valid and polygon.exterior.is_ccw
    assert math.pi * gear.root_mm**2 < polygon.area < math.pi * gear.tip_mm**2
    fillet, after = gear.flank.pieces[0], gear.flank.pieces[1]
    ends = np.array([0.0, 1.0])
    points, along = fillet.at(ends)
    assert (np.conj(points[0]) * along[0]).real == pytest.approx(0, abs=1e-12)
    assert abs(points[1] - after.at(ends)[0][0]) < 1e-12 and abs(along[1] - after.at(ends)[1][0]) < 1e-9
    assert np.all(np.diff(np.abs(gear.flank.at(np.linspace(0, len(gear.flank.pieces), 200))[0])) > 0)


def test_undercut_is_refused_with_the_least_count():
    """Against a very large mate the least count is the rack's; against equals it is less; the advice names a way out."""
    with pytest.raises(Refused) as refused:
        Involute().pair(300, 9, 1.0)
    (complaint,) = refused.value.complaints
    assert complaint.key == ("driven",) and "cycloidal" in complaint.advice
    # from memory: 2/sin² 20° = 17.1 against a rack; against an equal gear 13 (12.3)
    assert not Involute()._undercut(LEAST_AGAINST_A_RACK, 100000)
    assert Involute()._undercut(LEAST_AGAINST_A_RACK - 1, 100000)
    assert not Involute()._undercut(13, 13) and Involute()._undercut(12, 12)


def test_undercut_begins_where_scipy_finds_the_tip_at_the_tangent_point():
    """The least count by the path of contact: the mate's tip on the line of action, no further than the base circle."""

    def past_tangent_point(z: float, mate: float) -> float:
        tip = brentq(lambda x: math.hypot(mate / 2 + x * math.sin(a), x * math.cos(a)) - (mate / 2 + 1), 0, 30)
        return tip - z / 2 * math.sin(a)

    a = math.radians(20)
    for mate in (20, 60, 200):
        least = math.ceil(brentq(lambda z, mate=mate: past_tangent_point(z, mate), 5, 40))
        assert not Involute()._undercut(least, mate) and Involute()._undercut(least - 1, mate)


def test_no_clearance_and_short_contact_are_said():
    """Dedendum not above the addendum: refused. Contact ratio under 1.1: a finding."""
    with pytest.raises(Refused, match="dedendum"):
        Involute(addendum=1.0, dedendum=1.0).pair(30, 30, 1.0)
    assert Involute(addendum=0.5).pair(18, 18, 1.0).findings[0].key == ("driven",)
    assert Involute().pair(30, 40, 1.0).findings == ()
