"""Two drawings that belong together, and what is common to those that show a piece of a part enlarged."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from builder.drawing.path import Points, View, closed, number
from builder.drawing.sheet import Figure, Shape, Sheet, Words
from builder.ground.wording import Wording

WIDTH_PX, HEIGHT_PX, FOOT_PX = 400.0, 300.0, 34.0
ROUND_MM = (20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02)


@dataclass(frozen=True)
class Pair:
    """The part as it was made and as it is found."""

    new: Sheet
    worn: Sheet
    facts: dict[str, str] = field(default_factory=dict)
    """What was reckoned on the way, as text for a sentence."""


@dataclass(frozen=True)
class Lens:
    """A window on the plane: its middle (mm) and px per mm."""

    middle_mm: tuple[float, float]
    scale: float

    def px(self, points_mm: Points) -> Points:
        """(…, 2) mm to px."""
        return View(self.scale).px(np.asarray(points_mm) - np.array(self.middle_mm))

    def at(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        """One point."""
        x, y = self.px(np.array([x_mm, y_mm]))
        return round(float(x), 2), round(float(y), 2)

    def shape(self, points_mm: Points, classes: str) -> Shape:
        """A closed outline."""
        return Shape(closed(self.px(points_mm), 1), classes)

    def sees(self, points_mm: Points, margin: float = 1.6) -> np.ndarray:
        """(N,) whether points lie in the window or near it."""
        x, y = np.abs(self.px(points_mm)).T
        return np.asarray((x < margin * WIDTH_PX / 2) & (y < margin * HEIGHT_PX / 2))


def sheet(slug: str, side: str, what: str, lens: Lens, figures: tuple[Figure, ...], wording: Wording, name: str) -> Sheet:
    """One of the two drawings; `side` is new or worn. A rule under it says how large all is."""
    return Sheet(
        f"{slug}-{side}",
        wording.say(f"repairs.wear.{side}", part=name),
        wording.say(f"repairs.wear.{what}.desc_{side}", part=name),
        (-WIDTH_PX / 2, -HEIGHT_PX / 2, WIDTH_PX, HEIGHT_PX + FOOT_PX),
        (*figures, _rule(lens, wording)),
        classes="cropped worn",
    )


def _rule(lens: Lens, wording: Wording) -> Figure:
    """How long a round length is here."""
    length = next(mm for mm in ROUND_MM if mm * lens.scale < WIDTH_PX / 2.5)
    long, left, right, foot = length * lens.scale, -WIDTH_PX / 2, WIDTH_PX / 2 - 8, HEIGHT_PX / 2
    y = foot + FOOT_PX / 2
    ground = Shape(f"M{number(left)} {number(foot)}h{number(WIDTH_PX)}v{number(FOOT_PX)}h{number(-WIDTH_PX)}z", "ground")
    marks = f"M{number(right - long)} {number(y - 5)}v10m0-5H{number(right)}m0-5v10"
    text = Words(right - long - 10, y, wording.say("repairs.wear.rule", length=f"{length:g}"), "label", "end")
    return Figure(None, None, shapes=(ground, Shape(marks, "outline")), words=(text,))
