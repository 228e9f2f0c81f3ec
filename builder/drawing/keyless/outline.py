"""Places and outlines of the keyless work in px, y up as computed and y down as drawn."""

from __future__ import annotations

import numpy as np

from builder.drawing.path import View, number

VIEW = View(1.0)


def px(place: complex) -> tuple[float, float]:
    """A place as drawn."""
    x, y = VIEW.px(np.array([place.real, place.imag]))
    return round(float(x), 2), round(float(y), 2)


def rounded(corners: list[complex], radius: float) -> str:
    """A closed outline with its corners rounded off, the more the blunter; `radius` is cut from each side at most."""
    d = ""
    for before, at, after in zip([corners[-1], *corners[:-1]], corners, [*corners[1:], corners[0]], strict=True):
        start = at + (before - at) * min(0.45, radius / abs(before - at))
        end = at + (after - at) * min(0.45, radius / abs(after - at))
        d += f"{'L' if d else 'M'}{_xy(start)}Q{_xy(at)} {_xy(end)}"
    return d + "z"


def run(places: list[complex]) -> str:
    """An open line through places."""
    return "M" + "L".join(_xy(place) for place in places)


def bent(start: complex, over: complex, end: complex) -> str:
    """A curve from start to end, drawn towards `over`."""
    return f"M{_xy(start)}Q{_xy(over)} {_xy(end)}"


def _xy(place: complex) -> str:
    x, y = px(place)
    return f"{number(x, 1)} {number(y, 1)}"
