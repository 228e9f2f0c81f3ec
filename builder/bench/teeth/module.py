"""Module of a wheel or pinion from its diameter over the tips and its count, through the tooth form's addendum.

Outside diameter = module × (teeth + 2 × addendum in modules). A cycloidal wheel's addendum depends on its mate too: 0.95 of the
height at which its epicycloid comes to a point (BS 978-2:1952); a leaf's follows from the end it has. Involute: 1 (ISO 53).

Neglected: worn or rounded tips, which make the module come out too small.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from builder.bench.working.lines import Steps, Working
from builder.ground.faults import Complaint, Refused
from builder.ground.part import Length, Part
from builder.parts.teeth import MESH_FORMS

TeethCount = Annotated[int, Field(ge=4, le=600)]
Form = Literal["cycloidal", "involute"]


class Module(Part):
    """The module of one measured wheel or pinion."""

    teeth: TeethCount
    """Its teeth or leaves."""
    outside_mm: Length
    """Its diameter over the tips."""
    mate: TeethCount
    """Teeth or leaves of its mate."""
    drives: Literal["yes", "no"] = "yes"
    """Whether it drives the mate: wheels of a train do, pinions are driven."""
    form: Form = "cycloidal"
    """Tooth form."""

    def working(self) -> Working:
        """Raises Refused where such a pair cannot be cut."""
        steps = Steps("module", self)
        addendum = addendum_of(self.teeth, self.mate, self.drives == "yes", self.form)
        steps.line("addendum", addendum, by=f"addendum_{self.form}")
        module = steps.line("module_mm", self.outside_mm / (self.teeth + 2 * addendum))
        steps.line("pitch_diameter_mm", self.teeth * module)
        steps.line("centres_mm", module * (self.teeth + self.mate) / 2)
        return steps.done()


def addendum_of(teeth: int, mate: int, drives: bool, form: str) -> float:
    """Height of the teeth above the pitch circle, in modules. Raises Refused (keys teeth and mate)."""
    try:
        pair = MESH_FORMS[form]().pair(*((teeth, mate) if drives else (mate, teeth)), 1.0)
    except Refused as refused:
        keys = {"driver": "teeth" if drives else "mate", "driven": "mate" if drives else "teeth"}
        raise Refused(
            [Complaint((keys.get(str(c.key[0]), "teeth"),), c.value, c.allowed, c.advice) for c in refused.complaints]
        ) from None
    return (pair.driver if drives else pair.driven).tip_mm - teeth / 2
