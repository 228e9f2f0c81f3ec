"""The train as a ladder: on each rung the torque to the left and the turns an hour to the right, by powers of ten.

Both sides have the same length for a power of ten. A train without loss would therefore shorten the one side by exactly what
it lengthens the other; what is missing at the left is what teeth and pivots took.
"""

from __future__ import annotations

import math

from builder.drawing.chart import Scale
from builder.drawing.path import number
from builder.drawing.sheet import Figure, Shape, Sheet, Words
from builder.drawing.table import Plate, Row
from builder.going.beat import Winding
from builder.going.going import Going
from builder.going.power import PowerFlow
from builder.going.train import Train
from builder.ground import words
from builder.ground.wording import Wording

WIDTH_PX = 720.0
MIDDLE_GAP_PX = 12.0
SIDE_PX = 16.0
TOP_PX = 64.0
RUNG_PX = 96.0
BAR_PX = 22.0
MOST_TICKS = 4


def draw(going: Going, wording: Wording) -> Plate | None:
    """None where no beat is solved, so that no torque is known."""
    if going.winding is None:
        return None
    torque, turns = _scales(going)
    path = going.train.path
    foot = TOP_PX + len(path) * RUNG_PX
    stack = [_grid(torque, turns, foot, wording), _names(going, turns)]
    stack += [_state(going, winding, torque) for winding in going.windings]
    flow = going.winding.power
    sheet = Sheet(
        "torque-ladder",
        wording.say("drawings.torque_ladder.title", name=going.name),
        wording.say(
            "drawings.torque_ladder.desc",
            first=going.train[path[0]].title.lower(), torque=torque_text(flow.source_torque_nmm),
            last=going.train[path[-1]].title.lower(), least=torque_text(flow.arbors[-1].torque_nmm),
        ),
        (0, 0, WIDTH_PX, foot + 78),
        tuple(stack),
        classes="chart",
    )  # fmt: skip
    rows = []
    for n, (arbor, perfect) in enumerate(zip(flow.arbors, ideal_nmm(going.train, flow), strict=True), 1):
        turning = going.train[arbor.arbor]
        cells = {
            "torque": torque_text(arbor.torque_nmm),
            "ideal_torque": torque_text(perfect),
            "kept": f"{100 * arbor.torque_nmm / perfect if perfect else 0.0:.1f}{words.THIN}%",
            "turns": words.whole_and_part(abs(turning.turns_per_hour)),
        }
        rows.append(Row(n, _part(arbor.arbor), turning.title, cells))
    return Plate(sheet, ("torque", "ideal_torque", "kept", "turns"), tuple(rows))


def ideal_nmm(train: Train, flow: PowerFlow) -> list[float]:
    """Torque on each arbor of the power path if nothing were lost: as the turns rise, so it falls."""
    first = train[train.path[0]].turns_per_hour
    return [flow.source_torque_nmm * float(abs(first / train[name].turns_per_hour)) for name in train.path]


def torque_text(nmm: float) -> str:
    """N·mm with three digits."""
    return f"{words.figure(nmm, 3)}{words.THIN}N·mm"


def _part(arbor: str) -> str:
    return f"{arbor}-rung".replace("_", "-")


def _scales(going: Going) -> tuple[Scale, Scale]:
    """Torque to the left of the middle, turns an hour to the right of it, one length for a power of ten on both."""
    flows = [winding.power for winding in going.windings]
    torques = [t for flow in flows for t in (*ideal_nmm(going.train, flow), *(a.torque_nmm for a in flow.arbors)) if t > 0]
    rates = [float(abs(going.train[name].turns_per_hour)) for name in going.train.path]
    low, high = (10.0 ** math.floor(math.log10(min(torques)) - 0.15), max(torques) * 1.3)
    slow, fast = (10.0 ** math.floor(math.log10(min(rates)) - 0.15), max(rates) * 1.3)
    decades = math.log10(high / low) + math.log10(fast / slow)
    decade_px = (WIDTH_PX - 2 * SIDE_PX - 2 * MIDDLE_GAP_PX) / decades
    middle = SIDE_PX + decade_px * math.log10(high / low) + MIDDLE_GAP_PX
    left, right = middle - MIDDLE_GAP_PX, middle + MIDDLE_GAP_PX
    return Scale(low, high, left, SIDE_PX, decades=True), Scale(slow, fast, right, WIDTH_PX - SIDE_PX, decades=True)


def _grid(torque: Scale, turns: Scale, foot: float, wording: Wording) -> Figure:
    """Powers of ten behind the bars and at the foot, the two stiles, and what each side is."""
    n = number
    lines: list[str] = []
    stiles: list[str] = []
    said: list[Words] = []
    for scale in (torque, turns):
        ticks = [tick for tick in scale.ticks(99) if tick > 1.001 * scale.low]
        for level in _levels(foot):
            drop = f"V{n(level + BAR_PX + 8)}"
            lines += [f"M{n(float(scale.px(tick)))} {n(level - 8)}{drop}" for tick in ticks]
            stiles.append(f"M{n(scale.start_px)} {n(level - 8)}{drop}")
        said += [
            Words(float(scale.px(tick)), foot + 4, scale.text(tick), "label tick below")
            for tick in scale.ticks(MOST_TICKS)
            if tick > 1.001 * scale.low
        ]
    said += [
        Words(SIDE_PX, 26, wording.say("drawings.torque_ladder.torque"), "label name", "start"),
        Words(WIDTH_PX - SIDE_PX, 26, wording.say("drawings.torque_ladder.turns"), "label name", "end"),
    ]
    shapes = (Shape("".join(lines), "grid"), Shape("".join(stiles), "outline ruled"))
    return Figure(None, None, shapes=shapes, words=tuple(said))


def _levels(foot: float) -> list[float]:
    """Upper edge of every rung's bars."""
    return [TOP_PX + (k + 1) * RUNG_PX - BAR_PX - 16 for k in range(round((foot - TOP_PX) / RUNG_PX))]


def _names(going: Going, turns: Scale) -> Figure:
    """The rungs that no state changes: each arbor's name and its turns."""
    rungs = []
    for index, name in enumerate(going.train.path):
        arbor = going.train[name]
        rate = abs(arbor.turns_per_hour)
        y = TOP_PX + index * RUNG_PX
        bar = _bar(turns.start_px, float(turns.px(float(rate))), y + RUNG_PX - BAR_PX - 16)
        rungs.append(
            Figure(
                _part(name), f"{arbor.title}: {words.whole_and_part(rate)}",
                shapes=(Shape(bar, "brass"),),
                words=(
                    Words(turns.start_px - MIDDLE_GAP_PX, y + 30, arbor.title, "label name"),
                    Words(WIDTH_PX - SIDE_PX, y + 30, words.whole_and_part(rate), "label", "end"),
                ),
            )
        )  # fmt: skip
    return Figure(None, None, inner=tuple(rungs))


def _state(going: Going, winding: Winding, torque: Scale) -> Figure:
    """The torques of one state: as they are, and in outline what they would be without loss."""
    rungs = []
    for index, (arbor, perfect) in enumerate(zip(winding.power.arbors, ideal_nmm(going.train, winding.power), strict=True)):
        y = TOP_PX + index * RUNG_PX
        level = y + RUNG_PX - BAR_PX - 16
        shapes = [Shape(_bar(torque.start_px, float(torque.px(perfect)), level), "ideal")] if perfect > 0 else []
        if arbor.torque_nmm > 0:
            shapes.append(Shape(_bar(torque.start_px, float(torque.px(arbor.torque_nmm)), level), "steel"))
        text = torque_text(arbor.torque_nmm)
        rungs.append(
            Figure(
                _part(arbor.arbor), f"{going.train[arbor.arbor].title}: {text}",
                shapes=tuple(shapes), words=(Words(SIDE_PX, y + 30, text, "label", "start"),),
            )
        )  # fmt: skip
    return Figure(None, None, inner=tuple(rungs), state=winding.name)


def _bar(x0: float, x1: float, y: float) -> str:
    n = number
    return f"M{n(x0)} {n(y)}H{n(x1)}v{n(BAR_PX)}H{n(x0)}z"
