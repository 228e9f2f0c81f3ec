"""Solids of pieces as shapely sees them, and movements laid out without solving their beat."""

from __future__ import annotations

from functools import cache, lru_cache
from pathlib import Path

from shapely import MultiPoint, Point, Polygon, box, unary_union
from shapely.geometry.base import BaseGeometry

from builder.going.going import Going
from builder.going.heights import elevation, storeyed
from builder.going.motion import nominal
from builder.going.plan import plan
from builder.going.solids import Outline, Region, Ring, Solid
from builder.going.train import train
from builder.movement.model import Movement
from builder.movement.reading import read

ROOT = Path(__file__).parents[2]
DEMO = sorted(path.parent.name for path in (ROOT / "models").glob("*/movement.toml"))
FINE = 64
"""Segments of a quarter circle: circles are 1.5e-4 of their radius too small at most."""
BOUND_MM = 1e4


def laid_out(movement: Movement, slug: str = "made-up") -> Going:
    """Train, plan and heights of a movement, stepping at the nominal beat. Raises Refused."""
    solved = train(movement)
    found = plan(movement, solved)
    heights = elevation(movement, solved, found)
    return Going(slug, movement, solved, storeyed(found, heights), nominal(solved), None, None, heights)


@cache
def demo(slug: str) -> Going:
    """A movement of the demo shelf."""
    return laid_out(read(ROOT / "models" / slug / "movement.toml", Movement, ROOT / "models"), slug)


@lru_cache(4096)
def shape(region: Region) -> BaseGeometry:
    """The region in plan; a plate is as wide as can be."""
    if isinstance(region, Ring):
        disc = Point(region.at).buffer(region.outer_mm, FINE)
        return disc.difference(Point(region.at).buffer(region.inner_mm, FINE)) if region.inner_mm > 0 else disc
    if isinstance(region, Outline):
        polygon = Polygon(region.points_mm)
        assert polygon.is_valid
        assert polygon.area > 0
        return polygon
    holes = [Point(hole.at).buffer(hole.radius_mm, FINE) for hole in region.holes]
    plate = box(-BOUND_MM, -BOUND_MM, BOUND_MM, BOUND_MM)
    for hole in holes:
        plate = plate.difference(hole)
    return plate


@lru_cache(4096)
def swept(region: Region, direction: tuple[float, float]) -> BaseGeometry:
    """All that a region covers on its way out in a direction: the hull of where it is and where it goes, piece by piece."""
    start = shape(region)
    points = list(start.exterior.coords)
    away = [(x + BOUND_MM * direction[0], y + BOUND_MM * direction[1]) for x, y in points]
    if isinstance(region, Ring):
        return MultiPoint([*points, *away]).convex_hull
    steps = [MultiPoint([*points[k : k + 2], *away[k : k + 2]]).convex_hull for k in range(len(points) - 1)]
    return unary_union([start, *steps])


def common_mm(a: Solid, b: Solid) -> float:
    """Height that two solids share, mm; below 0 the gap between them."""
    return min(a.high_mm, b.high_mm) - max(a.low_mm, b.low_mm)
