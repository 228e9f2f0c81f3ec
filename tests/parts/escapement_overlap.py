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


def wheels(draft, phi):
    """What of the escape wheel lies in the plane of the pallets, turned to phi (K,), as polygons (K,)."""
    if not draft.hollow:
        return polygons(draft.wheel.outline_mm, phi)
    tooth = np.array([edge.start_mm for edge in draft.tooth.edges])
    near = np.round((np.pi / 2 - phi) / draft.pitch_rad)[:, None] + np.arange(-2, 4)
    teeth = [polygons(tooth, phi + near[:, i] * draft.pitch_rad) for i in range(near.shape[1])]
    return shapely.union_all(np.array(teeth), axis=0)


def thickness_mm(one, other):
    """How thick the thickest common piece of two sets of polygons is: twice its area by its girth, exact for a sliver."""
    common = shapely.intersection(one, other)
    parts, _ = shapely.get_parts(common, return_index=True)
    parts = parts[shapely.area(parts) > 0]
    return float(np.max(2 * shapely.area(parts) / shapely.length(parts), initial=0.0))


def meets(one, other):
    """Which pairs of polygons have area in common (K,)."""
    return shapely.area(shapely.intersection(one, other)) > 0


def instants(action, draft, count):
    """Pallet angles, wheel angles and steepness (K,) through both swings, about `count` to a swing, from each piece's start to a
    hundredth before its end, where a tooth may already be let off.

    Steepness is how much faster the wheel's rim moves than the pallet where they touch."""
    rows = []
    for swing in (action.up, action.down):
        for piece in swing.pieces:
            part = abs(piece.end_rad - piece.start_rad) / (2 * action.reach_rad)
            along = np.minimum(np.linspace(0, 1, max(8, int(part * count))), 0.99)
            theta = piece.start_rad + along * (piece.end_rad - piece.start_rad)
            x, y = (axis(theta) for axis in piece.touch_mm)
            faster = np.abs(piece.slope(theta)) * np.hypot(x, y) / np.hypot(x, y - draft.centre_mm)
            rows.append((theta, piece.wheel_rad(theta), faster))
    return tuple(np.concatenate(column) for column in zip(*rows, strict=True))
