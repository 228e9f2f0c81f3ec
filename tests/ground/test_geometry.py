"""Points and directions in the plane, against shapely and plain facts of geometry."""

import math

import numpy as np
import pytest
from shapely import LineString, Point, Polygon, affinity

from builder.ground.geometry import arc, cross, line_circle, polar, turned


def test_turned_agrees_with_shapely():
    """Turning about a point is counter-clockwise, as shapely.affinity.rotate has it."""
    square = np.array([[0.0, 0.0], [2.0, 0.0], [2.0, 1.0], [0.0, 1.0]])
    theirs = affinity.rotate(Polygon(square), 37.0, origin=(3.0, -1.0))
    assert np.allclose(turned(square, math.radians(37.0), (3.0, -1.0)), np.array(theirs.exterior.coords)[:-1], atol=1e-14)


def test_turned_broadcasts_angles_over_points():
    """Many angles for one point give one point each."""
    assert np.allclose(turned([2.0, 0.0], np.array([0.0, math.pi / 2, math.pi])), [[2, 0], [0, 2], [-2, 0]], atol=1e-15)


@pytest.mark.parametrize("error", [0.1, 1e-3, 1e-5])
def test_arc_keeps_its_chord_error_and_wastes_no_points(error):
    """Every chord lies within the error of the circle, and one point fewer would not do."""
    points = arc((1.0, 2.0), 5.0, 0.3, -2.0, error)
    assert np.allclose(points[[0, -1]], polar(5.0, [0.3, -2.0]) + np.array([1.0, 2.0]))
    sag = [5.0 - LineString(points[i : i + 2]).distance(Point(1.0, 2.0)) for i in range(len(points) - 1)]
    assert max(sag) <= error * (1 + 1e-9)
    one_fewer = 2.3 / (len(points) - 2) if len(points) > 2 else math.inf
    assert 5.0 * (1 - math.cos(min(one_fewer / 2, math.pi))) > error


def test_line_circle_meets_where_shapely_says():
    """The two crossings lie where shapely finds a fine circle crossed; a line that misses says nan."""
    t = line_circle([-3.0, 0.5], [2.0, 0.25], [0.2, 0.1], 1.5)
    ring = Point(0.2, 0.1).buffer(1.5, quad_segs=4096).exterior
    crossing = sorted(p.x for p in ring.intersection(LineString([(-3.0, 0.5), (13.0, 2.5)])).geoms)
    assert np.allclose(-3.0 + 2.0 * t, crossing, atol=1e-6)
    assert np.isnan(line_circle([0.0, 2.0], [1.0, 0.0], [0.0, 0.0], 1.0)).all()


def test_cross_takes_counter_clockwise_as_positive():
    """Half the cross product of two sides is a triangle's area as shapely has it, > 0 where the second lies to the left."""
    assert cross([4.0, 0.0], [1.0, 3.0]) / 2 == pytest.approx(Polygon([(0, 0), (4, 0), (1, 3)]).area)
    assert cross([1.0, 3.0], [4.0, 0.0]) < 0
