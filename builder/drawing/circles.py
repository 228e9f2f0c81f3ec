"""The train as its pitch circles, each arbor by name, with arrows for the way that it turns: a drawing to draw on."""

from __future__ import annotations

import math
from collections.abc import Collection

import numpy as np

from builder.drawing.balloons import Target, balloons
from builder.drawing.figures import px_at
from builder.drawing.handout import named
from builder.drawing.path import View, circle
from builder.drawing.shapes import sense_arrow
from builder.drawing.sheet import Figure, Shape, Sheet
from builder.going.going import Going

SIDE_PX = 620.0
MARGIN_PX = 90.0


def circles(going: Going, title: str, desc: str, back: bool, arrows: Collection[str]) -> Sheet:
    """Seen from the front or from the back; `arrows` are the arbors that have theirs."""
    plan, train = going.plan, going.train
    radii = {name: _radii(going, name) for name in train.path}
    spots = np.array([plan.centres[name] for name in train.path])
    reach = np.array([[max(radii[name].values())] for name in train.path])
    low, high = np.min(spots - reach, axis=0), np.max(spots + reach, axis=0)
    view = View(SIDE_PX / float(max(high - low)), back)
    figures = [_arbor(going, name, radii[name], view) for name in train.path]
    middle = view.px(spots).mean(axis=0)
    figures += [_arrow(going, name, max(radii[name].values()), view, middle) for name in train.path if name in arrows]
    corners = view.px(np.array([low, high]))
    (left, top), (right, bottom) = corners.min(axis=0), corners.max(axis=0)
    targets = [Target(name, n, px_at(view, plan.centres[name])) for n, name in enumerate(train.path)]
    figures += balloons(targets, left - MARGIN_PX / 2, right + MARGIN_PX / 2, top + 20, bottom - 20)
    box = (left - MARGIN_PX, top - 16, right - left + 2 * MARGIN_PX, bottom - top + 32)
    sheet = Sheet("circles", title, desc, tuple(float(v) for v in box), tuple(figures))  # type: ignore[arg-type]
    return named(sheet, {name: train[name].title for name in train.path}, numbers=False)


def _radii(going: Going, arbor: str) -> dict[str, float]:
    """Pitch circles on an arbor, mm; of the escape wheel the circle of its tips."""
    found = {
        "wheel" if t.wheel else "pinion": t.gear.pitch_mm
        for t in going.plan.toothings
        if t.arbor == arbor and t.part in ("wheel", "pinion")
    }
    if arbor == going.train.path[-1] and going.plan.draft is not None:
        found["wheel"] = going.plan.draft.tip_mm
    return found


def _arbor(going: Going, arbor: str, radii: dict[str, float], view: View) -> Figure:
    at = px_at(view, going.plan.centres[arbor])
    shapes = [
        Shape(circle(radius * view.scale, places=1), "outline" if part == "wheel" else "detail") for part, radius in radii.items()
    ]
    return Figure(None, None, at, shapes=(*shapes, Shape("M-7 0h14M0-7v14", "detail")))


def _arrow(going: Going, arbor: str, radius_mm: float, view: View, middle: np.ndarray) -> Figure:
    """An arc outside the arbor's largest circle on the side where the others are not, its head the way that the arbor turns."""
    at = np.array(px_at(view, going.plan.centres[arbor]))
    away = at - middle
    centre = math.atan2(away[1], away[0]) if np.hypot(*away) > 1 else -math.pi / 2
    radius = max(0.82 * radius_mm * view.scale, 22.0)
    d = sense_arrow(radius, centre, going.train[arbor].clockwise != view.back)
    return Figure(None, None, (float(at[0]), float(at[1])), classes=f"arrow {arbor}", shapes=(Shape(d, "sense"),))
