"""How drawn parts of an escapement stand to each other, by shapely, at many instants at once."""

import numpy as np
import shapely

from builder.ground.geometry import turned


def polygons(outline, angle_rad, about=(0.0, 0.0), offset=(0.0, 0.0)):
    """A drawn outline turned to angles (K,), as polygons (K,), each valid, not empty and counter-clockwise round its material."""
    placed = turned(np.asarray(outline)[None, :, :], np.asarray(angle_rad)[:, None], about) + np.asarray(offset)
    shapes = shapely.polygons(placed)
    assert np.all(shapely.is_valid(shapes)) and np.all(shapely.area(shapes) > 0)
    assert np.all(shapely.is_ccw(shapely.get_exterior_ring(shapes)))
    return shapes


def thickness_mm(one, other):
    """How thick the thickest common piece of two sets of polygons is: twice its area by its girth, exact for a sliver."""
    common = shapely.intersection(one, other)
    parts, _ = shapely.get_parts(common, return_index=True)
    parts = parts[shapely.area(parts) > 0]
    return float(np.max(2 * shapely.area(parts) / shapely.length(parts), initial=0.0))


def meets(one, other):
    """Which pairs of polygons have area in common (K,)."""
    return shapely.area(shapely.intersection(one, other)) > 0


def instants(action, count):
    """Pallet angles, wheel angles and slopes (K,) through both swings, about `count` to a swing, from each piece's start to a
    hundredth before its end, where a tooth may already be let off."""
    rows = []
    for swing in (action.up, action.down):
        for piece in swing.pieces:
            part = abs(piece.end_rad - piece.start_rad) / (2 * action.reach_rad)
            along = np.minimum(np.linspace(0, 1, max(8, int(part * count))), 0.99)
            theta = piece.start_rad + along * (piece.end_rad - piece.start_rad)
            rows.append((theta, piece.wheel_rad(theta), piece.slope(theta)))
    return tuple(np.concatenate(column) for column in zip(*rows, strict=True))
