"""What a repair file may not say of its movement, once that is solved: parts that it has not, hands in contradiction."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches

from builder.going.going import Going
from builder.going.parts_tree import tree
from builder.going.setting import setting
from builder.ground.faults import Complaint, Key, Refused
from builder.movement.repair import Repair
from builder.parts.finding.hand_friction import HandFriction
from builder.parts.finding.other import Other


def refuse(going: Going, repair: Repair) -> None:
    """Raises Refused with all of it; `going` is the sound movement."""
    found = [*_parts(going, repair), *_hands(going, repair)]
    if found:
        raise Refused(found)


def _parts(going: Going, repair: Repair) -> Iterator[Complaint]:
    """Parts that are in no place of the movement's tree."""
    there = tree(going).nodes
    named: list[tuple[Key, str]] = [
        (("findings", i, "part"), each.part) for i, each in enumerate(repair.findings) if isinstance(each, Other)
    ]
    named += [(("work", i, "on"), each.on) for i, each in enumerate(repair.work)]
    named += [(("replaced", i, "on"), each.on) for i, each in enumerate(repair.replaced)]
    for key, name in named:
        if name not in there:
            near = get_close_matches(name, there, 1)
            advice = f"Did you mean {near[0]}?" if near else "The page of parts shows the anchors of all parts."
            yield Complaint(key, name, "the anchor of a part that this movement has", advice)


def _hands(going: Going, repair: Repair) -> Iterator[Complaint]:
    """A friction of the hands that is called slack and is no less than the sound one, or tight and no more."""
    was = setting(going)
    for index, finding in enumerate(repair.findings):
        if not isinstance(finding, HandFriction) or was is None:
            continue
        slip = finding.torque_nmm
        if (finding.state == "slack") != (slip < was.grip.torque_nmm):
            way = "less" if finding.state == "slack" else "more"
            allowed = f"{way} than the {was.grip.torque_nmm:.3g} N·mm of the sound one, if it is {finding.state}"
            advice = "Measure it again, or give the sound one's torque in the movement's file."
            yield Complaint(("findings", index, "torque_nmm"), f"{slip:g}", allowed, advice)
