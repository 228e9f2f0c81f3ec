"""What must be true in and between the tables of one movement file, before anything can be computed from it."""

from __future__ import annotations

from collections import Counter

from builder.ground.faults import Complaint, Refused
from builder.ground.words import whole_and_part
from builder.movement.model import Mesh, Movement
from builder.parts.escapement import Working
from builder.parts.motion_work import MOTION_TITLES, MinuteAndHour
from builder.parts.motion_work import complaints as motion_work_complaints
from builder.parts.oscillator import Counted

LEAST_TURNS, MOST_TURNS = 0.01, 200
"""Of the source's arbor in one winding; the upper bound is that of the key `turns`."""


def complaints(movement: Movement) -> list[Complaint]:
    """Every broken rule of the movement: what each part says of itself, then what must hold between them."""
    found = _own(movement) + _motion_ratio(movement)
    if named := _names(movement):
        return found + named  # with names that lead nowhere, what follows would only repeat them
    return found + _tree(movement) + _escape_arbor(movement)


def _own(movement: Movement) -> list[Complaint]:
    """What source, escapement, oscillator and motion work find wrong in their own tables, whatever else the file says."""
    found = {"source": movement.source.complaints() or _winding(movement)}
    if movement.motion_work:
        found["motion_work"] = motion_work_complaints(movement.motion_work)
    if isinstance(movement.escapement, Working):
        try:
            movement.escapement.draft()
        except Refused as refused:
            found["escapement"] = list(refused.complaints)
    if not isinstance(movement.oscillator, Counted):
        found["oscillator"] = movement.oscillator.complaints()
    return [Complaint((table, *c.key), c.value, c.allowed, c.advice) for table, of in found.items() for c in of]


def _winding(movement: Movement) -> list[Complaint]:
    """A winding that follows from sizes stays within what may be counted, and is not nothing."""
    turns = movement.source.usable_turns
    if turns is None or LEAST_TURNS <= turns <= MOST_TURNS:
        return []
    allowed = f"a winding of {LEAST_TURNS:g} to {MOST_TURNS:g} turns"
    return [Complaint((), f"{turns:.3g} turns by its sizes", allowed, "Measure the sizes of the source again.")]


def _names(movement: Movement) -> list[Complaint]:
    found = []
    ids = [arbor.id for arbor in movement.arbors]
    listed = ", ".join(dict.fromkeys(ids))
    twice = [name for name, times in Counter(ids).items() if times > 1]
    for index, arbor in enumerate(movement.arbors):
        if ids.index(arbor.id) < index:
            advice = "Give each arbor an id of its own."
            found.append(Complaint(("arbors", index, "id"), arbor.id, "used by an arbor before", advice))
        if arbor.id in MOTION_TITLES:
            advice = "These names belong to the motion work: " + ", ".join(MOTION_TITLES) + "."
            found.append(Complaint(("arbors", index, "id"), arbor.id, "an id that the motion work does not use", advice))
        for name in arbor.more:
            if name in ("wheel", "pinion"):
                advice = "Choose another name: these two are taken by the arbor's own wheel and pinion."
                found.append(Complaint(("arbors", index, "more", name), name, "a name other than wheel and pinion", advice))

    def must_exist(key: tuple[str | int, ...], name: str) -> bool:
        if name in ids:
            return True
        advice = "Correct the name, or add the arbor."
        if twice:
            advice = f"More than one arbor is called {' and '.join(twice)}: is one of them meant? Else correct this name."
        found.append(Complaint(key, name, f"the id of an arbor: {listed}", advice))
        return False

    for index, name in enumerate(movement.movement.assumed):
        table, _, rest = name.partition(".")
        on, _, part = rest.partition(".")
        if not (on in ids and movement.toothed(on, part) if table == "arbors" else _stands(movement, table, rest)):
            advice = "Correct the name, or take it out of the list."
            found.append(Complaint(("movement", "assumed", index), name, "a size that stands in this file", advice))
    must_exist(("source", "arbor"), movement.source.arbor)
    must_exist(("escapement", "arbor"), movement.escapement.arbor)
    if movement.motion_work:
        must_exist(("motion_work", "on"), movement.motion_work.on)
    for index, mesh in enumerate(movement.meshes):
        for arbor_key, part_key in (("driver", "driver_part"), ("driven", "driven_part")):
            name, part = getattr(mesh, arbor_key), getattr(mesh, part_key)
            itself = arbor_key == "driven" and name == mesh.driver and part_key not in mesh.model_fields_set
            if must_exist(("meshes", index, arbor_key), name) and not itself and movement.toothed(name, part) is None:
                has = _parts_of(movement, name)
                wanted = part if part in ("wheel", "pinion") else f"wheel named {part}"
                advice = f"The arbor {name} has {has}; name one of these or add the {wanted} to the arbor."
                key = ("meshes", index, part_key if part_key in mesh.model_fields_set else arbor_key)
                found.append(Complaint(key, part if key[-1] == part_key else name, f"an arbor with a {wanted}", advice))
    return found


def _stands(movement: Movement, table: str, key: str) -> bool:
    """Whether a key stands in a table, or in any of several."""
    of = getattr(movement, table)
    return any(key in each.model_fields_set for each in (of if isinstance(of, tuple) else (of,)) if each is not None)


def _parts_of(movement: Movement, name: str) -> str:
    arbor = movement.arbor(name)
    has = (["wheel"] if arbor.wheel else []) + (["pinion"] if arbor.pinion else []) + list(arbor.more)
    return ", ".join(has) or "nothing toothed"


def _tree(movement: Movement) -> list[Complaint]:
    """Each arbor is driven once, the source's not at all, and all hang together."""
    found = []
    driven = Counter(mesh.driven for mesh in movement.meshes)
    seen: set[str] = set()
    for index, mesh in enumerate(movement.meshes):
        key = ("meshes", index, "driven")
        if mesh.driven == mesh.driver:
            found.append(Complaint(key, mesh.driven, "another arbor than the driver", "An arbor cannot drive itself."))
        elif mesh.driven == movement.source.arbor:
            advice = "The arbor that carries the source drives; turn this mesh round or name another arbor under [source]."
            found.append(Complaint(key, mesh.driven, "an arbor other than the source's", advice))
        elif mesh.driven in seen and driven[mesh.driven] > 1:
            advice = "Two wheels cannot both drive one arbor: leave one mesh out."
            found.append(Complaint(key, mesh.driven, "an arbor that no other mesh drives", advice))
        seen.add(mesh.driven)
    if found:
        return found
    reached = {movement.source.arbor}
    waiting = list(movement.meshes)
    while moving := [mesh for mesh in waiting if mesh.driver in reached]:
        reached |= {mesh.driven for mesh in moving}
        waiting = [mesh for mesh in waiting if mesh not in moving]
    for index, mesh in enumerate(movement.meshes):
        if mesh in waiting and _in_loop(mesh, movement.meshes):
            advice = "These arbors drive one another in a ring. One of them must be driven from the source instead."
            found.append(Complaint(("meshes", index), f"{mesh.driver} to {mesh.driven}", "a train without a loop", advice))
    for index, arbor in enumerate(movement.arbors):
        if arbor.id not in reached and not any(mesh.driven == arbor.id for mesh in waiting):
            drives = any(mesh.driver == arbor.id for mesh in movement.meshes)
            allowed = "an arbor driven from the one source of power" if drives else "an arbor that the train reaches"
            why = f"It drives but nothing drives it, and the source is on {movement.source.arbor}. " if drives else ""
            advice = why + f"Add a [[meshes]] entry with driven = '{arbor.id}', or leave the arbor out."
            found.append(Complaint(("arbors", index, "id"), arbor.id, allowed, advice))
    if not found and movement.escapement.arbor not in reached:
        advice = "The train does not lead from the source to the escape arbor: a mesh is missing."
        found.append(Complaint(("escapement", "arbor"), movement.escapement.arbor, "reached by the train", advice))
    return found


def _in_loop(mesh: Mesh, meshes: tuple[Mesh, ...]) -> bool:
    driver_of = {each.driven: each.driver for each in meshes}
    at, steps = mesh.driver, 0
    while at in driver_of and at != mesh.driven and steps <= len(meshes):
        at, steps = driver_of[at], steps + 1
    return at == mesh.driven


def _escape_arbor(movement: Movement) -> list[Complaint]:
    index, arbor = next((i, a) for i, a in enumerate(movement.arbors) if a.id == movement.escapement.arbor)
    if arbor.wheel is None:
        return []
    advice = "The escape wheel is described under [escapement]; take this wheel out or name it under `more`."
    return [Complaint(("arbors", index, "wheel"), f"{arbor.wheel.teeth} teeth", "no other wheel on the escape arbor", advice)]


def _motion_ratio(movement: Movement) -> list[Complaint]:
    work = movement.motion_work
    if not isinstance(work, MinuteAndHour) or work.reduction == work.dial_hours:
        return []
    product = f"({work.minute_wheel_teeth} × {work.hour_wheel_teeth}) ÷ ({work.cannon_leaves} × {work.minute_pinion_leaves})"
    allowed = f"{work.dial_hours} to 1 for a dial of {work.dial_hours} hours"
    wanted = work.dial_hours * work.cannon_leaves * work.minute_pinion_leaves
    advice = (
        f"{product} = {whole_and_part(work.reduction)}. Count again: minute wheel times hour wheel must come to {wanted}, "
        f"and is {work.minute_wheel_teeth * work.hour_wheel_teeth}."
    )
    return [Complaint(("motion_work", "hour_wheel_teeth"), str(work.hour_wheel_teeth), allowed, advice)]
