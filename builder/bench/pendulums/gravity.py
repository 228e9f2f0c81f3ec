"""Gravity as a pendulum's sum needs it: standard, as given, or of a place."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from builder.bench.working.lines import Steps
from builder.ground.constants import GRAVITY_STANDARD_M_S2, gravity_m_s2

LatitudeDeg = Annotated[float, Field(ge=-90, le=90)]
HeightM = Annotated[float, Field(ge=-500, le=9000)]
GravityMS2 = Annotated[float, Field(gt=1, le=30)]
Length = Annotated[float, Field(gt=1, le=100_000)]
"""A pendulum's length in mm."""


def gravity_of(steps: Steps, latitude_deg: float | None, height_m: float, given_m_s2: float | None = None) -> float:
    """As given, else of the place (Geodetic Reference System 1980 and the free-air gradient), else standard."""
    if given_m_s2 is not None:
        return given_m_s2
    if latitude_deg is None:
        return steps.line("gravity_m_s2", GRAVITY_STANDARD_M_S2, by="gravity_standard")
    return steps.line("gravity_m_s2", gravity_m_s2(latitude_deg, height_m), by="gravity_of_place")
