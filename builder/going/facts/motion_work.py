"""From the minute hand to the hour hand."""

from __future__ import annotations

from builder.going.facts.fact import Fact
from builder.going.going import Going
from builder.ground import words
from builder.parts.motion_work import MinuteAndHour


def motion_work(going: Going) -> list[Fact]:
    """Its reduction; nothing where there is none."""
    work = going.movement.motion_work
    if work is None:
        return []
    if isinstance(work, MinuteAndHour):
        inputs: tuple[tuple[str, str], ...] = (
            ("driven_product", f"{work.minute_wheel_teeth} × {work.hour_wheel_teeth}"),
            ("driver_product", f"{work.cannon_leaves} × {work.minute_pinion_leaves}"),
        )
    else:
        inputs = (("driven_product", str(work.hour_wheel_teeth)), ("driver_product", str(work.pinion_leaves)))
    text = f"{words.whole_and_part(work.reduction)} : 1"
    return [Fact("motion_work.reduction", "motion_work", "reduction", "", work.reduction, "", text, inputs)]
