"""The train in plan, seen from the front or from the back: every wheel in its place, meshing, at its own rate."""

from __future__ import annotations

import math

import numpy as np

from builder.drawing import figures
from builder.drawing.anchors import Rim, rim, spots
from builder.drawing.balloons import Target, balloons
from builder.drawing.escapement import escapement_figures
from builder.drawing.oscillator import on_the_plan
from builder.drawing.path import View, circle, line
from builder.drawing.sheet import Figure, Shape, Sheet
from builder.drawing.source.in_plan import bodies, source_figures
from builder.drawing.source.sized import names
from builder.drawing.table import Plate, Row
from builder.going.going import Going
from builder.going.placed import DIAL_SIDE, Toothing
from builder.ground import words
from builder.ground.wording import Wording
from builder.parts.source.fusee import Fusee

SIDE_PX = 760.0
"""The movement's longer side."""
MARGIN_PX = 120.0
"""Room for the balloons at either side."""
MOST_REACH, LEAST_REACH, BEYOND = 0.42, 0.24, 0.02
"""Half the dial by the movement's longer side: what is to be seen is the train. How far hands may reach over what lies there."""
HANDS = {"minutes": 0.9, "hours": 0.6, "seconds": 0.22}
"""Length by half the dial."""
BESIDE_MM = 1e-6
"""Sorts what lies at the same height."""
COLUMNS = ("count", "turns", "period", "sense")


def front(going: Going, wording: Wording) -> Plate:
    """Seen from the dial's side, hands on, dial off."""
    return _plate(going, wording, back=False)


def back(going: Going, wording: Wording) -> Plate:
    """Seen from behind: everything turns the other way round."""
    return _plate(going, wording, back=True)


def _plate(going: Going, wording: Wording, back: bool) -> Plate:
    slug = "train-back" if back else "train-front"
    inside = [t for t in going.plan.toothings if t.level < DIAL_SIDE]
    low, high = _extent(going, inside)
    reach = _reach_mm(going, low, high)
    if not back:
        low, high = _with_hands(going, reach, low, high)
    view = View(SIDE_PX / max(high - low), back)
    stack: list[Figure] = []
    frame = figures.plate(going, view)
    if frame:
        stack.append(frame)
    parts = [(_beneath(going, part, back), figures.ring(going, part, view)) for part in inside if part.wheel]
    bodied = [figures.toothing(going, part, view) for part in inside]
    bodied += [*escapement_figures(going, view), *on_the_plan(going, view), *source_figures(going, wording, view)]
    parts += [(_nearness(going, figure.part, back), figure) for figure in bodied]
    stack += [figure for _, figure in sorted(parts, key=lambda each: each[0])]
    if not back:
        stack += [
            figures.hand(going, shows, carrier, view, HANDS[shows] * reach * view.scale) for shows, carrier in going.train.hands
        ]
    stack.append(_construction(going, inside, view))
    numbered = number_parts(going, inside)
    corners = view.px(np.array([low, high]))
    left, right = float(corners[:, 0].min()), float(corners[:, 0].max())
    top, bottom = float(corners[:, 1].min()), float(corners[:, 1].max())
    rims = [rim(t, going.plan.centres[t.arbor], _nearness(going, t.id, back)) for t in inside if t.wheel]
    targets = [_target(going, part, n, view, rims) for part, n in numbered.items()]
    stack += balloons(targets, left - MARGIN_PX * 0.55, right + MARGIN_PX * 0.55, top + 20, bottom - 20)
    box = (left - MARGIN_PX, top - 12, right - left + 2 * MARGIN_PX, bottom - top + 24)
    key = "train_back" if back else "train_front"
    sheet = Sheet(
        slug,
        wording.say(f"drawings.{key}.title", name=going.name),
        wording.say(f"drawings.{key}.desc", name=going.name, wheels=_wheels_named(going)),
        box,
        tuple(stack),
        beat_ms=float(going.train.beat_s * 1000),
        scrub_s=60.0,
    )
    return Plate(sheet, COLUMNS, part_rows(going, wording, numbered, back))


def _nearness(going: Going, part: str | None, back: bool) -> float:
    """How near the eye a part lies: the face that it turns towards us. Bankings, which have no name, lie with the pallets.

    A barrel's arbor shows in the middle of the barrel; a line lies on its fusee where that tapers towards us, else beneath it.
    """
    spans = going.elevation.spans
    if part == "barrel-arbor":
        return _nearness(going, "barrel", back) + BESIDE_MM
    if part == "chain":
        wheel = going.plan.of(going.movement.source.arbor, "wheel").id
        towards = (spans["fusee"].low_mm < spans[wheel].low_mm) == back
        return _nearness(going, "fusee", back) + (BESIDE_MM if towards else -BESIDE_MM)
    own = [spans[part]] if part in spans else [span for name, span in spans.items() if name.startswith("pallets/")]
    return max(-span.low_mm if back else span.high_mm for span in own)


def _beneath(going: Going, wheel: Toothing, back: bool) -> float:
    """Where the gap round a wheel lies: under the wheel, and under all that mesh with it."""
    pairs = [{(p.driver, p.driver_part), (p.driven, p.driven_part)} for p in going.train.pairs]
    meshing = {side for pair in pairs if (wheel.arbor, wheel.part) in pair for side in pair}
    parts = [part for part in going.plan.toothings if (part.arbor, part.part) in meshing or part is wheel]
    return min(_nearness(going, part.id, back) for part in parts) - BESIDE_MM


def _extent(going: Going, inside: list[Toothing]) -> tuple[np.ndarray, np.ndarray]:
    """Lower left and upper right corner (mm) of all that is drawn."""
    circles = [(going.plan.centres[t.arbor], t.gear.tip_mm) for t in inside] + list(bodies(going).values())
    draft = going.plan.draft
    if draft is not None:
        circles.append((going.plan.centres[going.train.path[-1]], draft.tip_mm))
        circles.append((going.plan.centres["pallets"], 0.35 * draft.centre_mm))
        if "balance" in going.plan.centres:
            circles.append((going.plan.centres["balance"], figures.balance_radius_mm(going)))
    plates = going.movement.plates
    lows = [np.array(c) - r for c, r in circles]
    highs = [np.array(c) + r for c, r in circles]
    if plates is not None:
        half = np.array([plates.width_mm, plates.height_mm or plates.width_mm]) / 2
        lows.append(np.array(plates.centre_mm) - half)
        highs.append(np.array(plates.centre_mm) + half)
    return np.min(lows, axis=0), np.max(highs, axis=0)


def _with_hands(going: Going, reach_mm: float, low: np.ndarray, high: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The corners, with room for the hands to go round."""
    beyond = BEYOND * float(max(high - low))
    for shows, carrier in going.train.hands:
        around = HANDS[shows] * reach_mm - beyond
        at = np.array(going.plan.centres[carrier])
        low, high = np.minimum(low, at - around), np.maximum(high, at + around)
    return low, high


def _reach_mm(going: Going, low: np.ndarray, high: np.ndarray) -> float:
    """Half the dial that the hands are drawn for: the dial's own, but no more than there is room for between the balloons."""
    dial, longest = going.movement.dial, float(max(high - low))
    radius = min(dial.diameter_mm / 2, MOST_REACH * longest) if dial else MOST_REACH * longest
    centres = [np.array(going.plan.centres[carrier]) for shows, carrier in going.train.hands if shows != "seconds"]
    room = min((float(min(*(at - low), *(high - at))) for at in centres), default=radius) + BEYOND * longest
    return min(radius, max(room, LEAST_REACH * longest))


def number_parts(going: Going, inside: list[Toothing]) -> dict[str, int]:
    """Balloon numbers along the power path: wheel after pinion, source first."""
    order = {arbor.id: i for i, arbor in enumerate(going.train.arbors)}
    named = [*bodies(going), *(t.id for t in sorted(inside, key=lambda t: (order[t.arbor], t.wheel)))]
    if going.plan.draft is not None:
        named += ["escape-wheel", "pallets"]
        if "balance" in going.plan.centres:
            named.append("balance")
    return {part: n for n, part in enumerate(named, 1)}


def _target(going: Going, part: str, number: int, view: View, rims: list[Rim]) -> Target:
    """Where a leader ends: on the rim of a wheel, best away from the middle of the movement; near the middle of a pinion."""
    centres = going.plan.centres
    if part in ("pallets", "balance"):
        return Target(part, number, figures.px_at(view, centres[part]))
    if part == "escape-wheel":
        assert going.plan.draft is not None
        home, radius = centres[going.train.path[-1]], going.plan.draft.root_mm * 0.94
    elif part in (driving := bodies(going)):
        home, radius = driving[part][0], 0.8 * driving[part][1]
    else:
        toothing = next(t for t in going.plan.toothings if t.id == part)
        home, radius = centres[toothing.arbor], toothing.gear.root_mm * (0.95 if toothing.wheel else 0.6)
    middle = np.mean([centres[arbor.id] for arbor in going.train.arbors], axis=0)
    away = np.array(home) - middle
    angle = math.atan2(away[1], away[0]) if np.hypot(*away) > 1e-6 else math.pi / 2
    at, *others = (figures.px_at(view, spot) for spot in spots(home, radius, angle, _nearness(going, part, view.back), rims))
    return Target(part, number, at, tuple(others))


def _construction(going: Going, inside: list[Toothing], view: View) -> Figure:
    """Pitch circles and lines of centres, as the trade drafts them."""
    shapes = [
        Shape(circle(t.gear.pitch_mm * view.scale, figures.px_at(view, going.plan.centres[t.arbor]), 1), "construction pitch")
        for t in inside
    ]
    for one in going.plan.sized:
        if one.pair.key[0] == "meshes":
            ends = [figures.px_at(view, going.plan.centres[name]) for name in (one.pair.driver, one.pair.driven)]
            shapes.append(Shape(line(*ends[0], *ends[1], places=1), "construction centres"))
    return Figure(None, None, shapes=tuple(shapes), classes="constructions")


def _wheels_named(going: Going) -> str:
    wheels = [f"{t.title.lower()} ({t.gear.teeth})" for t in going.plan.toothings if t.wheel and t.level < DIAL_SIDE]
    return ", ".join(wheels)


def part_rows(going: Going, wording: Wording, numbered: dict[str, int], back: bool) -> tuple[Row, ...]:
    """The same in text: count, turns an hour, time of one turn, sense as seen on this drawing."""
    made = []
    toothings, driving = {t.id: t for t in going.plan.toothings}, bodies(going)
    for part, number in numbered.items():
        if part in ("pallets", "balance"):
            cells = dict.fromkeys(COLUMNS, "")
            cells["turns"] = wording.say(f"drawings.{part}_motion")
            made.append(Row(number, part, wording.say(f"parts.{part}"), cells))
            continue
        if part in driving:
            name = names(wording)["fusee-barrel" if part == "barrel" else part]
            made.append(Row(number, part, name, _driving_cells(going, wording, part, back)))
            continue
        arbor = going.train.path[-1] if part == "escape-wheel" else toothings[part].arbor
        if part == "escape-wheel":
            name, count = wording.say("parts.escape-wheel"), f"{going.train.escape_teeth} {wording.say('parts.teeth')}"
        else:
            name = toothings[part].title
            count = f"{toothings[part].gear.teeth} {wording.say('parts.' + toothings[part].noun)}"
        made.append(Row(number, part, name, _turning_cells(going, wording, arbor, count, back)))
    return tuple(made)


def _turning_cells(going: Going, wording: Wording, arbor: str, count: str, back: bool) -> dict[str, str]:
    turning = going.train[arbor]
    return {
        "count": count,
        "turns": words.whole_and_part(abs(turning.turns_per_hour)),
        "period": words.period(turning.hours_per_turn),
        "sense": wording.say("drawings.clockwise" if turning.clockwise != back else "drawings.counter_clockwise"),
    }


def _driving_cells(going: Going, wording: Wording, part: str, back: bool) -> dict[str, str]:
    """Drum and fusee turn with the great wheel; the barrel follows the line, so many turns in a winding."""
    source = going.movement.source
    cells = _turning_cells(going, wording, source.arbor, "", back)
    if part == "barrel" and isinstance(source, Fusee) and source.chained is not None:
        turns = words.figure(source.chained.barrel_turns, 3)
        cells |= {"turns": wording.say("drawings.barrel_motion", turns=turns), "period": ""}
    return cells
