"""A mainspring lying free on the bench, as it was and as it is tired: the more it has set, the closer it lies coiled.

The strip lies in even coils from the arbor's radius outwards, as many as the file says of the good spring (three where it says
nothing: common practice, no source), and as many more of the tired one as turns of wind it has lost.
"""

from __future__ import annotations

import math

import numpy as np

from builder.drawing.path import opened
from builder.drawing.sheet import Figure, Shape, Sheet
from builder.drawing.worn.pair import HEIGHT_PX, WIDTH_PX, Lens, Pair, sheet
from builder.ground.geometry import Points, polar
from builder.ground.wording import Wording
from builder.parts.source.housed import Housed

USUAL_COILS = 3.0


def draw(slug: str, name: str, housed: Housed, lost_turns: float, wording: Wording) -> Pair:
    """`lost_turns`: turns of wind by which its pull has fallen."""
    spring = housed.spring
    good = max(spring.free_coils or USUAL_COILS, 0.5)
    lies = {"new": _lying(housed, good), "worn": _lying(housed, good + lost_turns)}
    reach = max(float(np.max(np.abs(points))) for points in lies.values())
    lens = Lens((0.0, 0.0), 0.47 * min(HEIGHT_PX, WIDTH_PX) / reach)

    def drawn(side: str) -> Sheet:
        strip = Shape(opened(lens.px(lies[side]), 1), "wire blued strip")
        return sheet(slug, side, "spring", lens, (Figure("mainspring", None, shapes=(strip,)),), wording, name)

    return Pair(drawn("new"), drawn("worn"))


def _lying(housed: Housed, coils: float) -> Points:
    """The strip's middle line, (N, 2) mm: even coils of its whole length; never closer than its thickness."""
    length, inner = housed.spring.length_mm, housed.arbor_diameter_mm / 2
    outer = max(length / (math.pi * coils) - inner, inner + coils * housed.spring.thickness_mm)
    turn = np.linspace(0.0, coils, max(2, math.ceil(48 * coils)))
    return polar(inner + (outer - inner) * turn / coils, 2 * math.pi * turn)
