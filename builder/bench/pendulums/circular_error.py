"""Circular error: a pendulum loses as its arc widens, by 1 + α²/16 + 11 α⁴/3072 + … of its period (α: half the arc).

The exact loss follows from the complete elliptic integral; the trade's rule 5400 α² s a day is its first term (E. Beckett, A
Rudimentary Treatise on Clocks, Watches, and Bells, 8th ed., London 1903, p. 35). The arc may be measured on a straight scale.

Neglected: what the escapement does with the arc, which in an anchor clock is often the larger part.
"""

from __future__ import annotations

from math import atan, degrees, radians, tan

from builder.bench.pendulums.length import SemiArcDeg
from builder.bench.working.lines import Steps, Working
from builder.bench.working.once import not_once, refuse
from builder.ground.faults import Complaint
from builder.ground.part import Length, Part
from builder.parts.oscillator.terms import circular_error_s_per_day


class CircularError(Part):
    """The loss at an arc, and between two arcs."""

    semi_arc_deg: SemiArcDeg | None = None
    """How far it swings to each side. Give this, or swing_mm and at_mm."""
    swing_mm: Length | None = None
    """Whole width of the swing on a straight scale."""
    at_mm: Length | None = None
    """Depth of that scale below the bend of the suspension."""
    to_deg: SemiArcDeg | None = None
    """A second arc to compare with, to each side."""
    to_swing_mm: Length | None = None
    """Whole width of the second swing on the same scale."""

    def working(self) -> Working:
        """Raises Refused where the arc is not told once, or is wider than 30° to each side."""
        self._refuse()
        steps = Steps("circular_error", self)
        first = self._arc(steps, self.semi_arc_deg, self.swing_mm, "semi_arc_deg", "semi_arc_by_swing")
        arc = steps.line("semi_arc_rad", radians(first), semi_arc_deg=first)
        if self.at_mm is not None:
            steps.line("degree_mm", self.at_mm * tan(radians(1)))
        loss = steps.line("circular_s_per_day", circular_error_s_per_day(arc))
        steps.line("rule_s_per_day", -5400 * arc**2)
        if self.to_deg is not None or self.to_swing_mm is not None:
            second = self._arc(steps, self.to_deg, self.to_swing_mm, "to_deg", "to_by_swing")
            to_rad = steps.line("to_rad", radians(second), to_deg=second)
            other = steps.line("to_circular_s_per_day", circular_error_s_per_day(to_rad))
            steps.line("difference_s_per_day", other - loss)
        return steps.done()

    def _arc(self, steps: Steps, told: float | None, swing: float | None, name: str, by: str) -> float:
        if told is not None:
            return told
        assert swing is not None and self.at_mm is not None, "told once"
        return steps.line(name, degrees(atan(swing / 2 / self.at_mm)), by=by)

    def _refuse(self) -> None:
        found = not_once(self, "semi_arc_deg", "swing_mm")
        if self.to_deg is not None and self.to_swing_mm is not None:
            found.append(Complaint(("to_deg",), "both", "to_deg or to_swing_mm", "Give one of the two."))
        for name in ("swing_mm", "to_swing_mm"):
            swing = getattr(self, name)
            if swing is not None and self.at_mm is None:
                found.append(Complaint(("at_mm",), "nothing", f"the depth at which {name} was measured", "Give at_mm."))
            elif swing is not None and self.at_mm is not None and swing / 2 > self.at_mm * tan(radians(30)):
                found.append(Complaint((name,), f"{swing:g}", "an arc of 30° to each side at most", "Measure again."))
        refuse(found)
