"""Two gears in phase: where the driven stands when the driver stands there, at the exact ratio of their counts."""

from __future__ import annotations

import math

from builder.parts.teeth.gear import GearPair


def meshing_angle(pair: GearPair, driver_rad: float, line_rad: float, driver_turns_ccw: bool) -> float:
    """Angle of the driven's tooth 0 (rad, as drawn by its outline) when the driver's tooth 0 stands at `driver_rad`.

    `line_rad` is the direction from the driver's centre to the driven's. The working flanks touch at the pitch point as
    each passes the line of centres; the play is all on the other side. Exactly linear in `driver_rad`: true contact
    strays from it by the pair's transmission error (see `contact`).
    """
    ratio = pair.driver.teeth / pair.driven.teeth
    sense = 1 if driver_turns_ccw else -1
    before_centres = driver_rad - line_rad + sense * pair.driver.half_tooth_rad
    return line_rad + math.pi - sense * pair.driven.half_tooth_rad - ratio * before_centres
