"""The power from the source to the oscillator as one band that thins: its width is the power, and each loss branches off.

Pivots to the left, teeth to the right, then what the escapement takes. All widths, in every state of winding, share one scale.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from builder.drawing.path import number
from builder.drawing.sheet import Figure, Shape, Sheet, Words
from builder.drawing.table import Plate, Row
from builder.going.beat import Winding
from builder.going.budget import Budget, Cost, Term, budget
from builder.going.going import Going
from builder.going.steady import Stopped
from builder.ground import words
from builder.ground.wording import Wording

WIDTH_PX = 720.0
BAND_PX = 250.0
"""Width of the band at the source when wound."""
TOP_PX = 132.0
ROW_PX = 126.0
"""From one arbor to the next."""
ESCAPEMENT_ROW_PX = 142.0
BEND_PX = 10.0
"""Inner radius of a branch's bend."""
REACH_PX = 166.0
"""How far from the drawing's edge a branch ends: the room for its figures."""
APART_PX = 26.0
"""Between the last arbor and what the escapement takes."""
END_PX = 200.0

MATERIAL: dict[Cost, str] = {"pivots": "steel", "teeth": "brass", "drop": "ruby", "wheel": "ruby", "sliding": "ruby", "lever": "steel"}


@dataclass
class _Band:
    """The band on its way down: its edges, and the level they have come to."""

    left: float
    right: float
    y: float
    edges: list[str]
    fill: list[str]

    def down(self, to: float) -> None:
        """Straight on to a level."""
        x0, x1, y0, y1 = (number(v) for v in (self.left, self.right, self.y, to))
        self.fill.append(f"M{x0} {y0}H{x1}V{y1}H{x0}z")
        self.edges.append(f"M{x0} {y0}V{y1}M{x1} {y0}V{y1}")
        self.y = to


def draw(going: Going, wording: Wording) -> Plate | None:
    """None where no beat is solved, so that no force is known."""
    if going.winding is None:
        return None
    budgets = {winding.name: budget(going.train, winding) for winding in going.windings}
    px_per_uw = BAND_PX / max(each.source_uw for each in budgets.values())
    height = _foot(budgets, px_per_uw) + END_PX
    stack = [_headings(wording)]
    for winding in going.windings:
        stack += _state(going, winding, budgets[winding.name], px_per_uw, wording)
    stack.append(_scale(px_per_uw, wording))
    shown = budgets[going.winding.name]
    first = going.train[going.train.path[0]].title.lower()
    sheet = Sheet(
        "power-flow",
        wording.say("drawings.power_flow.title", name=going.name),
        wording.say(
            "drawings.power_flow.desc", first=first, power=power_text(shown.source_uw, shown.source_uw), share=share_text(shown.reaches)
        ),
        (0, 0, WIDTH_PX, height),
        tuple(stack),
        classes="flow tall",
    )  # fmt: skip
    return Plate(sheet, ("uw", "share", "joules_a_day"), rows(going, shown, wording))


def rows(going: Going, shown: Budget, wording: Wording) -> tuple[Row, ...]:
    """The flow in text: the source, and everything that its power goes into."""
    source = Term("oscillator", (), shown.source_uw)
    named = [("source", wording.say("drawings.power_flow.from_source"), source)]
    named += [(term.key, term_name(going, term, wording), term) for term in shown.terms]
    return tuple(
        Row(
            n, key, name,
            {
                "uw": power_text(term.uw, shown.source_uw),
                "share": share_text(term.uw / shown.source_uw if shown.source_uw else 0.0),
                "joules_a_day": words.figure(term.joules_a_day, 3),
            },
        )
        for n, (key, name, term) in enumerate(named, 1)
    )  # fmt: skip


def term_name(going: Going, term: Term, wording: Wording) -> str:
    """'Pivots of the third arbor', 'Teeth, centre on third', 'Drop'."""
    titles = [going.train[arbor].title.lower() for arbor in term.arbors]
    kind = f"{term.cost}_{going.movement.oscillator.kind}" if term.cost == "oscillator" else term.cost
    return wording.say(f"drawings.power_flow.terms.{kind}", **dict(zip(("one", "other"), titles, strict=False)))


def power_text(uw: float, of_uw: float) -> str:
    """Microwatts to the last place that four digits of the whole have, so that a column adds up."""
    places = max(0, 3 - math.floor(math.log10(of_uw))) if of_uw > 0 else 2
    return f"{words.grouped(f'{uw:.{places}f}')}{words.THIN}µW"


def share_text(part: float) -> str:
    """A part as per cent, to a tenth."""
    return f"{100 * part:.1f}{words.THIN}%"


def _foot(budgets: dict[str, Budget], px_per_uw: float) -> float:
    """The lowest level that the band comes to in any state."""
    lowest = TOP_PX
    for each in budgets.values():
        arbors = sum(term.cost == "pivots" for term in each.terms)
        y = TOP_PX + arbors * ROW_PX + APART_PX
        for row in _escapement_rows(each):
            y += _row_px(row, px_per_uw)
        lowest = max(lowest, y)
    return lowest


def _escapement_rows(shown: Budget) -> list[list[Term]]:
    """What branches off below the escape wheel, by pairs: to the right, to the left."""
    taken = [term for term in shown.terms if term.cost in ("drop", "wheel", "sliding", "lever")]
    return [taken[i : i + 2] for i in range(0, len(taken), 2)]


def _row_px(row: list[Term], px_per_uw: float) -> float:
    return max(ESCAPEMENT_ROW_PX, max(max(term.uw, 0.0) for term in row) * px_per_uw + 2 * BEND_PX + 30)


def _state(going: Going, winding: Winding, shown: Budget, px_per_uw: float, wording: Wording) -> list[Figure]:
    """The whole band of one state."""
    width = shown.source_uw * px_per_uw
    left, right = (WIDTH_PX - width) / 2, (WIDTH_PX + width) / 2
    band = _Band(left, right, TOP_PX, [f"M{number(left)} {number(TOP_PX)}H{number(right)}"], [])
    branches: list[Figure] = []
    said = [_source_words(going, shown, wording)]
    for arbor in winding.power.arbors:
        own = [term for term in shown.terms if term.arbors[:1] == (arbor.arbor,)]
        top = band.y
        said.append(Words(WIDTH_PX / 2, top + 44, going.train[arbor.arbor].title, "label name on upper"))
        said.append(Words(WIDTH_PX / 2, top + 44, power_text(arbor.power_uw, shown.source_uw), "label on lower"))
        band.down(top + 66)
        for term in own:
            branches.append(_branch(going, band, term, shown, px_per_uw, wording, "left" if term.cost == "pivots" else "right"))
        band.down(max(top + ROW_PX, band.y + BEND_PX))
    band.down(band.y + APART_PX)
    for row in _escapement_rows(shown):
        top = band.y
        band.down(top + 34)
        for term, side in zip(row, ("right", "left"), strict=False):
            branches.append(_branch(going, band, term, shown, px_per_uw, wording, side))
        band.down(top + _row_px(row, px_per_uw))
    end, last = _oscillator(band, shown, px_per_uw, wording, going) if shown.runs else _stop(band, winding, wording)
    said += last
    trunk = Figure(
        "source",
        wording.say("drawings.power_flow.band"),
        shapes=(
            Shape("".join(band.fill) + end[0], "brass power"),
            Shape("".join([*band.edges, end[1]]), "brass power-edge" + ("" if shown.runs else " standing")),
        ),
    )
    words_of = Figure(None, None, words=tuple(said))
    return [Figure(None, None, inner=(trunk, *branches, words_of), state=winding.name)]


def _source_words(going: Going, shown: Budget, wording: Wording) -> Words:
    text = wording.say(f"drawings.power_flow.sources.{going.movement.source.kind}")
    return Words(WIDTH_PX / 2, TOP_PX - 30, text, "label name")


def _branch(
    going: Going, band: _Band, term: Term, shown: Budget, px_per_uw: float, wording: Wording, side: str
) -> Figure:  # fmt: skip
    """A loss turning off the band to one side; the band goes on narrower by exactly as much."""
    width = max(term.uw, 0.0) * px_per_uw
    right = side == "right"
    sign = 1.0 if right else -1.0
    edge = band.right if right else band.left
    y, end = band.y, WIDTH_PX - REACH_PX if right else REACH_PX
    turn, sweep, back = edge + sign * BEND_PX, 0 if right else 1, 1 if right else 0
    tip = end - sign * max(5.0, 0.4 * width)
    top, foot = y + BEND_PX, y + BEND_PX + width
    n = number
    inner = f"M{n(edge)} {n(y)}A{n(BEND_PX)} {n(BEND_PX)} 0 0 {sweep} {n(turn)} {n(top)}H{n(tip)}"
    point = f"L{n(end)} {n((top + foot) / 2)}L{n(tip)} {n(foot)}"
    outer = f"H{n(turn)}A{n(BEND_PX + width)} {n(BEND_PX + width)} 0 0 {back} {n(edge - sign * width)} {n(y)}"
    if right:
        band.right -= width
    else:
        band.left += width
    name = term_name(going, term, wording)
    uw, share = power_text(term.uw, shown.source_uw), share_text(term.uw / shown.source_uw if shown.source_uw else 0.0)
    x, middle = end + sign * 10, (top + foot) / 2
    anchor = "start" if right else "end"
    if term.arbors:
        said = (Words(x, middle, uw, "label upper", anchor), Words(x, middle, share, "label quiet lower", anchor))
    else:
        short = wording.say(f"drawings.power_flow.brief.{term.cost}")
        said = (
            Words(x, middle, short, "label name over", anchor),
            Words(x, middle, uw, "label", anchor),
            Words(x, middle, share, "label quiet under", anchor),
        )
    material = MATERIAL[term.cost]
    if material == "ruby" and going.plan.draft is not None:
        material = going.plan.draft.pallets[-1].material if not _stones(going) else "ruby"
    return Figure(
        term.key, f"{name}: {uw}, {share}",
        shapes=(Shape(inner + point + outer + "z", f"{material} power"), Shape(inner + point + outer, f"{material} power-edge")),
        words=said,
    )  # fmt: skip


def _stones(going: Going) -> bool:
    draft = going.plan.draft
    return draft is not None and any(drawn.material == "ruby" for drawn in draft.pallets)


def _oscillator(
    band: _Band, shown: Budget, px_per_uw: float, wording: Wording, going: Going
) -> tuple[tuple[str, str], list[Words]]:
    """The arrow that reaches the oscillator."""
    y = band.y + 34
    band.down(y)
    tip = y + max(14.0, 0.45 * (band.right - band.left))
    middle = (band.left + band.right) / 2
    n = number
    arrow = f"M{n(band.left)} {n(y)}L{n(middle)} {n(tip)}L{n(band.right)} {n(y)}"
    kind = going.movement.oscillator.kind
    uw = shown.of("oscillator")
    at = tip + 58
    said = [
        Words(middle, at, wording.say(f"drawings.power_flow.oscillators.{kind}"), "label name over"),
        Words(middle, at, power_text(uw, shown.source_uw), "label"),
        Words(middle, at, share_text(shown.reaches), "label quiet under"),
    ]
    return (arrow + "z", arrow), said


def _stop(band: _Band, winding: Winding, wording: Wording) -> tuple[tuple[str, str], list[Words]]:
    """A bar across the band: what comes to the escape wheel goes no further."""
    assert isinstance(winding.beat, Stopped)
    n = number
    bar = f"M{n(band.left - 24)} {n(band.y)}H{n(band.right + 24)}"
    at = band.y + 52
    said = [
        Words(WIDTH_PX / 2, at, wording.say("drawings.power_flow.stops"), "label name upper"),
        Words(WIDTH_PX / 2, at, wording.say(f"drawings.power_flow.reasons.{winding.beat.reason}"), "label lower"),
    ]
    return ("", bar), said


def _headings(wording: Wording) -> Figure:
    """What branches to which side."""
    y = TOP_PX - 30
    return Figure(
        None, None,
        words=(
            Words(REACH_PX - 10, y, wording.say("drawings.power_flow.pivots"), "label name", "end"),
            Words(WIDTH_PX - REACH_PX + 10, y, wording.say("drawings.power_flow.teeth"), "label name", "start"),
        ),
    )  # fmt: skip


def _scale(px_per_uw: float, wording: Wording) -> Figure:
    """A bar as wide as a round number of microwatts."""
    most = 150.0 / px_per_uw
    power = 10.0 ** math.floor(math.log10(most))
    uw = max(step * power for step in (1.0, 2.0, 5.0) if step * power <= most)
    left, y, width = 14.0, 28.0, uw * px_per_uw
    n = number
    bar = f"M{n(left)} {n(y - 8)}v16M{n(left)} {n(y)}h{n(width)}M{n(left + width)} {n(y - 8)}v16"
    text = wording.say("drawings.power_flow.scale", power=f"{words.grouped(f'{uw:g}')}{words.THIN}µW")
    return Figure(None, None, shapes=(Shape(bar, "outline"),), words=(Words(left + width + 14, y, text, "label", "start"),))
