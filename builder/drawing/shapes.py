"""True forms in outline: crossed wheels, pinions, arbors, hands, plates. Each returns the `d` of one path in px.

Everything is drawn about its own centre; `View` scales from mm. Proportions of crossings, collets and hands follow common
practice (no source) and carry no weight in any computation.
"""

from __future__ import annotations

import numpy as np

from builder.drawing.path import Points, View, circle, closed, number


def crossed_wheel(
    outline_mm: Points, root_mm: float, module_mm: float, arms: int, hub_mm: float, view: View, places: int | None = None
) -> str:
    """Teeth outline with crossings: rim, `arms` tapered arms, hub. Fill rule even-odd. Solid where arms is 0. `places` are the
    outline's decimals; left out, as many as teeth of that size need to look true."""
    d = closed(view.px(outline_mm), places if places is not None else 1 if view.scale * module_mm > 6 else 2)
    rim_mm = root_mm - max(1.9 * module_mm, 0.055 * root_mm)
    if arms == 0 or rim_mm < 1.9 * hub_mm:
        return d
    return d + _crossings(rim_mm * view.scale, hub_mm * view.scale, arms)


def _crossings(rim: float, hub: float, arms: int) -> str:
    """Openings between the arms, corners rounded; rim and hub are radii in px."""
    at_rim, at_hub = 0.036 * rim + 0.7 * np.sqrt(rim) * 0.25, 0.055 * rim + 0.7 * np.sqrt(rim) * 0.25
    outer, inner = np.arcsin(at_rim / rim), np.arcsin(min(0.9, at_hub / hub))
    corner = 0.05 * rim
    d = ""
    for k in range(arms):
        start, end = 2 * np.pi * k / arms, 2 * np.pi * (k + 1) / arms
        a = _polar(rim, start + outer), _polar(rim, end - outer)
        b = _polar(hub, end - inner), _polar(hub, start + inner)
        if end - inner <= start + inner:  # the arms meet before the hub: the opening ends in a point between them
            middle = _polar(hub * 1.15, (start + end) / 2)
            b = middle, middle
        turn = corner / rim
        p1, p2 = _polar(rim, start + outer + turn), _polar(rim, end - outer - turn)
        q2, q1 = _towards(a[1], b[0], corner), _towards(a[0], b[1], corner)
        d += f"M{_xy(p1)}A{number(rim, 1)} {number(rim, 1)} 0 0 1 {_xy(p2)}Q{_xy(a[1])} {_xy(q2)}L{_xy(b[0])}"
        d += f"A{number(hub, 1)} {number(hub, 1)} 0 0 0 {_xy(b[1])}L{_xy(q1)}Q{_xy(a[0])} {_xy(p1)}z"
    return d


def _polar(r: float, angle: float) -> tuple[float, float]:
    return float(r * np.cos(angle)), float(r * np.sin(angle))


def _towards(a: tuple[float, float], b: tuple[float, float], distance: float) -> tuple[float, float]:
    length = float(np.hypot(b[0] - a[0], b[1] - a[1])) or 1.0
    share = min(0.4, distance / length)
    return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share


def _xy(point: tuple[float, float]) -> str:
    return f"{number(point[0], 1)} {number(point[1], 1)}"


def minute_hand(length_px: float) -> str:
    """A slender leaf-shaped hand pointing up from the origin, with its boss and eye."""
    return _leaf_hand(length_px, 0.012, 0.026, 0.72, 0.038)


def hour_hand(length_px: float) -> str:
    """Shorter and fuller than the minute hand, so that the two are told apart by form."""
    return _leaf_hand(length_px, 0.020, 0.066, 0.68, 0.062)


def seconds_hand(length_px: float) -> str:
    """A thin pointer with a counterpoise."""
    w, tail = max(0.012 * length_px, 0.6), 0.32 * length_px
    boss = 0.07 * length_px
    return (
        f"M{number(-w)} 0L0 {number(-length_px)}L{number(w)} 0L{number(w * 2.6)} {number(tail)}"
        f"L{number(-w * 2.6)} {number(tail)}z" + circle(boss)
    )


def _leaf_hand(length: float, root: float, belly: float, where: float, boss: float) -> str:
    w, b, y, r = root * length, belly * length, where * length, boss * length
    n = number
    return (
        f"M{n(-w)} {n(-r * 0.8)}L{n(-w * 0.8)} {n(-y * 0.72)}Q{n(-b)} {n(-y * 0.92)} {n(-b * 0.86)} {n(-y)}"
        f"Q{n(-b * 0.7)} {n(-y * 1.14)} {n(-w * 0.34)} {n(-length * 0.9)}L0 {n(-length)}L{n(w * 0.34)} {n(-length * 0.9)}"
        f"Q{n(b * 0.7)} {n(-y * 1.14)} {n(b * 0.86)} {n(-y)}Q{n(b)} {n(-y * 0.92)} {n(w * 0.8)} {n(-y * 0.72)}"
        f"L{n(w)} {n(-r * 0.8)}z" + circle(r) + circle(r * 0.42)
    )


def ring(outer_px: float, inner_px: float) -> str:
    """A flat ring (even-odd)."""
    return circle(outer_px) + circle(inner_px)


def sense_arrow(radius_px: float, middle_rad: float, clockwise: bool, head_px: float = 13.0, spread_deg: float = 48.0) -> str:
    """An arc about the origin with a head the way that something turns, so far to either side of its middle (0: to the right,
    clockwise on the screen)."""
    spread = np.radians(spread_deg) * (1 if clockwise else -1)
    (x0, y0), (x1, y1) = (_polar(radius_px, middle_rad - spread), _polar(radius_px, middle_rad + spread))
    along = middle_rad + spread + np.copysign(np.pi / 2, spread)
    head = [(x1 - head_px * np.cos(along + side), y1 - head_px * np.sin(along + side)) for side in (0.45, -0.45)]
    n = number
    d = f"M{n(x0)} {n(y0)}A{n(radius_px)} {n(radius_px)} 0 0 {int(clockwise)} {n(x1)} {n(y1)}"
    return d + "".join(f"M{n(x)} {n(y)}L{n(x1)} {n(y1)}" for x, y in head)


def rounded_box(width: float, height: float, corner: float) -> str:
    """A rectangle about the origin with rounded corners."""
    w, h, r, n = width / 2, height / 2, corner, number
    arc = f"a{n(r)} {n(r)} 0 0 1"
    return (
        f"M{n(-w + r)} {n(-h)}h{n(width - 2 * r)}{arc} {n(r)} {n(r)}v{n(height - 2 * r)}{arc} {n(-r)} {n(r)}"
        f"h{n(-(width - 2 * r))}{arc} {n(-r)} {n(-r)}v{n(-(height - 2 * r))}{arc} {n(r)} {n(-r)}z"
    )
