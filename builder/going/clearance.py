"""What would run into what in plan: wheels that an arbor of the train would pass through."""

from __future__ import annotations

import math

from builder.going.placed import Point, Toothing
from builder.going.train import Train
from builder.ground import words
from builder.ground.faults import Complaint
from builder.movement.model import Movement
from builder.parts.escapement.draft import Draft


def collisions(
    movement: Movement,
    train: Train,
    toothings: tuple[Toothing, ...],
    centres: dict[str, Point],
    arbor_mm: dict[str, float],
    draft: Draft | None,
) -> list[Complaint]:
    """Wheels of the train that an arbor of the train would pass through (arbors reach from plate to plate).

    A balance may swing outside the plates, so its staff is left out. Neglected: the pallet arbor's own thickness.
    """
    reach = [
        (t.arbor, t.key, f"{t.gear.teeth} {t.noun}", t.gear.tip_mm)
        for t in toothings
        if train[t.arbor].role != "motion work" and t.key[0] == "arbors"
    ]
    mates = [{pair.driver, pair.driven} for pair in train.pairs]
    stand = {arbor.id: arbor_mm[arbor.id] for arbor in train.arbors if arbor.role != "motion work"}
    if draft:
        radius = f"{words.figure(draft.tip_mm)} mm"
        reach.append((movement.escapement.arbor, ("escapement", "radius_mm"), radius, draft.tip_mm))
        if not draft.hollow:  # a cylinder is cut away where the teeth pass
            stand["pallets"] = 0.0
    found = []
    for arbor, key, value, tip in reach:
        for other, radius_mm in stand.items():
            apart = math.dist(centres[arbor], centres[other])
            short = tip + radius_mm - apart
            if arbor != other and short > 0:
                name = "pallet arbor" if other == "pallets" else f"{other} arbor"
                thick = f", {words.figure(radius_mm, 2)} mm in radius," if radius_mm else ""
                mend = "Change a direction so that the two stand further apart."
                if {arbor, other} in mates:
                    mend = "The two mesh, so no direction helps: count and measure the teeth of both arbors again."
                advice = (
                    f"Its teeth reach {words.figure(tip)} mm, but the {name}{thick} stands {words.figure(apart)} mm away: "
                    f"{words.figure(short, 2)} mm too near. {mend}"
                )
                what = "pinion" if key[-1] == "pinion" else "wheel"
                found.append(Complaint(key, value, f"a {what} clear of the {name}", advice))
    return found


def thick_pivots(movement: Movement, toothings: tuple[Toothing, ...]) -> list[Complaint]:
    """Pivots as thick as what is toothed on their own arbor, to the roots of its teeth: a slip of the pen."""
    found = []
    for index, arbor in enumerate(movement.arbors):
        roots = [2 * t.gear.root_mm for t in toothings if t.arbor == arbor.id]
        if arbor.pivot_diameter_mm is not None and roots and arbor.pivot_diameter_mm >= min(roots):
            allowed = f"less than {words.figure(min(roots))} mm"
            advice = "A pivot is thinner than the smallest wheel or pinion of its arbor is between the teeth: measure it again."
            found.append(Complaint(("arbors", index, "pivot_diameter_mm"), f"{arbor.pivot_diameter_mm:g}", allowed, advice))
    return found
