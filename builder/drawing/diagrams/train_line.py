"""The train as a line of arbors: each with its count, its turns and its sense, and the ratio from one to the next."""

from __future__ import annotations

import math

from builder.drawing.moves import arbor_move
from builder.drawing.path import View, circle, number
from builder.drawing.shapes import sense_arrow
from builder.drawing.sheet import Figure, Shape, Sheet, Words
from builder.drawing.table import Plate, Row
from builder.going.going import Going
from builder.ground import words
from builder.ground.wording import Wording

ROW_PX = 132.0
DISC_PX = 50.0
WIDTH_PX = 600.0
LEFT_PX = 80.0
SENSE_PX = 9.0
"""From a disc to the arrow that says which way it turns: the first arbors do so too slowly to be seen."""


def draw(going: Going, wording: Wording) -> Plate:
    """From the source at the top to the escape arbor; each disc turns as its arbor does, a mark on its rim."""
    train = going.train
    view = View(1.0)
    largest = max(t.gear.pitch_mm for t in going.plan.toothings if t.arbor in train.path)
    stack: list[Figure] = []
    rows = []
    for n, name in enumerate(train.path):
        y = n * ROW_PX
        arbor = train[name]
        wheel = next((t for t in going.plan.toothings if t.arbor == name and t.part == "wheel"), None)
        last = name == train.path[-1]
        part = "escape-wheel" if last else wheel.id if wheel else f"{name}-pinion"
        draft = going.plan.draft
        size_mm = draft.tip_mm if last and draft else wheel.gear.pitch_mm if wheel else largest / 2
        # Areas keep their order; the smallest disc stays large enough to show its mark.
        radius = DISC_PX * max(0.42, math.sqrt(size_mm / largest))
        count = train.escape_teeth if last else wheel.gear.teeth if wheel else 0
        arrow = sense_arrow(radius + SENSE_PX, math.pi, arbor.clockwise, head_px=9.0, spread_deg=30.0)
        stack.append(Figure(None, None, at=(LEFT_PX, y), shapes=(Shape(arrow, "outline"),)))
        stack.append(_disc(going, view, name, part, f"{arbor.title}: {count} teeth", (LEFT_PX, y), radius))
        text = f"{words.whole_and_part(abs(arbor.turns_per_hour))}"
        sense = wording.say("drawings.clockwise" if arbor.clockwise else "drawings.counter_clockwise")
        stack.append(
            Figure(
                part, None, at=(LEFT_PX + 80, y), classes="beside",
                words=(
                    Words(0, -16, arbor.title, "label name", "start"),
                    Words(0, 14, wording.say("drawings.train_line.turns", turns=text) + ", " + sense, "label", "start"),
                ),
            )
        )  # fmt: skip
        if n:
            pair = train.path_pairs[n - 1]
            ratio = words.whole_and_part(pair.ratio)
            stack.append(
                _step(
                    y, wording.say("drawings.train_line.ratio", driver=pair.driver_count, driven=pair.driven_count, ratio=ratio)
                )
            )
        cells = {
            "mesh": f"{train.path_pairs[n - 1].driver_count} ÷ {train.path_pairs[n - 1].driven_count}" if n else "",
            "turns": text,
            "period": words.period(arbor.hours_per_turn),
            "sense": sense,
        }
        rows.append(Row(n + 1, part, arbor.title, cells))
    height = (len(train.path) - 1) * ROW_PX
    named = ", ".join(
        f"{train[name].title.lower()} {words.whole_and_part(abs(train[name].turns_per_hour))}" for name in train.path
    )
    sheet = Sheet(
        "train-line",
        wording.say("drawings.train_line.title", name=going.name),
        wording.say("drawings.train_line.desc", arbors=named),
        (0, -DISC_PX - 16, WIDTH_PX, height + 2 * DISC_PX + 32),
        tuple(stack),
        beat_ms=float(train.beat_s * 1000),
        scrub_s=3600.0,
        speed=1.0,
    )
    return Plate(sheet, ("mesh", "turns", "period", "sense"), tuple(rows))


def _disc(going: Going, view: View, arbor: str, part: str, label: str, at: tuple[float, float], radius: float) -> Figure:
    half, top, point = (number(radius * share) for share in (0.1, -0.98, -0.62))
    mark = f"M-{half} {top}L0 {point}L{half} {top}z"
    return Figure(
        part, label, at,
        moves=(arbor_move(going.motion, going.train, arbor, view, radius),),
        shapes=(
            Shape(circle(radius), "brass"),
            Shape(circle(radius * 0.8), "detail"),
            Shape(mark, "blued"),
            Shape(circle(radius * 0.16), "steel"),
        ),
    )  # fmt: skip


def _step(y: float, text: str) -> Figure:
    top, bottom = y - ROW_PX + DISC_PX + 3, y - DISC_PX - 3
    x = LEFT_PX
    arrow = f"M{number(x)} {number(top)}V{number(bottom)}m-5 -9l5 9l5 -9"
    return Figure(None, None, shapes=(Shape(arrow, "outline"),), words=(Words(x + 80, y - ROW_PX / 2, text, "label", "start"),))
