"""One tooth unlike the others: what a mesh does when it comes by, once a turn of its wheel.

Frame and angles as in `contact`: the driver turns counter-clockwise. Driver tooth j works with driven tooth j; tooth 0 of one of
the two is hurt. The driven, held back by its load, never falls back: where no pair carries it on, it stands and the driver falls.

Neglected: that a bent tooth has also changed its form (it is turned about the arbor as a whole), the blow after a fall and what
it breaks. A tooth worn thin has its acting flank set back and its form kept.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from builder.parts.teeth.contact import press, solve
from builder.parts.teeth.curve import Complex, Real
from builder.parts.teeth.gear import GearPair
from builder.parts.teeth.touch import touch

PITCHES = 3
"""Pitches of the driver that are looked at before and after the hurt tooth."""
LOOKS = 96
"""Driver angles a pitch: a fall is found to so much of a pitch."""
BEHIND_RAD = 1e-7
"""A driven tooth that lags so little behind where it was has not been let go."""

Harm = Literal["bent", "worn", "missing"]
Side = Literal["driver", "driven"]


@dataclass(frozen=True)
class Passage:
    """What happens once a turn of the wheel or pinion with the hurt tooth."""

    jams: bool
    """The backs of teeth meet, or friction locks the pair: it does not come by."""
    least_part: float
    """Least torque passed on while teeth touch, as a part of the mesh's mean."""
    lags_rad: float
    """How far the driven falls behind the exact ratio before the next pair carries it on."""
    falls_rad: float
    """How far the driver falls free; 0 where the next pair takes over in time."""
    skips: int
    """How many teeth of the driver go by without driving."""


@lru_cache(maxsize=256)
def passage(pair: GearPair, friction: float, too_far_mm: float, side: Side, harm: Harm, by_mm: float) -> Passage:
    """The passage of one hurt tooth of the driver or the driven; `by_mm` at its pitch circle (see condition.Hurt)."""
    driver, driven = pair.driver, pair.driven
    distance = pair.distance_mm + too_far_mm
    pitch, turn = driver.angle_rad, driven.angle_rad
    ratio = driver.teeth / driven.teeth
    own = driver if side == "driver" else driven
    off = by_mm / own.pitch_mm
    front_off = -abs(off) if harm == "worn" else off
    back_off = 0.0 if harm == "worn" else off
    phi = np.linspace(-PITCHES * pitch, PITCHES * pitch, 2 * PITCHES * LOOKS + 1)
    teeth = np.arange(-PITCHES - 3, PITCHES + 4)
    angles = phi + teeth[:, None] * pitch
    zero = (teeth == 0)[:, None]

    def nominal(driver_rad: Real) -> Real:
        return driven.half_tooth_rad + (driver_rad + driver.half_tooth_rad) * ratio

    def strays(at: Real, from_rad: Real) -> tuple[Real, Complex, Complex]:
        """How far each tooth needs the driven ahead of the exact ratio; where it touches; the normal."""
        one = touch(driver, driven, distance, at.ravel())
        return one.alpha_rad.reshape(at.shape) - nominal(from_rad), one.point.reshape(at.shape), one.normal.reshape(at.shape)

    on_driver = side == "driver"
    front, point, normal = strays(angles + (front_off * zero if on_driver else 0.0), angles)
    back, _, _ = strays(-angles - (back_off * zero if on_driver else 0.0), -angles)
    if not on_driver:
        front = front - front_off * zero
        back = back + back_off * (teeth == 1)[:, None]
    if harm == "missing":
        front = np.where(zero, -np.inf, front)
        back = np.where(zero if on_driver else (teeth == 1)[:, None], -np.inf, back)
    room = turn - 2 * driven.half_tooth_rad - 2 * driver.half_tooth_rad * ratio
    ahead = front.max(axis=0)
    stands, falls, skips = _followed(phi, nominal(phi), front, teeth, turn)
    driving = np.isfinite(ahead) & ~stands
    tight = np.where(driving, room - ahead - back.max(axis=0), np.inf)
    which = (np.argmax(front, axis=0), np.arange(len(phi)))
    pressed = press(point[which], normal[which], distance, friction)
    with np.errstate(divide="ignore", invalid="ignore"):
        torque = np.where(pressed.driver_arm_mm > 0, pressed.driven_arm_mm / pressed.driver_arm_mm, 0.0)
    sound = solve(pair, friction, too_far_mm)
    torque = np.where(driving, torque, np.inf)
    jams = bool(np.any(tight < -1e-9) or np.any(torque <= 0.0))
    least = float(torque.min()) * ratio / sound.efficiency
    lags = float(np.max(-ahead[driving], initial=0.0))
    return Passage(jams, max(0.0, least), lags, falls, skips)


def _followed(
    phi: Real, nominal: Real, front: Real, teeth: NDArray[np.int64], turn_rad: float
) -> tuple[NDArray[np.bool_], float, int]:
    """Where the driver falls (N,) bool, its longest fall in rad, and the teeth that go by.

    A tooth that comes within reach behind the driven's next one will push it; one that comes in before it has slipped past
    and meets the one ahead, so that the driven is then a tooth behind.
    """
    needs = nominal + front
    stands = np.zeros(len(phi), bool)
    reached, fall, longest = -np.inf, 0.0, 0.0
    slipped = np.zeros(len(teeth), int)
    within = np.zeros(len(teeth), bool)
    for k in range(len(phi)):
        here = np.isfinite(needs[:, k])
        for j in np.flatnonzero(here & ~within) if stands[k - 1] else ():
            if needs[j, k] - slipped[j] * turn_rad > reached + BEHIND_RAD:
                slipped[: j + 1] += 1  # it, and all that come after it
        within = here
        most = float(np.max(np.where(here, needs[:, k] - slipped * turn_rad, -np.inf), initial=-np.inf))
        if most >= reached - BEHIND_RAD:
            reached, fall = max(reached, most), 0.0
        else:
            stands[k] = True
            fall += float(phi[1] - phi[0])
            longest = max(longest, fall)
    return stands, longest, int(slipped.max())
