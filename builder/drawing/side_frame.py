"""Where things lie in a section along the unrolled line: rectangles of discs and rings, the ends of plates and dial."""

from __future__ import annotations

from dataclasses import dataclass

from builder.drawing.hatching import Box
from builder.drawing.unrolled import Unrolled
from builder.going.axes import Laid
from builder.going.solids import Ring


@dataclass(frozen=True)
class SideFrame:
    """The line, and the ends of plates and drawing (mm on the line)."""

    laid: Laid
    view: Unrolled
    low_mm: float
    high_mm: float

    def box(self, along: tuple[float, float], heights: tuple[float, float]) -> Box:
        """A rectangle between two places on the line and two heights."""
        xs = sorted(self.view.x(z) for z in heights)
        ys = sorted(self.view.y(u) for u in along)
        return xs[0], ys[0], xs[1], ys[1]

    def bands(self, region: Ring, span: tuple[float, float]) -> list[Box]:
        """A disc whole; a ring above and below its hole."""
        u, outer, inner = self.view.axis(region.at), region.outer_mm, region.inner_mm
        if inner <= 0:
            return [self.box((u - outer, u + outer), span)]
        return [self.box((u + inner, u + outer), span), self.box((u - outer, u - inner), span)]

    def sheet_mm(self, part: str) -> tuple[float, float]:
        """From where to where a plate or the dial is drawn."""
        dial = self.laid.movement.dial
        if part != "dial" or dial is None:
            return self.low_mm, self.high_mm
        middle = self.view.axis(self.laid.dial_at)
        return max(self.low_mm, middle - dial.diameter_mm / 2), min(self.high_mm, middle + dial.diameter_mm / 2)
