"""What lies before the front plate: hands and what holds them, hour wheel, minute wheel on its post, cannon pinion."""

from __future__ import annotations

from builder.going.axes import Laid
from builder.going.piece import Piece
from builder.going.placed import Toothing
from builder.going.solids import Ring, Solid
from builder.parts.clutch import BowSpring
from builder.parts.motion_work import CANNON, HOUR, MINUTE, HourOnly

PIPE = 1.6
"""Radius of a pipe by its bore (common practice, no source); never beyond the root of its leaves."""
CLEAR = 1.06
"""Bore of the hour wheel's pipe by the pipe that it turns on."""
HAND = {"minutes": 0.9, "hours": 0.6, "seconds": 0.22}
"""Length of a hand by the dial's radius, as drawn in plan."""


def cannon_pipe_mm(laid: Laid) -> tuple[float, float]:
    """Bore and outside radius of the cannon pinion's pipe."""
    assert laid.cannon_on is not None
    bore = laid.shaft(laid.cannon_on).pivot_mm
    return bore, min(PIPE * bore, max(1.15 * bore, 0.92 * laid.plan.of(CANNON, "cannon").gear.root_mm))


def hour_pipe_mm(laid: Laid) -> tuple[float, float]:
    """Bore and outside radius of the hour wheel's pipe; on a post of its own where one hand is driven from the side."""
    if laid.cannon_on is None:
        radius = laid.plan.arbor_mm[HOUR]
        return 0.5 * radius, 0.8 * radius
    bore, pipe = cannon_pipe_mm(laid)
    return CLEAR * pipe, CLEAR * pipe + 0.5 * bore


def post_mm(laid: Laid) -> tuple[str, float] | None:
    """The motion work's post on the front plate: the arbor that turns on it, and its radius."""
    if laid.cannon_on is not None:
        return MINUTE, 0.7 * laid.plan.arbor_mm[MINUTE]
    return (HOUR, 0.5 * laid.plan.arbor_mm[HOUR]) if isinstance(laid.movement.motion_work, HourOnly) else None


def post_solid(laid: Laid) -> Solid | None:
    """The post itself, fixed in the front plate."""
    found = post_mm(laid)
    if found is None:
        return None
    arbor, radius = found
    top = max(laid.heights[t.id].high_mm for t in laid.plan.toothings if t.arbor == arbor)
    if arbor == HOUR and "hour-hand" in laid.heights.spans:
        top = laid.heights["hour-hand"].high_mm
    return Solid("minute-post", Ring(laid.plan.centres[arbor], radius), laid.heights.between_mm, top, "steel", "shaft")


def _toothed(laid: Laid, t: Toothing, inner_mm: float) -> Solid:
    span = laid.heights[t.id]
    ring = Ring(laid.plan.centres[t.arbor], t.gear.tip_mm, inner_mm)
    return Solid(t.id, ring, span.low_mm, span.high_mm, t.material, "teeth" if t.wheel else "leaves")


def motion_work(laid: Laid) -> list[Piece]:
    """Hour wheel, minute wheel, cannon pinion, and the bow spring that drives it in a clock with a pendulum."""
    work, plan, heights = laid.movement.motion_work, laid.plan, laid.heights
    if work is None:
        return []
    own = {t.id: t for t in plan.toothings if t.key == ("motion_work",)}
    bore, pipe = hour_pipe_mm(laid)
    hour = own["hour-wheel"]
    top = heights["hour-hand"].high_mm if "hour-hand" in heights.spans else heights["hour-wheel"].high_mm
    at = plan.centres[HOUR]
    solids = (_toothed(laid, hour, bore), Solid("hour-wheel", Ring(at, pipe, bore), heights["hour-wheel"].high_mm, top, "brass"))
    made = [Piece("hour-wheel", solids, "front", "motion work")]
    if isinstance(work, HourOnly):
        report = _toothed(laid, own["report-pinion"], laid.shaft(work.on).pivot_mm)
        return [*made, Piece("report-pinion", (report,), "front", "motion work")]
    post = post_mm(laid)
    inner = post[1] if post else 0.0
    minute = tuple(_toothed(laid, own[part], inner) for part in ("minute-wheel", "minute-pinion"))
    bore, pipe = cannon_pipe_mm(laid)
    cannon, at = heights["cannon-pinion"], plan.centres[CANNON]
    top = heights["minute-hand"].high_mm if "minute-hand" in heights.spans else heights["hour-wheel"].high_mm
    pinion = (
        _toothed(laid, own["cannon-pinion"], bore),
        Solid("cannon-pinion", Ring(at, pipe, bore), cannon.high_mm, top, own["cannon-pinion"].material),
    )
    made += [Piece("minute-wheel", minute, "front", "motion work"), Piece("cannon-pinion", pinion, "front", "motion work")]
    if laid.pinned:
        bow = Solid("tension-spring", Ring(at, _bow_mm(laid, bore), bore), heights.front_mm, cannon.low_mm, "brass", "shaft")
        made.append(Piece("tension-spring", (bow,), "front", "motion work"))
    return made


def _bow_mm(laid: Laid, bore: float) -> float:
    """Reach of the bow spring's arms from the arbor."""
    bow = laid.clutch
    assert isinstance(bow, BowSpring)
    return 1.5 * bore + (bow.sized(2 * bore).length_mm or 0.0)


def hands(laid: Laid) -> list[Piece]:
    """Hands, and what holds the minute hand."""
    heights = laid.heights
    size = laid.movement.dial.diameter_mm / 2 if laid.movement.dial else 30.0
    made = []
    for shows, carrier in laid.train.hands:
        part = "seconds-hand" if shows == "seconds" else f"{shows.rstrip('s')}-hand"
        span, at = heights[part], laid.plan.centres[carrier]
        if carrier == CANNON:
            inner = cannon_pipe_mm(laid)[1]
        elif carrier == HOUR:
            inner = hour_pipe_mm(laid)[1]
        else:
            inner = laid.shaft(carrier).pivot_mm
        solid = Solid(part, Ring(at, HAND[shows] * size, inner), span.low_mm, span.high_mm, "blued")
        boss = Solid(part, Ring(at, max(2.0 * inner, 0.03 * size), inner), span.low_mm, span.high_mm, "blued")
        held = ("hand-collet",) if carrier == CANNON and laid.pinned else ()
        made.append(Piece(part, (solid, boss), "front", "hands", held))
    if laid.pinned and "minute-hand" in heights.spans:
        bore, pipe = cannon_pipe_mm(laid)
        at, low = laid.plan.centres[CANNON], heights["minute-hand"].high_mm
        dome = Solid("hand-collet", Ring(at, 2.2 * pipe, bore), low, low + 1.1 * bore, "brass")
        pin = Solid("hand-pin", Ring(at, 1.8 * pipe, bore), low + 1.1 * bore, low + 1.7 * bore, "steel")
        made.insert(0, Piece("hand-collet", (dome, pin), "front", "hands"))
    return made
