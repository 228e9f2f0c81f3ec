"""Where everything of the keyless work lies, px about the winding pinion's middle, x right, y up, seen from the dial's side.

A diagram: wheels are as large as their counts make them, all of one module; their places are chosen, since no file gives them.
Crown wheel and ratchet wheel lie behind the plate, all else before it.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

from builder.ground.faults import Refused
from builder.parts.keyless import Keyless
from builder.parts.motion_work import MinuteAndHour
from builder.parts.teeth.cycloidal import Cycloidal
from builder.parts.teeth.gear import Gear, GearPair
from builder.parts.teeth.involute import Involute
from builder.parts.teeth.mesh import meshing_angle

MODULE_PX = 6.0
TURN_MS = 6000
"""One turn of the crown: ten a minute, an unhurried thumb."""
PULL_PX = 22.0
"""How far the stem is pulled out."""
SLIDE_PX = 20.0
"""How far the clutch slides to meet the setting wheel."""

PINION_PX = (-14.0, 16.0)
"""The winding pinion along the stem: from the clutch's teeth to its shoulder."""
CLUTCH_PX = (-64.0, -14.0)
"""The sliding clutch, crown in."""
TOOTH_PX = 9.0
"""Height of the teeth between clutch and winding pinion, and of those that meet the setting wheel."""

WAYS_DEG = {1: (190.0,), 2: (235.0, 165.0), 3: (250.0, 200.0, 150.0)}
"""From the first setting wheel to the next, and on to the minute wheel, by how many setting wheels there are."""
CANNON_DEG = 110.0
"""From minute wheel to cannon pinion."""
RATCHET_DEG = 75.0
"""From crown wheel to ratchet wheel."""


@dataclass(frozen=True)
class Placed:
    """A wheel in plan: where it stands, how it is turned, and its turns for one of the crown (counter-clockwise positive)."""

    part: str
    gear: Gear
    at: complex
    phase_rad: float
    turns: Fraction
    material: str = "steel"

    @property
    def reach(self) -> float:
        return self.gear.tip_mm


@dataclass(frozen=True)
class Layout:
    """The keyless work of one watch, laid out."""

    keyless: Keyless
    work: MinuteAndHour
    ratchet: int

    @property
    def pinion_radius(self) -> float:
        return MODULE_PX * self.keyless.winding_pinion / 2

    @property
    def clutch_radius(self) -> float:
        """Over its teeth; no wider than the winding pinion that it couples with."""
        return min(MODULE_PX * self.keyless.clutch / 2, self.pinion_radius)

    @cached_property
    def behind(self) -> tuple[Placed, Placed]:
        """Crown wheel and ratchet wheel. The crown's front rises, so the pinion's back and the crown wheel's rim sink."""
        pair = _pair(self.keyless.crown_wheel, self.ratchet)
        turns = -Fraction(self.keyless.winding_pinion, self.keyless.crown_wheel)
        crown = Placed("crown-wheel", pair.driver, complex(-pair.driver.pitch_mm, 0.0), 0.0, turns)
        return crown, _next(crown, pair, RATCHET_DEG, "ratchet-wheel")

    @cached_property
    def before(self) -> tuple[Placed, ...]:
        """Setting wheels, minute wheel, cannon pinion. The clutch's front rises and lifts the first one's rim."""
        counts = [*self.keyless.setting, self.work.minute_wheel_teeth]
        pairs = [_pair(a, b) for a, b in pairwise(counts)]
        ways = WAYS_DEG[len(pairs)]
        first, edge = pairs[0].driver, CLUTCH_PX[0] - SLIDE_PX + TOOTH_PX / 2
        turns = Fraction(self.keyless.clutch, self.keyless.setting[0])
        made = [Placed("setting-wheel-1", first, complex(edge - first.pitch_mm, 0.0), 0.0, turns)]
        for n, (pair, way) in enumerate(zip(pairs, ways, strict=True), 2):
            last = n == len(counts)
            part = "minute-wheel" if last else f"setting-wheel-{n}"
            made.append(_next(made[-1], pair, way, part, "brass" if last else "steel"))
        final = Cycloidal().pair(self.work.cannon_leaves, self.work.minute_wheel_teeth, MODULE_PX)
        back = GearPair(final.driven, final.driver)
        return (*made, _next(made[-1], back, CANNON_DEG, "cannon-pinion", "brass"))

    @cached_property
    def levers(self) -> Levers:
        return Levers(self.clutch_radius)


@dataclass(frozen=True)
class Levers:
    """Setting lever and yoke: turned so that the lever's pin is in the stem's groove and the yoke in the clutch's, in and out."""

    clutch_radius: float
    groove_px: float = 64.0
    """Where the stem's groove stands, crown in."""
    pin_px: float = 49.0
    """From the lever's screw to its pin."""
    nose: complex = complex(-14.0, -26.0)
    """The lever's nose from its screw, crown in."""
    nose_px: float = 5.0
    stud: complex = complex(40.0, 6.0)
    """The lever's stud in its spring's notch, from its screw, crown in."""

    @property
    def lever_at(self) -> complex:
        """The lever's screw: the pin passes over it as the stem is pulled."""
        return complex(self.groove_px + PULL_PX / 2, -9.0 - math.sqrt(self.pin_px**2 - (PULL_PX / 2) ** 2))

    @property
    def lever_turn(self) -> float:
        """Turn of the lever when the stem is pulled, rad (clockwise, so < 0)."""
        return -2 * math.asin(PULL_PX / 2 / self.pin_px)

    @property
    def pin(self) -> complex:
        """The pin from the lever's screw, crown in."""
        return complex(self.groove_px, -9.0) - self.lever_at

    @property
    def yoke_at(self) -> complex:
        """The yoke's screw."""
        return complex(34.0, self.lever_at.imag - 84.0)

    @property
    def fork(self) -> complex:
        """The yoke's end in the clutch's groove, from its screw, crown in."""
        return complex(sum(CLUTCH_PX) / 2, -0.72 * self.clutch_radius) - self.yoke_at

    @property
    def yoke_turn(self) -> float:
        """Turn of the yoke that shifts its end by the clutch's way, rad (counter-clockwise)."""
        start = cmath.phase(self.fork)
        return math.acos((self.fork.real - SLIDE_PX) / abs(self.fork)) - start

    @property
    def push(self) -> complex:
        """Where the nose presses when the stem is out, seen in the yoke as it lies when the stem is in, from its screw."""
        nose = self.lever_at + self.nose * cmath.exp(1j * self.lever_turn)
        return (nose - self.yoke_at) * cmath.exp(-1j * self.yoke_turn)


def _pair(driver: int, driven: int) -> GearPair:
    """Involute teeth, as modern keyless work has them; cycloidal where so few involute ones would be undercut."""
    try:
        return Involute().pair(driver, driven, MODULE_PX)
    except Refused:
        return Cycloidal().pair(driver, driven, MODULE_PX)


def _next(last: Placed, pair: GearPair, away_deg: float, part: str, material: str = "steel") -> Placed:
    """The wheel that `last` drives, in mesh with it."""
    line = math.radians(away_deg)
    at = last.at + cmath.rect(pair.distance_mm, line)
    phase = meshing_angle(pair, last.phase_rad, line, last.turns > 0)
    return Placed(part, pair.driven, at, phase, -last.turns * Fraction(pair.driver.teeth, pair.driven.teeth), material)
