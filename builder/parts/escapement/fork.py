"""Fork and roller: how lever and balance drive each other inside the lift, and the safety action outside it."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from builder.ground.part import Angle, Length, Part


class LeverTable(Part):
    """What joins the pallets to the balance; every key may be left out."""

    balance_lift_deg: Annotated[float, Field(gt=10, le=90)] = 50.0
    """Lift angle of the balance: how far it turns while its impulse pin is in the fork; usually 48 to 53 degrees."""
    fork_mm: Length | None = None
    """Acting length of the fork, pallet arbor to impulse pin, mm; left out: the centre distance of wheel and pallets."""
    line_deg: Angle = 0.0
    """Turn of the line to the balance from the line escape arbor to pallet arbor: 0 straight line, 90 or -90 right angled."""
    pin_width: Annotated[float, Field(gt=0.02, lt=0.6)] = 0.22
    """Width of the impulse pin as a part of its distance from the balance arbor."""
    pin_shake_deg: Annotated[float, Field(ge=0, le=2)] = 0.25
    """Freedom of the impulse pin in the fork's slot, degrees at the lever."""
    guard_freedom_deg: Annotated[float, Field(gt=0, le=5)] | None = None
    """How far the lever can be moved off its banking before the guard pin meets the safety roller; less than lock and run."""
    horn_freedom_deg: Annotated[float, Field(gt=0, le=5)] | None = None
    """How far the lever can be moved off its banking before a horn meets the impulse pin; less than lock and run."""
    safety_ratio: Annotated[float, Field(gt=0.3, lt=1)] = 4 / 7
    """Radius of the safety roller as a part of the impulse pin's distance from the balance arbor."""
