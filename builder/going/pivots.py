"""Pivots that run in the plates: where, how thick, and how far they reach."""

from __future__ import annotations

from builder.going.axes import Laid, into_mm
from builder.going.placed import Point
from builder.going.swing_pieces import lever_pivot_mm, on_the_staff, staff_pivot_mm


def pivots(laid: Laid, plate: str) -> list[tuple[Point, float, float]]:
    """(place, radius, height of its end) of every pivot in the front or back plate; none in anything else."""
    if plate not in ("front-plate", "back-plate"):
        return []
    back, plan, heights = plate == "back-plate", laid.plan, laid.heights
    found = []
    for arbor in laid.movement.arbors:
        shaft = laid.shaft(arbor.id)
        found.append((plan.centres[arbor.id], shaft.pivot_mm, shaft.ends_mm[0 if back else 1]))

    def reaching(radius_mm: float) -> float:
        into = into_mm(radius_mm, heights.plate_mm)
        return -into if back else heights.between_mm + into

    lever = plan.draft is not None and not on_the_staff(laid)
    if lever and not (back and laid.style == "pendulum"):
        radius = lever_pivot_mm(laid)
        found.append((plan.centres["pallets"], radius, reaching(radius)))
    if not back and "balance" in heights.spans and heights["balance"].high_mm < 0:
        radius = staff_pivot_mm(laid)
        found.append((plan.centres["balance"], radius, reaching(radius)))
    return found
