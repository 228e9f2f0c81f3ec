"""The winding of a fusee: barrel, chain and fusee from the front, and from the side below; the ratchet that lies in its foot."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from builder.drawing.path import View, circle
from builder.drawing.sheet import Figure, Shape
from builder.drawing.source import spring
from builder.drawing.source.chain import Chain
from builder.drawing.source.chain_side import ChainSide, from_the_side
from builder.drawing.source.hold import Hold, end_on, hold, seated, wheel_figure
from builder.drawing.source.run import Run
from builder.drawing.source.sized import coils_said, great_wheel, lays, names, say, strip_said, teeth_said, wound_from_back
from builder.drawing.source.views import Named, Spot, Views, group, put
from builder.going.going import Going
from builder.going.placed import Toothing
from builder.ground.wording import Wording
from builder.parts.source.barrel import Barrel
from builder.parts.source.fusee import Fusee
from builder.parts.source.winding import states

WIDE_PX = 720.0
"""Across the front view."""
CLEAR_MM = 1.5
"""Between the barrel with its chain and the great wheel (as drawn)."""
GAP_PX = 40.0
LINE_PX = 66.0
HOLD_PX = 230.0
"""Across the view of ratchet and click, on the middle of the great wheel."""
STRIP_BYTES = 30_000
"""Of text for the strip's key frames: the chain has as many."""


def fusee(going: Going, run: Run, wording: Wording) -> Views | None:
    """None where strip, barrel, line or cone were not measured. Seen from the side of the winding square."""
    source = going.movement.source
    assert isinstance(source, Fusee)
    barrel, chained = source.barrel, source.chained
    if chained is None or source.line is None or barrel is None or source.spring is None:
        return None
    called, wheel = names(wording), great_wheel(going)
    seen = replace(run, sense=-run.sense if wound_from_back(going.movement) else run.sense)
    reach_mm = chained.drum_mm + source.line.thickness_mm / 2
    apart_mm = reach_mm + wheel.gear.tip_mm + CLEAR_MM
    view = View(WIDE_PX / (wheel.gear.tip_mm + apart_mm + reach_mm))
    chain = Chain(source, chained, source.line, seen, view, apart_mm)
    held = hold(going, seen.sense)
    square = source.square_mm or 0.42 * chain.ends_mm()[1]
    plates = going.movement.plates
    clear = barrel.height_mm or 1.1 * source.spring.height_mm
    side = from_the_side(
        chain, barrel, wheel, held, called, plates.thickness_mm if plates else 0.1 * barrel.outside_mm, square,
        clear + 0.06 * barrel.inside_diameter_mm,
    )  # fmt: skip
    sprung = spring.in_barrel(lays(source), seen, chain.on_barrel(0.0))
    x_barrel, tip = chain.side * apart_mm * view.scale, wheel.gear.tip_mm * view.scale
    left, right = sorted((-chain.side * tip, x_barrel + chain.side * reach_mm * view.scale))
    below = (0.0, tip + GAP_PX - side.top)
    low = below[1] + side.bottom
    figures = [
        *_fusee_front(chain, wheel, held, square, called),
        group(_barrel_front(going, chain, barrel, sprung, called), (x_barrel, 0.0)),
        chain.running(called["chain"]), group(side.figures, below),
    ]  # fmt: skip
    bottom = low + 150.0
    scale_x = (left + 8, right - 8)
    hold_at = None
    if held:
        near = View(HOLD_PX / 2 / held.reach_mm)
        hold_at = ((right - HOLD_PX / 2) if chain.side < 0 else (left + HOLD_PX / 2), low + 30 + HOLD_PX / 2)
        middle = Figure(wheel.id, called["great-wheel"], shapes=(Shape(circle(HOLD_PX / 2), "brass"),))
        inner = (middle, *seated(held, near, called), end_on(square, near, called))
        figures.append(Figure(None, None, hold_at, moves=(seen.turning(near),), inner=inner))
        bottom = hold_at[1] + HOLD_PX / 2
        scale_x = (left + 8, right - HOLD_PX - 60) if chain.side < 0 else (left + HOLD_PX + 60, right - 8)
    named = _named(chain, sprung, wheel, held, wording, side, below, x_barrel, hold_at)
    arm = lambda turns: say(wording, "arm", arm=float(chain.radius_mm(min(turns, chain.turns))))  # noqa: E731
    return Views(
        tuple(figures), (left, -tip, right, bottom), (left - LINE_PX, right + LINE_PX), (low + bottom) / 2 + 34, scale_x,
        named, lambda turns: f"{arm(turns)} {coils_said(wording, sprung.coils_at(turns))}",
    )  # fmt: skip


def _fusee_front(chain: Chain, wheel: Toothing, held: Hold | None, square_mm: float, called: dict[str, str]) -> list[Figure]:
    """Great wheel, cone with its groove and chain, square, all turning together."""
    px = chain.view.scale
    large, small = chain.ends_mm()
    cone = Figure(
        "fusee", called["fusee"],
        shapes=(
            Shape(circle((large + chain.line.thickness_mm) * px), "brass"), Shape(circle(large * px), "brass detail"),
            chain.groove_spiral(),
        ),
    )  # fmt: skip
    top = Figure("fusee", None, shapes=(Shape(circle(0.92 * small * px), "brass"),))
    arbor = Figure(None, None, shapes=(Shape(circle(0.42 * small * px), "steel arbor"),))
    inner = (wheel_figure(wheel, chain.view, held), cone, *chain.round_fusee(), top, arbor, end_on(square_mm, chain.view, called))
    return [Figure(None, None, moves=(chain.run.turning(chain.view),), inner=inner)]


def _barrel_front(going: Going, chain: Chain, barrel: Barrel, sprung: spring.Sprung, called: dict[str, str]) -> list[Figure]:
    """Chain round the barrel, barrel with its spring, arbor."""
    view = chain.view
    wall = barrel.outside_mm / 2 * view.scale
    body = Figure(
        "barrel", called["fusee-barrel"], moves=(chain.barrel_turning(wall),),
        shapes=spring.open_barrel(barrel, view),
        inner=(
            spring.strip_figure(sprung, view, called["mainspring"], STRIP_BYTES),
            spring.outer_hook(sprung, view, called["outer-end"]),
        ),
    )  # fmt: skip
    left = {state.name: state.turns_left for state in states(chain.run.turns)}
    packs = [spring.packs(sprung, view, left[winding.name], winding.name) for winding in going.windings]
    return [*chain.round_barrel(), body, spring.arbor_figure(sprung, view, called, "barrel-arbor", None), *packs]


def _named(
    chain: Chain, sprung: spring.Sprung, wheel: Toothing, held: Hold | None, wording: Wording, side: ChainSide, below: Spot,
    x_barrel: float, hold_at: Spot | None,
) -> tuple[Named, ...]:  # fmt: skip
    """Along the power path; balloons of the barrel on its side, those of the fusee on the other."""
    source, barrel, line = chain.source, chain.source.barrel, chain.line
    assert barrel is not None and source.spring is not None
    arbor = barrel.arbor_diameter_mm / 2
    at_barrel, at_fusee = (1, 0) if chain.side > 0 else (0, 1)
    held_turn = sprung.inner_rad + sprung.way * 2 * math.pi * 0.14  # the quarter turn that never leaves the arbor
    run_y = float(np.interp(0.9, [0, 1], [float(chain.radius_mm(chain.turns / 2)), chain.chained.drum_mm]))
    large, small = chain.ends_mm()

    def on_barrel(angle: float, radius_mm: float) -> Spot:
        x, y = chain.view.px(radius_mm * np.array([math.cos(angle), math.sin(angle)]))
        return x_barrel + float(x), float(y)

    said = {
        "set-up-ratchet": say(wording, "set_up", turns=chain.chained.set_up_turns),
        wheel.id: teeth_said(wording, wheel.gear.teeth),
        "ratchet-wheel": teeth_said(wording, held.teeth) if held else "",
    }

    def beside(part: str, key: str, where: int, sizes: str | None = None) -> Named:
        return Named(part, key, put(side.spots[part], below), where, said.get(part, "") if sizes is None else sizes)

    named = [
        Named("mainspring", "mainspring", on_barrel(held_turn, arbor), at_barrel, strip_said(wording, source.spring)),
        Named("inner-end", "inner-end", on_barrel(sprung.inner_rad, arbor), at_barrel),
        Named(
            "barrel-arbor", "barrel-arbor", on_barrel(-0.9, 0.8 * arbor), at_barrel, say(wording, "across", diameter=2 * arbor)
        ),
        beside("set-up-ratchet", "set-up-ratchet", at_barrel),
        beside("barrel", "fusee-barrel", at_barrel, say(wording, "across", diameter=barrel.outside_mm)),
        Named(
            "chain",
            "chain",
            (0.9 * x_barrel, run_y * chain.view.scale),
            at_barrel,
            say(wording, "line", length=chain.chained.cone.line_mm, thick=f"{line.thickness_mm:g}"),
        ),
        beside("fusee", "fusee", at_fusee, say(wording, "cone", turns=chain.turns, large=2 * large, small=2 * small)),
        beside(wheel.id, "great-wheel", at_fusee),
    ]
    if held and hold_at:
        ratchet = put((-chain.side * 0.22 * HOLD_PX, 0.12 * HOLD_PX), hold_at)
        named += [
            Named("ratchet-wheel", "ratchet-wheel", ratchet, at_fusee, said["ratchet-wheel"]),
            beside("click", "click", at_fusee),
        ]
    return (
        *named,
        beside("winding-square", "winding-square", at_fusee, say(wording, "flats", across=source.square_mm or 0.42 * small)),
    )
