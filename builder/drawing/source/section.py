"""Sections through the axis of a spring's arbor, drawn to the right of the front view on the same heights, front side left.

Sizes along the arbor are those of the file where it has them (strip, barrel, plates); floors, gaps, squares and pivots follow
common practice (no source) and carry no weight in any computation.
"""

from __future__ import annotations

from dataclasses import dataclass

from builder.drawing.path import View, number
from builder.drawing.sheet import Figure, Shape
from builder.drawing.source.cut import Box, box_d, cut
from builder.drawing.source.hold import Hold
from builder.drawing.source.views import Spot

Stretch = tuple[float, float]
"""Along the axis, px: the end nearer to the winding square, and the further one."""


@dataclass(frozen=True)
class Section:
    """What is drawn, back to front, without the coils; where they go; and where leaders end. px, the axis at y = 0."""

    under: tuple[Figure, ...]
    over: tuple[Figure, ...]
    """What lies over the coils."""
    room: Stretch
    """Left and right edge of the strip."""
    spots: dict[str, Spot]
    left: float
    right: float


@dataclass
class Axis:
    """Places along the arbor, laid one after the other from the winding square on."""

    scale: float
    way: int
    """+1 where the square stands at the left, the front; −1 where it stands at the back."""
    x: float = 0.0

    def go(self, mm: float) -> Stretch:
        """The next stretch."""
        start, self.x = self.x, self.x + self.way * mm * self.scale
        return start, self.x


def going_barrel(
    view: View,
    names: dict[str, str],
    wheel: str,
    radii_mm: tuple[float, float, float, float],
    heights_mm: tuple[float, float],
    covered: bool,
    held: Hold | None,
    square_mm: float,
    from_back: bool,
) -> Section:
    """Radii: arbor, inside, outside of the wall, over the teeth. Heights: strip, clear inside.

    From the square: ratchet and click, plate, cover, spring, floor with the teeth on its rim, plate.
    """
    arbor, inside, outside, tip = (r * view.scale for r in radii_mm)
    strip_mm, clear_mm = heights_mm
    thin = max(radii_mm[2] - radii_mm[1], 0.06 * clear_mm)
    pivot = 0.55 * arbor
    axis = Axis(view.scale, -1 if from_back else 1)
    square = axis.go(0.42 * radii_mm[0] + 1.2 * thin)
    ratchet = axis.go(1.1 * thin) if held else (axis.x, axis.x)
    axis.go(0.25 * thin)
    near = axis.go(1.3 * thin)
    axis.go(0.7 * thin)
    cover = axis.go(thin if covered else 0.0)
    room = axis.go(clear_mm)
    floor = axis.go(1.3 * thin)
    axis.go(0.7 * thin)
    far = axis.go(1.3 * thin)
    end = axis.go(0.5 * thin)
    middle, half = (room[0] + room[1]) / 2, strip_mm * view.scale / 2
    rim = (floor[1] - axis.way * max(0.24 * (clear_mm + thin), 1.6 * thin) * view.scale, floor[1])
    edge = 1.06 * tip
    body = [*both((cover[0], room[1]), inside, outside), *both(floor, pivot, outside), *both(rim, outside, tip)]
    under = [
        Figure("plates", None, shapes=cut([*both(near, 1.3 * pivot, edge), *both(far, 1.05 * pivot, edge)], "plate")),
        Figure(wheel, names["barrel"], shapes=cut(body, "brass")),
    ]
    if covered:
        under.append(Figure("cover", names["cover"], shapes=cut(both(cover, pivot, inside), "brass cover")))
    steps = [(square[1], 0.8 * pivot), (cover[0], pivot), (room[0], arbor), (room[1], pivot), (end[1], 0.0)]
    stud = box_d((middle - 0.28 * half, inside - 0.3 * (outside - inside), middle + 0.28 * half, (inside + outside) / 2))
    over = [
        Figure("barrel-arbor", names["barrel-arbor"], shapes=(Shape(turned_d(steps), "steel arbor"),)),
        inner_hook(names, middle, arbor, half),
        Figure("outer-end", names["outer-end"], shapes=(Shape(stud, "steel hook"),)),
        *square_figures(names, (square[0], ratchet[1]), min(square_mm * view.scale / 2, 0.8 * pivot / 0.707)),
    ]
    spots = {
        "cover": ((cover[0] + cover[1]) / 2, -0.72 * inside),
        "outer-end": (middle, inside),
        "winding-square": ((square[0] + square[1]) / 2, 0.0),
    }
    if held:
        over += hold_figures(names, held, view.scale, ratchet, near)
        spots["ratchet-wheel"] = ((ratchet[0] + ratchet[1]) / 2, 0.6 * held.tip_mm * view.scale)
    return finished(axis, under, over, middle, half, spots, end)


def open_spring(
    view: View,
    names: dict[str, str],
    wheel: str,
    radii_mm: tuple[float, float, float],
    strip_mm: float,
    plate_mm: float,
    pillar_mm: tuple[float, float],
    held: Hold | None,
    square_mm: float,
    from_back: bool,
) -> Section:
    """Radii: arbor, room, great wheel over its teeth. `pillar_mm`: its height above the axis, its radius.

    From the square: plate, great wheel with the click on it, ratchet, spring, plate. The pillar stands behind the cut.
    """
    arbor, room_radius, tip = (r * view.scale for r in radii_mm)
    pivot = 0.62 * arbor
    axis = Axis(view.scale, -1 if from_back else 1)
    square = axis.go(1.1 * radii_mm[0] + plate_mm)
    near = axis.go(plate_mm)
    axis.go(0.5 * plate_mm)
    great = axis.go(1.1 * plate_mm)
    axis.go(0.1 * plate_mm)
    ratchet = axis.go(1.1 * plate_mm) if held else (axis.x, axis.x)
    axis.go(0.6 * plate_mm)
    room = axis.go(strip_mm)
    axis.go(0.8 * plate_mm)
    far = axis.go(plate_mm)
    end = axis.go(0.5 * plate_mm)
    edge = 1.06 * max(room_radius, tip)
    y, radius = -pillar_mm[0] * view.scale, pillar_mm[1] * view.scale
    post = whole((near[1], far[0]), radius, y)
    middle, half = (room[0] + room[1]) / 2, strip_mm * view.scale / 2
    under = [
        Figure("outer-end", names["outer-end-pillar"], shapes=(Shape(box_d(post), "brass pillar"),)),
        Figure("plates", None, shapes=cut([*both(near, 1.05 * pivot, edge), *both(far, 1.05 * pivot, edge)], "plate")),
        Figure(wheel, names["great-wheel"], shapes=cut(both(great, 0.9 * arbor, tip), "brass")),
    ]
    steps = [(square[1], pivot), (near[1], 0.9 * arbor), (great[1], arbor), (far[0], pivot), (end[1], 0.0)]
    over = [
        Figure("great-arbor", names["great-arbor"], shapes=(Shape(turned_d(steps), "steel arbor"),)),
        inner_hook(names, middle, arbor, half),
        *square_figures(names, square, min(square_mm * view.scale / 2, pivot / 0.707)),
    ]
    spots = {
        wheel: ((great[0] + great[1]) / 2, -0.8 * tip),
        "inner-end": (middle, 1.02 * arbor),
        "winding-square": ((square[0] + square[1]) / 2, 0.0),
    }
    if held:
        over += hold_figures(names, held, view.scale, ratchet, great)
        spots["ratchet-wheel"] = ((ratchet[0] + ratchet[1]) / 2, 0.6 * held.tip_mm * view.scale)
        spots["click"] = (spots["ratchet-wheel"][0], -held.screw_distance_mm * view.scale)
    return finished(axis, under, over, middle, half, spots, end)


def finished(
    axis: Axis, under: list[Figure], over: list[Figure], middle: float, half: float, spots: dict[str, Spot], end: Stretch
) -> Section:
    """With the axis drawn in, and what it takes up."""
    left, right = sorted((0.0, end[1]))
    line = Shape(f"M{number(left - 16, 1)} 0H{number(right + 16, 1)}", "axis")
    return Section(tuple(under), (*over, Figure(None, None, shapes=(line,))), (middle - half, middle + half), spots, left, right)


def both(x: Stretch, inner: float, outer: float) -> list[Box]:
    """A rectangle above and one below the axis."""
    left, right = sorted(x)
    return [(left, -outer, right, -inner), (left, inner, right, outer)]


def whole(x: Stretch, radius: float, y: float = 0.0) -> Box:
    """Right across the axis."""
    left, right = sorted(x)
    return left, y - radius, right, y + radius


def turned_d(steps: list[tuple[float, float]]) -> str:
    """A turned arbor: radii from place to place along the axis; the last radius is not used."""
    places = [number(x, 1) for x, _ in steps]
    upper = "".join(f"V{number(-r, 1)}H{x}" for (_, r), x in zip(steps, places[1:], strict=False))
    lower = "".join(f"V{number(r, 1)}H{x}" for (_, r), x in reversed(list(zip(steps, places, strict=True))[:-1]))
    return f"M{places[0]} 0{upper}{lower}z"


def inner_hook(names: dict[str, str], middle: float, arbor: float, half: float) -> Figure:
    """The hook for the inner end, turned into the plane of the section."""
    tall, wide = min(0.2 * arbor, 0.5 * half), 0.3 * half
    n = number
    nose = f"M{n(middle - wide, 1)} {n(arbor, 1)}L{n(middle, 1)} {n(arbor + tall, 1)}L{n(middle + wide, 1)} {n(arbor, 1)}z"
    return Figure("inner-end", names["inner-end"], shapes=(Shape(nose, "steel hook"),))


def square_figures(names: dict[str, str], x: Stretch, half: float) -> list[Figure]:
    """The square seen across its flats, with the diagonals that mark a flat face."""
    left, right = (number(each, 1) for each in sorted(x))
    low, high = number(-half, 1), number(half, 1)
    cross = f"M{left} {low}L{right} {high}M{left} {high}L{right} {low}"
    shapes = (Shape(box_d(whole(x, half)), "steel"), Shape(cross, "detail"))
    return [Figure("winding-square", names["winding-square"], shapes=shapes)]


def hold_figures(names: dict[str, str], held: Hold, scale: float, x: Stretch, on: Stretch) -> list[Figure]:
    """Ratchet in section, and the click with its screw into what carries it, turned into the plane of the section."""
    tip, root, screw = held.tip_mm * scale, held.root_mm * scale, held.screw_distance_mm * scale
    head = 0.1 * held.length_mm * scale
    face, into = (x[0], on[1]) if abs(on[0] - x[1]) < abs(on[1] - x[0]) else (x[1], on[0])
    outside = face + 0.35 * (face - x[1] if face == x[0] else face - x[0])
    teeth = "".join(f"M{number(min(x), 1)} {number(y, 1)}H{number(max(x), 1)}" for y in (-root, root))
    click = (min(x), -screw - 2 * head, max(x), -root)
    return [
        Figure("ratchet-wheel", names["ratchet-wheel"], shapes=(Shape(box_d(whole(x, tip)), "steel"), Shape(teeth, "detail"))),
        Figure(
            "click", names["click"],
            shapes=(
                Shape(box_d(click), "steel click"),
                Shape(box_d(whole((outside, into), 0.45 * head, -screw)), "steel detail"),
                Shape(box_d(whole((outside, face), head, -screw)), "steel detail"),
            ),
        ),
    ]  # fmt: skip
