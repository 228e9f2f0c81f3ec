"""Depthing: the centres for two counts and a module, and what an error of a few hundredths does, by true contact.

Centre distance = module × (teeth + leaves)/2. Set too deep, tips run into the spaces of the mate and the pair jams; set too
shallow, a tooth lets go before the next has caught. Play, transmission error and efficiency at each error are solved on the
actual teeth (parts/teeth/contact.py, whose docstring says what it neglects).
"""

from __future__ import annotations

from fractions import Fraction
from math import degrees
from typing import Annotated, Literal

from pydantic import Field

from builder.bench.teeth.module import Form, TeethCount
from builder.bench.working.asked import Exact
from builder.bench.working.lines import Steps, Working
from builder.bench.working.units import Value
from builder.ground.faults import Complaint, Refused
from builder.ground.part import Part
from builder.parts.teeth import MESH_FORMS
from builder.parts.teeth.contact import solve
from builder.parts.teeth.gear import GearPair

ERRORS_MM = (-0.1, -0.05, -0.02, -0.01, 0.0, 0.01, 0.02, 0.05, 0.1)
"""Centres too near (below 0) and too far."""


class Depth(Part):
    """Centre distance, diameters and depth errors of a pair."""

    wheel_teeth: TeethCount
    """Teeth of the wheel that drives."""
    pinion_leaves: TeethCount
    """Leaves of the pinion that is driven."""
    module_mm: Annotated[Exact, Field(gt=0, le=50)]
    """Module."""
    form: Form = "cycloidal"
    """Tooth form."""
    friction: Annotated[float, Field(ge=0, le=0.5)] = 0.15
    """Coefficient of friction of the teeth."""
    error_mm: Annotated[float, Field(ge=-5, le=5)] | None = None
    """One error to look at, + too far. Left out: from 0.01 to 0.1 mm both ways."""
    table: Literal["yes", "no"] = "yes"
    """'no' leaves the solved depth errors out."""

    def working(self) -> Working:
        """Raises Refused where such a pair cannot be cut."""
        try:
            pair = MESH_FORMS[self.form]().pair(self.wheel_teeth, self.pinion_leaves, float(self.module_mm))
        except Refused as refused:
            keys = {"driver": "wheel_teeth", "driven": "pinion_leaves"}
            raise Refused(
                [Complaint((keys.get(str(c.key[0]), "form"),), c.value, c.allowed, c.advice) for c in refused.complaints]
            ) from None
        steps = Steps("depth", self)
        steps.line("wheel_pitch_mm", self.module_mm * self.wheel_teeth)
        steps.line("pinion_pitch_mm", self.module_mm * self.pinion_leaves)
        steps.line("centres_mm", self.module_mm * (self.wheel_teeth + self.pinion_leaves) / Fraction(2))
        for name, gear in (("wheel", pair.driver), ("leaf", pair.driven)):
            steps.line(f"{name}_addendum", gear.tip_mm / gear.module_mm - gear.teeth / 2, by=f"addendum_{self.form}")
        steps.line("wheel_diameter_mm", 2 * pair.driver.tip_mm)
        steps.line("pinion_diameter_mm", 2 * pair.driven.tip_mm)
        if self.table == "yes":
            errors = ERRORS_MM if self.error_mm is None else (0.0, self.error_mm)
            steps.table("errors", [self._row(pair, error) for error in errors], solved=True)
        return steps.done()

    def _row(self, pair: GearPair, error: float) -> dict[str, Value | None]:
        if pair.distance_mm + error <= max(pair.driver.pitch_mm, pair.driven.pitch_mm):
            return {"error_mm": error, "verdict": "jams"}
        seen = solve(pair, self.friction, error)
        jams = seen.verdict == "jams"
        return {
            "error_mm": error,
            "verdict": seen.verdict,
            "play_mm": seen.least_play_mm,
            "strays_deg": None if jams else degrees(seen.transmission_error_rad),
            "efficiency_percent": None if jams else 100 * seen.efficiency,
            "least_torque_percent": None if jams else 100 * float(min(seen.torque_ratio)) * self.wheel_teeth / self.pinion_leaves,
        }
