"""Demo movements with findings on them, and their beats, each worked out once for all tests that ask."""

from __future__ import annotations

from functools import cache
from typing import Any

from builder.going.beat import Workings
from builder.going.repair import condition, works_of
from builder.going.steady import Running, Stopped
from builder.parts.finding import FINDINGS, Found
from builder.parts.source.winding import states
from tests.solved import demo


def found(kind: str, **keys: Any) -> Found:
    """A finding, as its file would give it."""
    return FINDINGS[kind].model_validate({"kind": kind, "severity": "marked", **keys})


def works(slug: str, *findings: Found) -> Workings:
    """What the beat of a demo movement is solved from, with these findings."""
    going = demo(slug)
    made = works_of(going, condition(going, [*findings]))
    assert made is not None
    return made


def escape_nmm(made: Workings, state: str = "half wound") -> float:
    """Mean torque on the escape wheel."""
    return made.flow(next(s.turns_left for s in states(made.drive.turns) if s.name == state)).escape_torque_nmm


def beat(made: Workings, state: str = "half wound") -> Running | Stopped:
    """The beat under that torque."""
    return made.steady_at(escape_nmm(made, state))


def running(slug: str, *findings: Found, state: str = "half wound") -> Running:
    """The beat with these findings, where it goes."""
    solved = beat(works(slug, *findings), state)
    assert isinstance(solved, Running), solved
    return solved


@cache
def sound(slug: str, state: str = "half wound") -> Running:
    """The sound movement's beat."""
    solved = next(winding.beat for winding in demo(slug).windings if winding.name == state)
    assert isinstance(solved, Running)
    return solved
