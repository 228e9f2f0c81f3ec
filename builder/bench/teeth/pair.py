"""A wheel and its pinion as measured: do their diameters and the centres agree on one module?

Each measure gives a module of its own; the plates' centres decide, since they are what the wheels must serve. Measures that agree
within 2 % are as good as worn parts give (common practice, no source).
"""

from __future__ import annotations

from builder.bench.teeth.module import Form, TeethCount, addendum_of
from builder.bench.working.lines import Steps, Working
from builder.bench.working.once import cannot
from builder.going.sizes import AGREE
from builder.ground.part import Length, Part


class Pair(Part):
    """The cross-check of a pair."""

    wheel_teeth: TeethCount
    """Teeth of the wheel that drives."""
    pinion_leaves: TeethCount
    """Leaves of the pinion that is driven."""
    wheel_mm: Length | None = None
    """Diameter of the wheel over the tips."""
    pinion_mm: Length | None = None
    """Diameter of the pinion over the tips."""
    distance_mm: Length | None = None
    """From centre to centre of the pivot holes."""
    form: Form = "cycloidal"
    """Tooth form."""

    def working(self) -> Working:
        """Raises Refused where fewer than two measures are given, or such a pair cannot be cut."""
        measures = [self.distance_mm, self.wheel_mm, self.pinion_mm]
        if sum(each is not None for each in measures) < 2:
            raise cannot(
                "wheel_mm",
                "one measure" if any(measures) else "nothing",
                "two of wheel_mm, pinion_mm and distance_mm",
                "Measure another, to compare.",
            )
        steps = Steps("pair", self)
        wheel = steps.line(
            "wheel_addendum", addendum_of(self.wheel_teeth, self.pinion_leaves, True, self.form), by=f"addendum_{self.form}"
        )
        leaf = steps.line(
            "leaf_addendum", addendum_of(self.pinion_leaves, self.wheel_teeth, False, self.form), by=f"addendum_{self.form}"
        )
        modules = {}
        if self.distance_mm is not None:
            modules["centres"] = steps.line("centres_module_mm", 2 * self.distance_mm / (self.wheel_teeth + self.pinion_leaves))
        if self.wheel_mm is not None:
            modules["wheel"] = steps.line("wheel_module_mm", self.wheel_mm / (self.wheel_teeth + 2 * wheel))
        if self.pinion_mm is not None:
            modules["pinion"] = steps.line("pinion_module_mm", self.pinion_mm / (self.pinion_leaves + 2 * leaf))
        first, *others = modules
        module = steps.line("module_mm", modules[first], by=f"module_by_{first}")
        for other in others:
            steps.line(f"{other}_off_percent", 100 * (modules[other] / module - 1))
        steps.line("centres_mm", module * (self.wheel_teeth + self.pinion_leaves) / 2)
        steps.line("wheel_diameter_mm", module * (self.wheel_teeth + 2 * wheel))
        steps.line("pinion_diameter_mm", module * (self.pinion_leaves + 2 * leaf))
        agree = all(abs(modules[other] / module - 1) <= AGREE for other in others)
        steps.note("agree" if agree else "differ", part=f"{100 * AGREE:g}")
        return steps.done()
