"""A movement of which only counts are known, with usual sizes, so that there is a drawing: what is assumed is named in it."""

from __future__ import annotations

from typing import Any

from builder.going.going import Going, going
from builder.going.plan import only_counted
from builder.going.train import train
from builder.ground.faults import Complaint, Refused
from builder.movement.model import Movement
from builder.starter.assumed import FINER, LEAST_MODULE_MM, MOTION_MODULE, motion_sized, sized
from builder.starter.layout import NoRoom, laid_out

Data = dict[str, Any]

PLATES = ("plates.width_mm", "plates.height_mm", "plates.centre_mm")


def running(slug: str, movement: Movement) -> Going:
    """The movement solved; one of counts alone with usual sizes. Raises Refused."""
    if not only_counted(movement):
        return going(slug, movement)
    data = movement.model_dump(exclude_unset=True)
    data["escapement"].setdefault("teeth", movement.escapement.teeth)
    meshes = [each for each in train(movement).pairs if each.key[0] == "meshes"]
    pairs = [(each.driver, each.driver_part, each.driver_count, each.driven, each.driven_count) for each in meshes]
    assumed, _ = sized(data, pairs)
    assumed += [MOTION_MODULE] if motion_sized(data) else []
    why: tuple[Complaint, ...] = ()
    try:
        return standing(slug, data, assumed)[1]
    except NoRoom:
        pass
    except Refused as refused:
        why = refused.complaints
    advice = "By usual sizes it finds no place. Measure the wheels over their tips and where the arbors stand, and put that in."
    raise Refused([Complaint(("meshes", 0), "counts alone", "sizes with which all clears all", advice), *why])


def standing(slug: str, data: Data, assumed: list[str]) -> tuple[Data, Going]:
    """The data laid out, what is assumed named in it, and the movement running. Raises NoRoom, Refused.

    Where the gearing of the hands is in the way of an arbor and nobody measured it, it is taken finer until it is not.
    """
    while True:
        try:
            laid, _ = laid_out(data)
            own = data.get("plates")
            named = [*assumed, "meshes.direction_deg", *(() if own else PLATES)]
            laid |= {"movement": {**laid["movement"], "assumed": named}, "plates": own or laid["plates"]}
            return laid, going(slug, Movement.model_validate(laid))
        except Refused as refused:
            module = data.get("motion_work", {}).get("module_mm")
            only_hands = all(complaint.key[0] == "motion_work" for complaint in refused.complaints)
            if MOTION_MODULE not in assumed or not only_hands or module < 2 * LEAST_MODULE_MM:
                raise
            data = {**data, "motion_work": {**data["motion_work"], "module_mm": float(f"{FINER * module:.2g}")}}
