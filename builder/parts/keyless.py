"""Keyless work: one stem winds the spring when the crown is in, and sets the hands when it is pulled out.

In: crown, stem, sliding clutch, winding pinion, crown wheel, ratchet wheel. Out: the setting lever swings the yoke, the yoke
shifts the clutch along the stem's square out of the winding pinion's teeth and into those of the setting wheel, which leads to
the minute wheel. Counts that the file leaves out are supposed.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated

from pydantic import Field

from builder.ground.part import Length, Listed, Part

KeylessCount = Annotated[int, Field(ge=6, le=120)]

USUAL = {"winding_pinion_teeth": 16, "crown_wheel_teeth": 32, "clutch_teeth": 15}
"""Counts of a watch whose keyless work was not counted (common practice, no source)."""
USUAL_SETTING_WHEELS = (24,)


class Keyless(Part):
    """The keyless work of a watch; every count may be left out."""

    winding_pinion_teeth: KeylessCount | None = None
    """Teeth of the winding pinion, which lead to the crown wheel."""
    crown_wheel_teeth: KeylessCount | None = None
    """Teeth of the crown wheel, which leads to the ratchet wheel; the same teeth meet both."""
    clutch_teeth: KeylessCount | None = None
    """Teeth of the sliding clutch on the side of the setting wheel."""
    setting_wheels: Annotated[Listed[KeylessCount], Field(min_length=1, max_length=3)] | None = None
    """Teeth of the setting wheels, from the clutch to the minute wheel."""
    crown_diameter_mm: Length | None = None
    """Diameter of the crown."""

    @property
    def winding_pinion(self) -> int:
        return self.winding_pinion_teeth or USUAL["winding_pinion_teeth"]

    @property
    def crown_wheel(self) -> int:
        return self.crown_wheel_teeth or USUAL["crown_wheel_teeth"]

    @property
    def clutch(self) -> int:
        return self.clutch_teeth or USUAL["clutch_teeth"]

    @property
    def setting(self) -> tuple[int, ...]:
        return self.setting_wheels or USUAL_SETTING_WHEELS

    @property
    def supposed(self) -> bool:
        """Whether a count that decides a ratio was not given."""
        return self.winding_pinion_teeth is None or self.clutch_teeth is None

    def crown_turns_per_ratchet_turn(self, ratchet_teeth: int) -> Fraction:
        """Turns of the crown for one of the barrel arbor; the crown wheel lies between, and its count drops out."""
        return Fraction(ratchet_teeth, self.winding_pinion)

    def minute_hand_turns_per_crown_turn(self, cannon_leaves: int) -> Fraction:
        """Turns of the minute hand for one of the crown, out; setting wheels and minute wheel drop out."""
        return Fraction(self.clutch, cannon_leaves)

    @property
    def clockwise_sets_on(self) -> bool:
        """Whether the crown turned clockwise, as one looks at it, sets the hands on.

        The setting wheels lie on the dial's side of the stem: turned clockwise, the clutch's near side lifts the teeth that it
        meets, so the first setting wheel turns counter-clockwise as seen from the dial, and each wheel after it turns the
        sense round: minute wheel and cannon pinion are two more.
        """
        return len(self.setting) % 2 == 0
