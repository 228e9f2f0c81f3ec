"""What a pendulum clock gains when it is carried to another place: 86 400 (√(g₂/g₁) − 1) s a day.

Gravity by the Geodetic Reference System 1980 and the free-air gradient, or by the lengths of the seconds pendulum at both places.
Neglected: the rock under the place and local anomalies (up to 4 s a day), another temperature.
"""

from __future__ import annotations

from builder.bench.pendulums.gravity import HeightM, LatitudeDeg, Length
from builder.bench.working.lines import Steps, Working
from builder.bench.working.once import cannot
from builder.ground.constants import gravity_m_s2
from builder.ground.part import Part
from builder.parts.oscillator.rating import carried_s_per_day


class Place(Part):
    """The gain from one place to another."""

    from_latitude_deg: LatitudeDeg | None = None
    """Latitude of the place where it kept time."""
    from_height_m: HeightM = 0.0
    """Its height above the sea."""
    to_latitude_deg: LatitudeDeg | None = None
    """Latitude of the new place."""
    to_height_m: HeightM = 0.0
    """Its height above the sea."""
    from_standard_mm: Length | None = None
    """Length of the seconds pendulum where it kept time, instead of latitude and height."""
    to_standard_mm: Length | None = None
    """Length of the seconds pendulum at the new place."""

    def working(self) -> Working:
        """Raises Refused where either place is not told once."""
        by_latitude = None not in (self.from_latitude_deg, self.to_latitude_deg)
        if by_latitude == (None not in (self.from_standard_mm, self.to_standard_mm)):
            allowed = "both latitudes, or both lengths of the seconds pendulum"
            raise cannot("from_latitude_deg", "both" if by_latitude else "nothing", allowed, "Give one of the two.")
        steps = Steps("place", self)
        if self.from_standard_mm is not None and self.to_standard_mm is not None:
            rate = carried_s_per_day(self.from_standard_mm, self.to_standard_mm)
            steps.line("rate_s_per_day", rate, by="rate_by_standards")
        elif self.from_latitude_deg is not None and self.to_latitude_deg is not None:
            first = steps.line("from_gravity_m_s2", gravity_m_s2(self.from_latitude_deg, self.from_height_m))
            second = steps.line("to_gravity_m_s2", gravity_m_s2(self.to_latitude_deg, self.to_height_m))
            rate = steps.line("rate_s_per_day", carried_s_per_day(first, second))
        steps.line("minutes_per_day", rate / 60)
        return steps.done()
