"""Values that others have published, beside what the builder comes to for the same input.

The values stand with their sources in files (see entry.py); each is computed by one of the checks below, which go through what
the site itself is computed with. `compared` gives a row for every value.
"""

from __future__ import annotations

from pathlib import Path

from builder.authorities import balances, beats, drives, escapements, pendulums, sums, teeth, trains
from builder.authorities.entry import Authorities, authorities
from builder.authorities.row import Check, Row, rows
from builder.ground.project import AUTHORITIES as FOLDER

__all__ = ["CHECKS", "FOLDER", "Authorities", "Row", "authorities", "compared"]

CHECKS: dict[str, Check] = {
    "train": trains.train_check,
    "motion_work": trains.motion_work,
    "sum": sums.sum_check,
    "seconds_length": pendulums.seconds_length,
    "lengthened": pendulums.lengthened,
    "rating_nut": pendulums.rating_nut,
    "ball": pendulums.ball,
    "mercury_jar": pendulums.mercury_jar,
    "air": pendulums.air,
    "circular": pendulums.circular,
    "great_clock": pendulums.great_clock,
    "material": pendulums.material,
    "stiffness": balances.stiffness,
    "frequency": balances.frequency,
    "energy": balances.energy,
    "growth": balances.growth,
    "warmth": balances.warmth,
    "cut_balance": balances.cut_balance,
    "shortened": balances.shortened,
    "poise": balances.poise,
    "addenda": teeth.addenda,
    "wheel": teeth.wheel,
    "leaf_ends": teeth.leaf_ends,
    "both_ways": teeth.both_ways,
    "least_driver": teeth.least_driver,
    "least_runner": teeth.least_runner,
    "pitch_diameter": teeth.pitch_diameter,
    "basic_rack": teeth.basic_rack,
    "tangents": escapements.tangents,
    "graham": escapements.graham,
    "impulse_placing": escapements.impulse_placing,
    "equidistant_lever": escapements.equidistant_lever,
    "club_teeth": escapements.club_teeth,
    "lever_budget": escapements.lever_budget,
    "spans": escapements.spans,
    "heel": escapements.heel,
    "lift_lost": escapements.lift_lost,
    "fork": escapements.fork,
    "usual_lever": escapements.usual_lever,
    "cylinder": escapements.cylinder,
    "impulse_places": beats.impulse_places,
    "half_area": drives.half_area,
    "inner_coil": drives.inner_coil,
    "spring_steel": drives.spring_steel,
    "fusee": drives.fusee,
    "barrel": drives.barrel,
    "going_time": drives.going_time,
    "pulley": drives.pulley,
    "falling_weight": drives.falling_weight,
    "disc_spring": drives.disc_spring,
}
"""By the name that an entry gives as its kind."""


def compared(folder: Path = FOLDER) -> tuple[Authorities, dict[str, list[Row]]]:
    """Every published value beside what is computed, by the files of the folder. Raises what reading the files raises."""
    known = authorities(folder)
    return known, {name: rows(entries, CHECKS) for name, entries in known.files.items()}
