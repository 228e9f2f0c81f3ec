"""Every computed figure of a movement with what it was computed from: for the table of figures and for other programs.

A fact's `kind` names its label, formula and source in the wording; `key` is stable, for programs that read the JSON. Facts of one
state of winding carry it in their key: 'power.half_wound.great.uw'.
"""

from __future__ import annotations

from builder.going.facts.escapement import escapement
from builder.going.facts.fact import Fact, Inputs, Value
from builder.going.facts.motion_work import motion_work
from builder.going.facts.oscillator import oscillator
from builder.going.facts.power import power
from builder.going.facts.rating import rating
from builder.going.facts.setting import setting
from builder.going.facts.sizes import sizes
from builder.going.facts.train import arbors, beat, meshes
from builder.going.facts.winding import winding
from builder.going.going import Going

__all__ = ["Fact", "Inputs", "Value", "facts"]


def facts(going: Going) -> tuple[Fact, ...]:
    """All figures, group by group, in the order of the power path."""
    return (
        *beat(going),
        *arbors(going),
        *meshes(going),
        *winding(going),
        *power(going),
        *escapement(going),
        *oscillator(going),
        *rating(going),
        *motion_work(going),
        *setting(going),
        *sizes(going),
    )
