"""Motion work: the gearing from the arbor that carries the cannon pinion to the hour hand.

Kinds: `minute_and_hour` (cannon pinion, minute wheel and pinion, hour wheel: two pairs on one centre distance) and
`hour_only` (one pinion and one dial wheel, as in clocks and watches with a single hand).
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Annotated, Literal, Union

from pydantic import Field

from builder.ground.faults import Complaint
from builder.ground.part import Angle, Length, Part, Slug
from builder.parts.clutch import CLUTCHES

if TYPE_CHECKING:
    from builder.parts.clutch import Clutch
else:
    Clutch = Annotated[Union[tuple(CLUTCHES.values())], Field(discriminator="kind")]  # noqa: UP007

CANNON, MINUTE, HOUR = "cannon", "minute_wheel", "hour_wheel"
"""Ids of the motion work's own arbors; no arbor of the train may use them."""

MOTION_TITLES = {CANNON: "Cannon pinion", MINUTE: "Minute wheel", HOUR: "Hour wheel"}

MotionCount = Annotated[int, Field(ge=4, le=400)]


class Hand(Part):
    """A hand as weighed, and balanced on a knife's edge."""

    mass_g: Annotated[float, Field(gt=0, le=5e4)]
    """Mass of the hand with its boss."""
    centre_mm: Annotated[float, Field(ge=0, le=5000)]
    """Distance from the middle of its hole to where it balances; 0 for a hand with a counterpoise that poises it."""


class MinuteAndHour(Part):
    """Cannon pinion on an arbor that turns once an hour; minute wheel and pinion; hour wheel back on the same centre."""

    kind: Literal["minute_and_hour"]
    on: Slug
    """The arbor that carries the cannon pinion (it turns once an hour)."""
    dial_hours: Literal[12, 24] = 12
    """Hours for one turn of the hour hand."""
    cannon_leaves: MotionCount
    """Leaves of the cannon pinion (teeth, where it is a cannon wheel)."""
    minute_wheel_teeth: MotionCount
    """Teeth of the minute wheel, which the cannon pinion drives."""
    minute_pinion_leaves: MotionCount
    """Leaves of the minute pinion, fixed to the minute wheel."""
    hour_wheel_teeth: MotionCount
    """Teeth of the hour wheel, which the minute pinion drives."""
    module_mm: Length | None = None
    """Module of cannon pinion and minute wheel."""
    hour_module_mm: Length | None = None
    """Module of minute pinion and hour wheel; follows from the shared centre distance when left out."""
    distance_mm: Length | None = None
    """Centre distance as measured, instead of a module."""
    direction_deg: Angle = 0.0
    """Direction from the centre arbor to the minute wheel's post, seen from the front, counter-clockwise from 3 o'clock."""
    clutch: Clutch | None = None
    """The friction that carries the hands and lets them be set; left out: what suits the movement."""
    minute_hand: Hand | None = None
    """The minute hand; left out: what suits the dial."""
    hour_hand: Hand | None = None
    """The hour hand; left out: what suits the dial."""

    @property
    def reduction(self) -> Fraction:
        """Turns of the cannon pinion for one of the hour wheel: product of the driven over product of the drivers."""
        return Fraction(self.minute_wheel_teeth * self.hour_wheel_teeth, self.cannon_leaves * self.minute_pinion_leaves)


class HourOnly(Part):
    """One pinion of the train drives a dial wheel with the only hand."""

    kind: Literal["hour_only"]
    on: Slug
    """The arbor of the train that carries the driving pinion."""
    dial_hours: Literal[12, 24] = 12
    """Hours for one turn of the hour hand."""
    pinion_leaves: MotionCount
    """Leaves of the driving pinion (the old books' pinion of report)."""
    hour_wheel_teeth: MotionCount
    """Teeth of the dial wheel that carries the hour hand."""
    module_mm: Length | None = None
    """Module of the pair."""
    distance_mm: Length | None = None
    """Centre distance as measured, instead of a module."""
    direction_deg: Angle = 0.0
    """Direction from the driving arbor to the dial wheel, seen from the front, counter-clockwise from 3 o'clock."""
    clutch: Clutch | None = None
    """The friction between dial wheel and hand; left out: what suits the movement."""
    hour_hand: Hand | None = None
    """The hand; left out: what suits the dial."""

    @property
    def reduction(self) -> Fraction:
        """Turns of the driving arbor for one of the dial wheel."""
        return Fraction(self.hour_wheel_teeth, self.pinion_leaves)


def complaints(work: MinuteAndHour | HourOnly) -> list[Complaint]:
    """All that cannot be in a motion work's own table; keys are relative to it."""
    found = work.clutch.complaints() if work.clutch else []
    return [Complaint(("clutch", *c.key), c.value, c.allowed, c.advice) for c in found]


MOTION_WORKS: dict[str, type[MinuteAndHour] | type[HourOnly]] = {"minute_and_hour": MinuteAndHour, "hour_only": HourOnly}
MotionWork = MinuteAndHour | HourOnly
