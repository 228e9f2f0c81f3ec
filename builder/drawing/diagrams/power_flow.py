"""The power from the source to the oscillator as one band that thins: its width is the power, and each loss branches off.

Pivots to the left, teeth to the right, then what the escapement takes. All widths, in every state of winding, share one scale.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from builder.drawing.path import number
from builder.drawing.sheet import Figure, Shape, Sheet, Words
from builder.drawing.table import Plate, Row
from builder.going.beat import Winding
from builder.going.budget import Budget, Cost, Term, budget
from builder.going.going import Going
from builder.going.steady import Stopped
from builder.ground import words
from builder.ground.constants import SECONDS_PER_DAY
from builder.ground.wording import Wording

WIDTH_PX = 720.0
BAND_PX = 250.0
"""Width of the band at the source when wound."""
TOP_PX = 132.0
ROW_PX = 126.0
"""From one arbor to the next."""
APART_PX = 26.0
"""Between the last arbor and what the escapement takes."""
ESCAPEMENT_ROW_PX = 142.0
END_PX = 200.0
BEND_PX = 10.0
"""Inner radius of a branch's bend."""
REACH_PX = 166.0
"""How far from the drawing's edge a branch ends: the room for its figures."""

AT_PALLETS: tuple[Cost, ...] = ("drop", "wheel", "sliding")
Side = Literal["left", "right"]


def draw(going: Going, wording: Wording) -> Plate | None:
    """None where no beat is solved, so that no force is known."""
    if going.winding is None:
        return None
    budgets = {winding.name: budget(going.train, winding) for winding in going.windings}
    most_uw = max(each.source_uw for each in budgets.values())
    flow = _Flow(going, wording, BAND_PX / most_uw, Said(most_uw))
    stack = [flow.headings()]
    stack += [flow.state(winding, budgets[winding.name]) for winding in going.windings]
    stack.append(flow.scale())
    shown = budgets[going.winding.name]
    sheet = Sheet(
        "power-flow",
        wording.say("drawings.power_flow.title", name=going.name),
        wording.say(
            "drawings.power_flow.desc",
            first=going.train[going.train.path[0]].title.lower(),
            power=flow.said.power(shown.source_uw),
            share=share_text(shown.reaches),
        ),
        (0, 0, WIDTH_PX, max(flow.foot(each) for each in budgets.values()) + END_PX),
        tuple(stack),
        classes="tall",
    )
    return Plate(sheet, ("uw", "share", "joules_a_day"), rows(going, shown, flow.said, wording))


@dataclass(frozen=True)
class Said:
    """How powers are written: all to the last place that four digits of the greatest have, so that every column adds up."""

    most_uw: float

    def power(self, uw: float) -> str:
        """Microwatts with their unit."""
        return f"{_written(uw, self.most_uw)}{words.THIN}µW"

    def joules(self, joules: float) -> str:
        """Joules, without a unit."""
        return _written(joules, self.most_uw * SECONDS_PER_DAY * 1e-6)


def _written(value: float, most: float) -> str:
    places = max(0, 3 - math.floor(math.log10(most))) if most > 0 else 2
    return words.grouped(f"{value:.{places}f}")


def share_text(part: float) -> str:
    """A part as per cent, to a tenth."""
    return f"{100 * part:.1f}{words.THIN}%"


def rows(going: Going, shown: Budget, said: Said, wording: Wording) -> tuple[Row, ...]:
    """The flow in text: the source, and everything that its power goes into."""
    named = [("source", wording.say("drawings.power_flow.from_source"), shown.source_uw)]
    named += [(term.key, term_name(going, term, wording), term.uw) for term in shown.terms]
    if not shown.runs:
        named.append(("standing", wording.say("drawings.power_flow.standing"), shown.escape_uw))
    found = []
    for n, (key, name, uw) in enumerate(named, 1):
        cells = {
            "uw": said.power(uw),
            "share": share_text(uw / shown.source_uw if shown.source_uw else 0.0),
            "joules_a_day": said.joules(uw * SECONDS_PER_DAY * 1e-6),
        }
        found.append(Row(n, key, name, cells))
    return tuple(found)


def term_name(going: Going, term: Term, wording: Wording) -> str:
    """'Pivots of the third arbor', 'Teeth, centre on third', 'Drop: …'."""
    titles = [going.train[arbor].title.lower() for arbor in term.arbors]
    kind = f"{term.cost}_{going.movement.oscillator.kind}" if term.cost == "oscillator" else term.cost
    return wording.say(f"drawings.power_flow.terms.{kind}", **dict(zip(("one", "other"), titles, strict=False)))


class _Band:
    """The band on its way down: its edges at the level it has come to, and what is drawn of it so far."""

    def __init__(self, width: float) -> None:
        self.left, self.right, self.y = (WIDTH_PX - width) / 2, (WIDTH_PX + width) / 2, TOP_PX
        self.edges = f"M{number(self.left)} {number(self.y)}H{number(self.right)}"
        self.fill = ""

    @property
    def middle(self) -> float:
        return (self.left + self.right) / 2

    def down(self, to: float) -> None:
        """Straight on to a level."""
        x0, x1, y0, y1 = (number(v) for v in (self.left, self.right, self.y, to))
        self.fill += f"M{x0} {y0}H{x1}V{y1}H{x0}z"
        self.edges += f"M{x0} {y0}V{y1}M{x1} {y0}V{y1}"
        self.y = to

    def branch(self, width: float, side: Side) -> tuple[str, tuple[float, float]]:
        """A branch of a width turning off to one side: its outline, open where it leaves the band, and its tip.

        The band goes on narrower by exactly as much.
        """
        sign, edge = (1.0, self.right) if side == "right" else (-1.0, self.left)
        out, back = ("0", "1") if side == "right" else ("1", "0")
        end = WIDTH_PX - REACH_PX if side == "right" else REACH_PX
        turn, tip = edge + sign * BEND_PX, end - sign * max(5.0, 0.4 * width)
        top, foot = self.y + BEND_PX, self.y + BEND_PX + width
        n, outer = number, number(BEND_PX + width)
        drawn = (
            f"M{n(edge)} {n(self.y)}A{n(BEND_PX)} {n(BEND_PX)} 0 0 {out} {n(turn)} {n(top)}H{n(tip)}"
            f"L{n(end)} {n((top + foot) / 2)}L{n(tip)} {n(foot)}"
            f"H{n(turn)}A{outer} {outer} 0 0 {back} {n(edge - sign * width)} {n(self.y)}"
        )
        if side == "right":
            self.right -= width
        else:
            self.left += width
        return drawn, (end, (top + foot) / 2)


@dataclass(frozen=True)
class _Flow:
    """One drawing: the movement, the words, and the scale that all states share."""

    going: Going
    wording: Wording
    px_per_uw: float
    said: Said

    def foot(self, shown: Budget) -> float:
        """The level that the band of a state comes to."""
        arbors = sum(term.cost == "pivots" for term in shown.terms)
        return TOP_PX + arbors * ROW_PX + APART_PX + sum(self._row_px(row) for row in _escapement_rows(shown))

    def _row_px(self, row: list[Term]) -> float:
        return max(ESCAPEMENT_ROW_PX, max(max(term.uw, 0.0) for term in row) * self.px_per_uw + 2 * BEND_PX + 30)

    def state(self, winding: Winding, shown: Budget) -> Figure:
        """The whole band of one state."""
        band = _Band(shown.source_uw * self.px_per_uw)
        branches: list[Figure] = []
        text = [Words(WIDTH_PX / 2, TOP_PX - 30, self._say(f"sources.{self.going.movement.source.kind}"), "label name")]
        for arbor in winding.power.arbors:
            top = band.y
            title = self.going.train[arbor.arbor].title
            text.append(Words(WIDTH_PX / 2, top + 44, title, "label name on upper"))
            text.append(Words(WIDTH_PX / 2, top + 44, self.said.power(arbor.power_uw), "label on lower"))
            band.down(top + 66)
            branches += [
                self._loss(band, term, shown, "left" if term.cost == "pivots" else "right")
                for term in shown.terms
                if term.arbors[:1] == (arbor.arbor,)
            ]
            band.down(top + ROW_PX)
        band.down(band.y + APART_PX)
        for row in _escapement_rows(shown):
            top = band.y
            band.down(top + 34)
            for n, term in enumerate(row):
                branches.append(self._loss(band, term, shown, "left" if n else "right"))
            band.down(top + self._row_px(row))
        text += self._reaches(band, shown) if shown.runs else self._stops(band, winding)
        trunk = Figure(
            "source",
            self._say("band"),
            shapes=(
                Shape(band.fill, "brass power"),
                Shape(band.edges, "brass power-edge" if shown.runs else "brass power-edge standing"),
            ),
        )
        return Figure(None, None, inner=(trunk, *branches, Figure(None, None, words=tuple(text))), state=winding.name)

    def _loss(self, band: _Band, term: Term, shown: Budget, side: Side) -> Figure:
        """One branch with its figures at its tip."""
        drawn, (end, y) = band.branch(max(term.uw, 0.0) * self.px_per_uw, side)
        uw, share = self.said.power(term.uw), share_text(term.uw / shown.source_uw if shown.source_uw else 0.0)
        anchor: Literal["start", "end"] = "start" if side == "right" else "end"
        x = end + (10 if side == "right" else -10)
        if term.arbors:
            text = [Words(x, y, uw, "label upper", anchor), Words(x, y, share, "label quiet lower", anchor)]
        else:
            text = [Words(x, y, self._say(f"brief.{term.cost}"), "label name over", anchor)]
            text += [Words(x, y, uw, "label", anchor), Words(x, y, share, "label quiet under", anchor)]
        name = term_name(self.going, term, self.wording)
        material = "brass" if term.cost == "teeth" else "ruby" if term.cost in AT_PALLETS and self._stones() else "steel"
        shapes = (Shape(f"{drawn}z", f"{material} power"), Shape(drawn, f"{material} power-edge"))
        return Figure(term.key, f"{name}: {uw}, {share}", shapes=shapes, words=tuple(text))

    def _reaches(self, band: _Band, shown: Budget) -> list[Words]:
        """The arrow that reaches the oscillator, drawn on to the band, and its words."""
        band.down(band.y + 34)
        tip = band.y + max(14.0, 0.45 * (band.right - band.left))
        n = number
        arrow = f"M{n(band.left)} {n(band.y)}L{n(band.middle)} {n(tip)}L{n(band.right)} {n(band.y)}"
        band.fill += arrow + "z"
        band.edges += arrow
        at = tip + 58
        return [
            Words(band.middle, at, self._say(f"oscillators.{self.going.movement.oscillator.kind}"), "label name over"),
            Words(band.middle, at, self.said.power(shown.of("oscillator")), "label"),
            Words(band.middle, at, share_text(shown.reaches), "label quiet under"),
        ]

    def _stops(self, band: _Band, winding: Winding) -> list[Words]:
        """A bar across the band: what comes to the escape wheel goes no further."""
        assert isinstance(winding.beat, Stopped)
        band.edges += f"M{number(band.left - 24)} {number(band.y)}H{number(band.right + 24)}"
        at = band.y + 52
        return [
            Words(WIDTH_PX / 2, at, self._say("stops"), "label name upper"),
            Words(WIDTH_PX / 2, at, self._say(f"reasons.{winding.beat.reason}"), "label lower"),
        ]

    def headings(self) -> Figure:
        """What branches to which side."""
        y = TOP_PX - 30
        left = Words(REACH_PX - 10, y, self._say("pivots"), "label name", "end")
        right = Words(WIDTH_PX - REACH_PX + 10, y, self._say("teeth"), "label name", "start")
        return Figure(None, None, words=(left, right))

    def scale(self) -> Figure:
        """A bar as wide as a round number of microwatts."""
        most = 150.0 / self.px_per_uw
        power = 10.0 ** float(math.floor(math.log10(most)))
        uw = max(step * power for step in (1.0, 2.0, 5.0) if step * power <= most)
        left, y, width, n = 14.0, 28.0, uw * self.px_per_uw, number
        bar = f"M{n(left)} {n(y - 8)}v16M{n(left)} {n(y)}h{n(width)}M{n(left + width)} {n(y - 8)}v16"
        text = self._say("scale", power=f"{words.grouped(f'{uw:g}')}{words.THIN}µW")
        return Figure(None, None, shapes=(Shape(bar, "outline"),), words=(Words(left + width + 14, y, text, "label", "start"),))

    def _say(self, key: str, **facts: str) -> str:
        return self.wording.say(f"drawings.power_flow.{key}", **facts)

    def _stones(self) -> bool:
        """Whether the pallets are of ruby."""
        draft = self.going.plan.draft
        return draft is not None and any(drawn.material == "ruby" for drawn in draft.pallets)


def _escapement_rows(shown: Budget) -> list[list[Term]]:
    """What branches off below the escape wheel, by pairs: to the right, to the left."""
    taken = [term for term in shown.terms if term.cost in ("drop", "wheel", "sliding", "lever")]
    return [taken[i : i + 2] for i in range(0, len(taken), 2)]
