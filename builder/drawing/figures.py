"""One drawn part each: wheel, pinion, arbor, hand, plate, as figures that a sheet can stack."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import groupby

import numpy as np

from builder.drawing import shapes
from builder.drawing.moves import arbor_move
from builder.drawing.path import View, circle, closed, number
from builder.drawing.sheet import Figure, Shape, Words
from builder.going.going import Going
from builder.going.placed import Toothing
from builder.parts.source.going_barrel import GoingBarrel
from builder.parts.teeth.gear import Gear

GAP_PX = 1.6
"""Paper left round a wheel so that it reads over another."""

MATERIAL_CLASS = {"brass": "brass", "steel": "steel", "nickel silver": "nickel"}

HOUR_FIGURES = {"roman": ("XII", "I", "II", "III", "IIII", "V", "VI", "VII", "VIII", "IX", "X", "XI")}


def px_at(view: View, point_mm: Sequence[float]) -> tuple[float, float]:
    x, y = view.px(np.asarray(point_mm, dtype=float))
    return round(float(x), 2), round(float(y), 2)


def toothing(going: Going, part: Toothing, view: View) -> Figure:
    """A wheel or pinion, turning as computed, its teeth in phase with its mates."""
    gear = part.gear
    scale = view.scale
    arbor_mm = going.plan.arbor_mm[part.arbor]
    material = MATERIAL_CLASS[part.material]
    if part.wheel:
        hub = max(2.1 * arbor_mm, 0.13 * gear.root_mm)
        body = _wheel_path(gear, part.arms, hub, view)
        inner = [Shape(body, f"{material} wheel")]
        if isinstance(going.movement.source, GoingBarrel) and part.arbor == going.movement.source.arbor:
            inner += _drum(going.movement.source, gear, scale)
        if part.arms:
            inner.append(Shape(circle(1.55 * arbor_mm * scale), f"{material} collet"))
    else:
        inner = [Shape(_pinion_path(gear, view), f"{material} pinion")]
    if not (part.key and part.key[0] == "motion_work" and part.part != "report"):
        inner.append(Shape(circle(arbor_mm * scale), "steel arbor"))
    move = arbor_move(going.motion, going.train, part.arbor, view, gear.tip_mm * scale)
    return Figure(
        part=part.id,
        label=f"{part.title}, {gear.teeth} {part.noun}",
        at=px_at(view, going.plan.centres[part.arbor]),
        turned_deg=view.turn_deg(math.degrees(part.phase_rad)),
        moves=(move,),
        shapes=tuple(inner),
    )


def ring(going: Going, part: Toothing, view: View) -> Figure:
    """The gap of paper round a wheel. What lies beneath is drawn before it; what meshes with the wheel, after it."""
    gap = Shape(circle(part.gear.tip_mm * view.scale + GAP_PX / 2), "gap")
    return Figure(None, None, px_at(view, going.plan.centres[part.arbor]), shapes=(gap,))


def toothed(going: Going, parts: Iterable[Toothing], view: View) -> list[Figure]:
    """Wheels and pinions with their gaps, back to front. Those that mesh lie at one level."""
    found = []
    for _, level in groupby(sorted(parts, key=lambda part: part.level), key=lambda part: part.level):
        beside = list(level)
        found += [ring(going, part, view) for part in beside if part.wheel]
        found += [toothing(going, part, view) for part in beside]
    return found


def _drum(barrel: GoingBarrel, gear: Gear, scale: float) -> list[Shape]:
    """The drum under the barrel's teeth, with its cover."""
    inside = barrel.barrel.inside_diameter_mm / 2 * scale if barrel.barrel else 0.86 * gear.root_mm * scale
    edge, notch = barrel_cover(inside)
    return [edge, Shape(circle(inside * 0.34), "detail"), notch]


def barrel_cover(inside_px: float) -> tuple[Shape, Shape]:
    """A barrel's cover snapped in: its edge, and the notch by which it is lifted out."""
    n = 0.1 * inside_px
    notch = f"M{number(9 * n)} {number(-n)}h{number(n)}v{number(2 * n)}h{number(-n)}"
    return Shape(circle(inside_px), "detail"), Shape(notch, "detail")


@lru_cache(maxsize=256)
def _wheel_path(gear: Gear, arms: int, hub_mm: float, view: View) -> str:
    return shapes.crossed_wheel(gear.outline(), gear.root_mm, gear.module_mm, arms, hub_mm, view)


@lru_cache(maxsize=256)
def _pinion_path(gear: Gear, view: View) -> str:
    return closed(view.px(gear.outline()), 2)


def hand(going: Going, shows: str, carrier: str, view: View, length_px: float) -> Figure:
    """A hand on the arbor that carries it; at t = 0 it points to 12."""
    draw = {"minutes": shapes.minute_hand, "hours": shapes.hour_hand, "seconds": shapes.seconds_hand}[shows]
    name = {"minutes": "Minute hand", "hours": "Hour hand", "seconds": "Seconds hand"}[shows]
    return Figure(
        part=f"{shows.rstrip('s')}-hand" if shows != "seconds" else "seconds-hand",
        label=name,
        at=px_at(view, going.plan.centres[carrier]),
        moves=(arbor_move(going.motion, going.train, carrier, view, length_px),),
        shapes=(Shape(draw(length_px), "blued hand"),),
    )


def plate(going: Going, view: View) -> Figure | None:
    """The plate in outline with its pillars and pivot holes; None where the file has no plates."""
    plates = going.movement.plates
    if plates is None:
        return None
    width = plates.width_mm * view.scale
    height = (plates.height_mm or plates.width_mm) * view.scale
    inset = 0.07 * min(width, height)
    if plates.shape == "round":
        outline = circle(width / 2)
        turns = [2 * math.pi * (k + 0.5) / plates.pillars for k in range(plates.pillars)]
        posts = [((width / 2 - inset) * math.cos(a), (width / 2 - inset) * math.sin(a)) for a in turns]
    else:
        outline = shapes.rounded_box(width, height, inset / 2)
        posts = _posts(plates.pillars, width / 2 - inset, height / 2 - inset)
    if plates.pillars_at_mm:
        cx, cy = px_at(view, plates.centre_mm)
        posts = [(x - cx, y - cy) for x, y in (px_at(view, place) for place in plates.pillars_at_mm)]
    pillar = 0.028 * min(width, height)
    drawn = [Shape(outline, "plate")]
    for x, y in posts:
        drawn.append(Shape(circle(pillar, (x, y)), "brass pillar"))
    return Figure("plates", "Plate with its pillars, in outline", px_at(view, plates.centre_mm), shapes=tuple(drawn))


def _posts(count: int, w: float, h: float) -> list[tuple[float, float]]:
    corners = [(-w, -h), (w, -h), (w, h), (-w, h), (0.0, -h), (0.0, h), (-w, 0.0), (w, 0.0)]
    if count == 3:
        return [(-w, -h), (w, -h), (0.0, h)]
    return corners[:count] if count != 2 else [(-w, 0.0), (w, 0.0)]


def dial(going: Going, view: View, radius_px: float) -> Figure:
    """Hour circle and minute marks; the figures stand upright as far as a dial's do."""
    hours = going.movement.motion_work.dial_hours if going.movement.motion_work else 12
    style = going.movement.dial.numerals if going.movement.dial else "roman"
    marks = []
    for minute in range(60):
        angle = math.radians(6 * minute)
        inner = 0.93 if minute % 5 else 0.90
        x, y = math.sin(angle), -math.cos(angle)
        marks.append(
            f"M{x * inner * radius_px:.1f} {y * inner * radius_px:.1f}L{x * 0.965 * radius_px:.1f} {y * 0.965 * radius_px:.1f}"
        )
    words = []
    if style != "none":
        for hour in range(hours):
            angle = 2 * math.pi * hour / hours
            text = HOUR_FIGURES["roman"][hour] if style == "roman" and hours == 12 else str(hour or hours)
            words.append(Words(0.8 * radius_px * math.sin(angle), -0.8 * radius_px * math.cos(angle), text, "numeral"))
    centre = going.plan.centres[_dial_centre(going)]
    return Figure(
        "dial",
        "Dial",
        px_at(view, centre),
        shapes=(
            Shape(circle(radius_px), "silvered"),
            Shape(circle(0.965 * radius_px), "detail"),
            Shape("".join(marks), "detail"),
        ),
        words=tuple(words),
    )


def _dial_centre(going: Going) -> str:
    for shows in ("minutes", "hours"):
        for what, carrier in going.train.hands:
            if what == shows:
                return carrier
    return going.train.path[0]


def balance_radius_mm(going: Going) -> float:
    """Radius over the balance's rim, 0 for a pendulum."""
    return float(getattr(going.movement.oscillator, "diameter_mm", 0.0)) / 2
