"""Weight and fall: turns, cord, fall, drum, torque, energy and power of a driving weight.

A pulley (two lines) halves fall and torque (E. Beckett, A Rudimentary Treatise on Clocks, Watches, and Bells, 8th ed., London
1903, p. 132). The cord pulls at its middle. Power is m g h over the hours of the winding.

Neglected: friction of the pulley, the cord's own weight and its slope along the drum.
"""

from __future__ import annotations

from fractions import Fraction
from math import pi
from typing import Annotated, Literal

from pydantic import Field

from builder.bench.trains.anchored import BeatsPerHour, Hours, Turns
from builder.bench.working.lines import Steps, Working
from builder.bench.working.once import cannot, not_once, refuse
from builder.ground.constants import GRAVITY_STANDARD_M_S2
from builder.ground.faults import Complaint
from builder.ground.part import Length, Part


class WeightFall(Part):
    """The fall of a weight, or the drum for a fall."""

    great_hours: Hours | None = None
    """Hours of one turn of the drum's arbor."""
    going_hours: Hours | None = None
    """Hours that one winding lasts."""
    turns: Turns | None = None
    """Turns of the drum in one winding. Any two of great_hours, going_hours and turns give the third."""
    drum_mm: Length | None = None
    """Diameter of the drum. Give this, or the fall there is."""
    fall_mm: Annotated[float, Field(gt=0, le=50_000)] | None = None
    """How far the weight can fall."""
    cord_mm: Annotated[float, Field(ge=0, le=100)] = 0.0
    """Thickness of the cord."""
    lines: Literal[1, 2] = 1
    """2 where the weight hangs in a pulley."""
    mass_kg: Annotated[float, Field(gt=0, le=5000)] | None = None
    """Mass of the weight, for torque, energy and power."""
    beats_per_hour: BeatsPerHour | None = None
    """Beats an hour, to see how far it sinks at each."""

    def working(self) -> Working:
        """Raises Refused where turns or drum do not follow from what is told."""
        self._refuse()
        steps = Steps("weight_fall", self)
        turns, hours = self._turns(steps)
        if self.drum_mm is not None:
            pull = steps.line("pull_diameter_mm", self.drum_mm + self.cord_mm)
            a_turn = steps.line("cord_per_turn_mm", pi * pull)
            run = steps.line("cord_run_mm", float(turns) * a_turn, turns=turns)
            fall = steps.line("fall_mm", run / self.lines)
        else:
            assert self.fall_mm is not None, "told once"
            fall = self.fall_mm
            run = steps.line("cord_run_mm", fall * self.lines, by="cord_by_fall")
            a_turn = steps.line("cord_per_turn_mm", run / float(turns), by="cord_by_run", turns=turns)
            pull = steps.line("pull_diameter_mm", a_turn / pi, by="pull_by_cord")
            if pull <= self.cord_mm:
                raise cannot(
                    "cord_mm",
                    f"{self.cord_mm:g}",
                    f"less than {pull:.4g} mm",
                    "The fall is too short for so many turns: use a pulley, or fewer turns.",
                )
            steps.line("drum_mm", pull - self.cord_mm)
        if self.cord_mm:
            steps.line("drum_length_mm", float(turns) * self.cord_mm, turns=turns)
        if self.mass_kg is not None:
            self._force(steps, self.mass_kg, pull, fall, hours)
        if self.beats_per_hour is not None and hours is not None:
            steps.line("fall_per_beat_mm", fall / float(hours * self.beats_per_hour), fall_mm=fall, hours=hours)
        return steps.done()

    def _turns(self, steps: Steps) -> tuple[Fraction, Fraction | None]:
        """(turns, hours of the winding or None)."""
        if self.turns is None:
            assert self.going_hours is not None and self.great_hours is not None, "told"
            return steps.line("turns", self.going_hours / self.great_hours), self.going_hours
        if self.going_hours is None and self.great_hours is not None:
            return self.turns, steps.line("going_hours", self.turns * self.great_hours)
        if self.going_hours is not None and self.great_hours is None:
            steps.line("great_hours", self.going_hours / self.turns)
        return self.turns, self.going_hours

    def _force(self, steps: Steps, mass: float, pull: float, fall: float, hours: Fraction | None) -> None:
        steps.line("torque_nmm", mass * GRAVITY_STANDARD_M_S2 / self.lines * pull / 2, gravity_m_s2=GRAVITY_STANDARD_M_S2)
        energy = steps.line(
            "energy_j", mass * GRAVITY_STANDARD_M_S2 * fall / 1000, gravity_m_s2=GRAVITY_STANDARD_M_S2, fall_mm=fall
        )
        if hours is not None:
            steps.line("power_uw", energy / (float(hours) * 3600) * 1e6, hours=hours)

    def _refuse(self) -> None:
        found = not_once(self, "drum_mm", "fall_mm")
        great, going, turns = self.great_hours, self.going_hours, self.turns
        if turns is None and (great is None or going is None):
            found.append(
                Complaint(("turns",), "nothing", "turns, or great_hours and going_hours", "Give turns, or both of these.")
            )
        if great and going and turns and great * turns != going:
            comes, advice = f"{float(great * turns):g}", "That is turns times hours of a turn: leave one of the three out."
            found.append(Complaint(("going_hours",), f"{float(going):g}", comes, advice))
        refuse(found)
