"""Modules and centre distances: what was measured at the bench brought to one module and one distance for each mesh."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from builder.going.train import Pair, Train
from builder.ground import words
from builder.ground.faults import Complaint, Finding, Key, Refused
from builder.movement.model import Mesh, Movement, Pinion, Toothed
from builder.parts.motion_work import HOUR, MINUTE, HourOnly, MinuteAndHour
from builder.parts.teeth import MESH_FORMS
from builder.parts.teeth.cycloidal import Cycloidal
from builder.parts.teeth.gear import GearPair, MeshForm

AGREE = 0.02
"""Two measurements of one mesh may differ by this part of the module before it is a fault (a worn calliper, a worn tip)."""


@dataclass(frozen=True)
class Sized:
    """One mesh with its module, centre distance and the two gears cut for each other."""

    pair: Pair
    module_mm: float
    distance_mm: float
    gears: GearPair
    form: str
    measured: str
    """What the module was taken from, in words."""
    too_far_mm: float = 0.0
    """How much further than `distance_mm` the centres stand apart, through worn holes; < 0: nearer."""


def sizes(movement: Movement, train: Train) -> tuple[tuple[Sized, ...], tuple[Finding, ...]]:
    """Every mesh brought to size, in the train's order. Raises Refused with all that cannot be."""
    found: list[Complaint] = []
    sized: list[Sized] = []
    findings: list[Finding] = []
    for pair in train.pairs:
        if pair.key[0] == "meshes":
            one = _train_mesh(movement, pair, movement.meshes[int(pair.key[1])], found)
        else:
            one = _motion_mesh(movement, pair, found)
        if one is None:
            continue
        module, distance, form, measured = one
        try:
            gears = _form(movement, pair, form).pair(pair.driver_count, pair.driven_count, module)
        except Refused as refused:
            found += [_about_teeth(movement, pair, each) for each in refused.complaints]
            continue
        findings += [Finding(_tooth_key(movement, pair, str(f.key[0])), f.text) for f in gears.findings]
        sized.append(Sized(pair, module, distance, gears, form, measured))
    if found:
        raise Refused(found)
    return tuple(sized), tuple(findings)


def _form(movement: Movement, pair: Pair, form: str) -> MeshForm:
    """The tooth form of a mesh, with the leaf end that the file names for the pinion that is driven."""
    driven = movement.toothed(pair.driven, pair.driven_part) if pair.key[0] == "meshes" else None
    if form == "cycloidal" and isinstance(driven, Pinion):
        return Cycloidal(leaf_end=driven.profile)
    return MESH_FORMS[form]()


def _train_mesh(movement: Movement, pair: Pair, mesh: Mesh, found: list[Complaint]) -> tuple[float, float, str, str] | None:
    """(module, distance, form, what it was measured from), or None after a complaint."""
    counts = pair.driver_count + pair.driven_count
    said: list[tuple[str, float, Key]] = []
    for side, arbor, part in (("driver", pair.driver, pair.driver_part), ("driven", pair.driven, pair.driven_part)):
        toothed = movement.toothed(arbor, part)
        assert toothed is not None, "the rules have made sure"
        key = _part_key(movement, arbor, part)
        what = f"the {part if part in ('wheel', 'pinion') else part + ' wheel'} of {arbor}"
        said += _measured(toothed, key, what, side, pair, _form(movement, pair, mesh.form))
    places = [movement.arbor(name).at_mm for name in (pair.driver, pair.driven)]
    if places[0] is not None and places[1] is not None:
        distance = float(np.hypot(*(np.array(places[0]) - np.array(places[1]))))
        index = next(i for i, arbor in enumerate(movement.arbors) if arbor.id == pair.driven)
        said.append(("the two centres", 2 * distance / counts, ("arbors", index, "at_mm")))
    if not said:
        advice = (
            f"Nothing gives the size of the teeth between {pair.driver} and {pair.driven}. Give module_mm or "
            "outside_diameter_mm on the wheel, or at_mm on both arbors."
        )
        found.append(Complaint(pair.key, f"{pair.driver} to {pair.driven}", "a mesh of known size", advice))
        return None
    first, module, _ = said[0]
    for what, other, key in said[1:]:
        if abs(other - module) > AGREE * module:
            advice = (
                f"{words.capital(first)} asks for module {words.figure(module)} mm and a centre distance of "
                f"{words.figure(module * counts / 2, 4)} mm, {what} for {words.figure(other)} mm and "
                f"{words.figure(other * counts / 2, 4)} mm. Measure again, or leave one of them out."
            )
            found.append(Complaint(key, f"module {words.figure(other)} mm", f"module {words.figure(module)} mm", advice))
            return None
    for what, exact_module, _ in said:
        if what == "the two centres":  # the plates are drilled: their distance is what the wheels must serve
            return exact_module, exact_module * counts / 2, mesh.form, what
    return module, module * counts / 2, mesh.form, first


def _measured(toothed: Toothed, key: Key, what: str, side: str, pair: Pair, form: MeshForm) -> list[tuple[str, float, Key]]:
    said = []
    if toothed.module_mm is not None:
        said.append((f"the module of {what}", toothed.module_mm, (*key, "module_mm")))
    if toothed.outside_diameter_mm is not None:
        try:
            gears = form.pair(pair.driver_count, pair.driven_count, 1.0)
        except Refused:  # the same counts are refused again, with their reason, when the pair is cut
            return said
        tip = (gears.driver if side == "driver" else gears.driven).tip_mm
        said.append((f"the diameter of {what}", toothed.outside_diameter_mm / (2 * tip), (*key, "outside_diameter_mm")))
    return said


def _motion_mesh(movement: Movement, pair: Pair, found: list[Complaint]) -> tuple[float, float, str, str] | None:
    work = movement.motion_work
    assert work is not None
    if isinstance(work, HourOnly):
        counts = work.pinion_leaves + work.hour_wheel_teeth
    else:
        counts = work.cannon_leaves + work.minute_wheel_teeth
    key: Key = ("motion_work",)
    if work.module_mm is None and work.distance_mm is None:
        if pair.driver != MINUTE:
            advice = "Give module_mm, or distance_mm between the two posts."
            found.append(Complaint(key, "no size", "a motion work of known size", advice))
        return None
    distance = work.distance_mm if work.distance_mm is not None else (work.module_mm or 0) * counts / 2
    if work.module_mm is not None and abs(work.module_mm * counts / 2 - distance) > AGREE * work.module_mm * counts / 2:
        if pair.driver != MINUTE:
            stands = words.figure(work.module_mm * counts / 2, 4)
            advice = f"Module {work.module_mm} mm and {counts} teeth together ask for {stands} mm. Measure again."
            found.append(Complaint((*key, "distance_mm"), f"{distance} mm", f"{stands} mm", advice))
        return None
    if isinstance(work, HourOnly) or pair.driver != MINUTE:
        return 2 * distance / counts, distance, "cycloidal", "the motion work's size"
    return _hour_mesh(work, distance, found)


def _hour_mesh(work: MinuteAndHour, distance: float, found: list[Complaint]) -> tuple[float, float, str, str] | None:
    counts = work.minute_pinion_leaves + work.hour_wheel_teeth
    asked = 2 * distance / counts
    if work.hour_module_mm is not None and abs(work.hour_module_mm - asked) > AGREE * asked / 2:
        own = words.figure(work.hour_module_mm * counts / 2, 4)
        advice = (
            f"Cannon pinion and minute wheel stand {words.figure(distance, 4)} mm apart; minute pinion and hour wheel of this "
            f"module would need {own} mm, but turn on the same two centres. Module {words.figure(asked, 4)} mm would fit."
        )
        found.append(
            Complaint(("motion_work", "hour_module_mm"), str(work.hour_module_mm), f"{words.figure(asked, 4)} mm", advice)
        )
        return None
    return asked, distance, "cycloidal", "the shared centre distance"


def _part_key(movement: Movement, arbor: str, part: str) -> Key:
    index = next(i for i, each in enumerate(movement.arbors) if each.id == arbor)
    return ("arbors", index, part) if part in ("wheel", "pinion") else ("arbors", index, "more", part)


def _tooth_key(movement: Movement, pair: Pair, side: str) -> Key:
    """The file's key of a count: side is 'driver' or 'driven'."""
    arbor, part = (pair.driver, pair.driver_part) if side == "driver" else (pair.driven, pair.driven_part)
    if pair.key[0] == "meshes":
        return (*_part_key(movement, arbor, part), "leaves" if part == "pinion" else "teeth")
    if isinstance(movement.motion_work, HourOnly):
        return ("motion_work", "pinion_leaves" if side == "driver" else "hour_wheel_teeth")
    names = {MINUTE: ("minute_pinion_leaves", "minute_wheel_teeth"), HOUR: ("", "hour_wheel_teeth")}
    return ("motion_work", names.get(arbor, ("cannon_leaves", ""))[0 if side == "driver" else 1])


def _about_teeth(movement: Movement, pair: Pair, complaint: Complaint) -> Complaint:
    key = _tooth_key(movement, pair, str(complaint.key[0]))
    return Complaint(key, complaint.value, complaint.allowed, complaint.advice)
