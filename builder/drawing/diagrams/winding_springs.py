"""The winding of an open spring and of a going barrel: the spring from the front, a section beside it, the ratchet below."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from builder.drawing.path import View, circle, closed
from builder.drawing.sheet import Figure, Shape
from builder.drawing.source import section, spring
from builder.drawing.source.coil_section import coil_sections
from builder.drawing.source.hold import Hold, end_on, hold, seated, wheel_figure
from builder.drawing.source.run import Run
from builder.drawing.source.sized import coils_said, great_wheel, lays, names, say, strip_said, teeth_said, wound_from_back
from builder.drawing.source.strip import Bow
from builder.drawing.source.views import Named, Spot, Views, group, put
from builder.going.going import Going
from builder.ground.wording import Wording
from builder.parts.source.going_barrel import GoingBarrel
from builder.parts.source.open_spring import OpenSpring
from builder.parts.source.winding import states

PLAN_PX = 540.0
"""Across the front view."""
GAP_PX = 70.0
LINE_PX = 66.0
"""From the drawing to a line of balloons."""
HOLD_PX = 250.0
"""Across the view of ratchet and click."""
PILLAR = (0.03, 0.06)
"""Least and most radius of a spring's pillar, by the room's diameter (as drawn: the file has none)."""
LEFT, RIGHT = 0, 1


@dataclass(frozen=True)
class Beside:
    """Where the section stands, and under it the view of the ratchet; the whole's right and lower edge."""

    cut: section.Section
    at: Spot
    hold: Spot | None
    right: float
    bottom: float

    def spot(self, part: str) -> Spot:
        """Where a leader to a part of the section ends."""
        return put(self.cut.spots[part], self.at)


def going_barrel(going: Going, run: Run, wording: Wording) -> Views | None:
    """None where strip or barrel were not measured."""
    source = going.movement.source
    assert isinstance(source, GoingBarrel)
    barrel, strip = source.barrel, source.spring
    if strip is None or barrel is None:
        return None
    called, wheel, coils_at = names(wording), great_wheel(going), lays(source)
    view, back = View(PLAN_PX / 2 / wheel.gear.tip_mm), wound_from_back(going.movement)
    sprung = spring.in_barrel(coils_at, run, run.turns)
    arbor, inside, outside = barrel.arbor_diameter_mm / 2, barrel.inside_diameter_mm / 2, barrel.outside_mm / 2
    body = Figure(
        wheel.id, called["barrel"], moves=(run.turning(view),),
        shapes=(Shape(closed(view.px(wheel.gear.outline()), 1), "brass wheel"), *spring.open_barrel(barrel, view)),
        inner=(spring.strip_figure(sprung, view, called["mainspring"]), spring.outer_hook(sprung, view, called["outer-end"])),
    )  # fmt: skip
    held = hold(going, run.sense)
    square = source.square_mm or spring.SQUARE * barrel.arbor_diameter_mm
    cut = section.going_barrel(
        view, called, wheel.id, (arbor, inside, outside, wheel.gear.tip_mm),
        (strip.height_mm, barrel.height_mm or 1.1 * strip.height_mm), barrel.cover != "none", held, square, back,
    )  # fmt: skip
    coils = coil_sections(coils_at, run, view, cut.room, sprung.inner_rad, sprung.mirrored, outer_stands=False)
    side = _beside(cut, held)
    figures = [body, spring.arbor_figure(sprung, view, called, "barrel-arbor", None if back else square)]
    figures += [*_packs(going, sprung, view), group([*cut.under, *coils, *cut.over], side.at)]
    held_turn = sprung.inner_rad + sprung.way * 2 * math.pi * 0.14  # the quarter turn that never leaves the arbor
    named = [
        Named(
            "mainspring", "mainspring", _at(view, held_turn, arbor + 0.14 * strip.thickness_mm), LEFT, strip_said(wording, strip)
        ),
        Named("inner-end", "inner-end", _at(view, sprung.inner_rad, arbor), LEFT),
        Named("outer-end", "outer-end", side.spot("outer-end"), RIGHT),
        Named("barrel-arbor", "barrel-arbor", _at(view, 3.5, 0.8 * arbor), LEFT, say(wording, "across", diameter=2 * arbor)),
        Named(
            wheel.id, "barrel", _at(view, 3.7, (outside + wheel.gear.root_mm) / 2), LEFT, teeth_said(wording, wheel.gear.teeth)
        ),
    ]
    if barrel.cover != "none":
        named.append(Named("cover", "cover", side.spot("cover"), RIGHT))
    if held and side.hold:
        seen = View(HOLD_PX / 2 / held.reach_mm, back)
        plate = Figure("plates", None, shapes=(Shape(circle(HOLD_PX / 2), "plate"),))
        figures.append(group([plate, *seated(held, seen, called), end_on(square, seen, called)], side.hold))
        ratchet, click = (seen.px(np.array(p)) for p in ((-0.5 * held.tip_mm, -0.55 * held.tip_mm), held.screw_mm))
        named.append(
            Named("ratchet-wheel", "ratchet-wheel", put(_spot(ratchet), side.hold), RIGHT, teeth_said(wording, held.teeth))
        )
        named.append(Named("click", "click", put(_spot(click), side.hold), RIGHT))
    named.append(_square(square, side, wording))
    return _views(wording, sprung, figures, side, named)


def open_spring(going: Going, run: Run, wording: Wording) -> Views | None:
    """None where strip, arbor or room were not measured."""
    source = going.movement.source
    assert isinstance(source, OpenSpring)
    strip, distance = source.spring, source.pillar_distance_mm
    if strip is None or source.arbor_diameter_mm is None or source.room_diameter_mm is None or distance is None:
        return None
    called, wheel, coils_at = names(wording), great_wheel(going), lays(source)
    back, arbor, room = wound_from_back(going.movement), source.arbor_diameter_mm / 2, source.room_diameter_mm / 2
    h, down = strip.thickness_mm, coils_at(0.0)
    pillar = min(max(down.radii_mm[3] - h / 2 - distance, PILLAR[0] * 2 * room), PILLAR[1] * 2 * room)
    bow = Bow(distance - pillar - 1.6 * h, distance + pillar + h / 2)
    sprung = spring.on_pillar(coils_at, run, math.radians(source.pillar_deg), bow)
    view = View(PLAN_PX / 2 / max(room + bow.shift_mm(down), distance + pillar + h))
    held = hold(going, run.sense)
    square = source.square_mm or spring.SQUARE * 2 * arbor
    plates = going.movement.plates
    cut = section.open_spring(
        view, called, wheel.id, (arbor, room, wheel.gear.tip_mm), strip.height_mm,
        plates.thickness_mm if plates else 0.06 * room, (distance * math.sin(sprung.outer_rad), pillar), held, square, back,
    )  # fmt: skip
    coils = coil_sections(coils_at, run, view, cut.room, sprung.outer_rad, sprung.mirrored, outer_stands=True, bow=bow)
    side = _beside(cut, held)
    turning = spring.arbor_figure(sprung, view, called, "great-arbor", None if back else square)
    figures = [
        spring.strip_figure(sprung, view, called["mainspring"]),
        Figure(None, None, moves=(run.turning(view),), inner=(turning,)),
        spring.pillar_figure(sprung, view, distance, pillar, called["outer-end-pillar"]),
        *_packs(going, sprung, view),
        group([*cut.under, *coils, *cut.over], side.at),
    ]
    lead = sprung.outer_rad - sprung.way * 0.12  # hard by the pillar the strip hardly moves
    named = [
        Named("mainspring", "mainspring", _at(view, lead, distance + pillar), LEFT, strip_said(wording, strip)),
        Named("inner-end", "inner-end", side.spot("inner-end"), RIGHT),
        Named("outer-end", "outer-end-pillar", _at(view, sprung.outer_rad, distance), LEFT),
        Named("great-arbor", "great-arbor", _at(view, math.pi, 0.5 * arbor), LEFT, say(wording, "across", diameter=2 * arbor)),
        Named(wheel.id, "great-wheel", side.spot(wheel.id), RIGHT, teeth_said(wording, wheel.gear.teeth)),
    ]
    if held and side.hold:
        seen = View(HOLD_PX / 2 / wheel.gear.tip_mm, back)
        inner = (wheel_figure(wheel, seen, held), *seated(held, seen, called), end_on(square, seen, called))
        figures.append(Figure(None, None, side.hold, moves=(run.turning(seen),), inner=inner))
        named.append(Named("ratchet-wheel", "ratchet-wheel", side.spot("ratchet-wheel"), RIGHT, teeth_said(wording, held.teeth)))
        named.append(Named("click", "click", side.spot("click"), RIGHT))
    named.append(_square(square, side, wording))
    return _views(wording, sprung, figures, side, named)


def _beside(cut: section.Section, held: Hold | None) -> Beside:
    half = PLAN_PX / 2
    width = max(cut.right - cut.left, HOLD_PX if held else 0.0)
    middle = half + GAP_PX + width / 2
    at = (middle - (cut.left + cut.right) / 2, 0.0)
    if held is None:
        return Beside(cut, at, None, half + GAP_PX + width, half + 150)
    hold_y = half + 44 + HOLD_PX / 2
    return Beside(cut, at, (middle, hold_y), half + GAP_PX + width, hold_y + HOLD_PX / 2)


def _views(wording: Wording, sprung: spring.Sprung, figures: list[Figure], side: Beside, named: list[Named]) -> Views:
    half = PLAN_PX / 2
    return Views(
        tuple(figures), (-half, -1.07 * half, side.right, side.bottom), (-half - LINE_PX, side.right + LINE_PX),
        (half + side.bottom) / 2 + 30, (-half + 8, half - 24 if side.hold else side.right - 8), tuple(named),
        lambda left: coils_said(wording, sprung.coils_at(left)),
    )  # fmt: skip


def _packs(going: Going, sprung: spring.Sprung, view: View) -> list[Figure]:
    """The packs of each state that can be chosen."""
    named = {state.name: state.turns_left for state in states(sprung.run.turns)}
    return [spring.packs(sprung, view, named[winding.name], winding.name) for winding in going.windings]


def _square(square_mm: float, side: Beside, wording: Wording) -> Named:
    return Named("winding-square", "winding-square", side.spot("winding-square"), RIGHT, say(wording, "flats", across=square_mm))


def _at(view: View, angle: float, radius_mm: float) -> Spot:
    return _spot(view.px(radius_mm * np.array([np.cos(angle), np.sin(angle)])))


def _spot(px: np.ndarray) -> Spot:
    return float(px[0]), float(px[1])
