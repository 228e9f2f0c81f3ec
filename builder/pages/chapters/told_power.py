"""What a chapter may name of the power: the source and one winding of it, and where the power goes."""

from __future__ import annotations

from fractions import Fraction
from types import SimpleNamespace
from typing import Any

from builder.going.budget import Budget, budget
from builder.going.going import Going
from builder.going.steady import Running
from builder.ground.constants import GRAVITY_STANDARD_M_S2
from builder.ground.wording import Wording
from builder.ground.words import THIN, duration, figure, period, whole_and_part
from builder.parts.source.weight import Weight

EVEN = 1e-6
"""A source whose torque falls by less than this part is even."""

EASY = 4
"""Parts of a turn that one says as a fraction: halves, thirds, quarters."""


def running(going: Going) -> Running | None:
    """The beat when wound; None where it stops or is not solved."""
    beat = going.windings[0].beat if going.windings else None
    return beat if isinstance(beat, Running) else None


def _with(value: float | None, unit: str, digits: int = 3) -> str | None:
    return None if value is None else f"{figure(value, digits)}{THIN}{unit}"


def source(going: Going, arbors: dict[str, SimpleNamespace]) -> SimpleNamespace:
    """The source, and what one winding of it is."""
    made, train = going.movement.source, going.train
    drive, stored, ratchet = made.drive, made.stored, made.ratchet
    names = SimpleNamespace(
        kind=made.kind,
        arbor=arbors[made.arbor],
        turns=None if train.source_turns is None else turns_text(train.source_turns),
        hours=None if train.going_hours is None else duration(train.going_hours),
        lasts_s=None if train.going_hours is None else round(float(train.going_hours) * 3600),
        turn_takes=period(train[train.path[0]].hours_per_turn),
        clicks=ratchet.teeth if ratchet else None,
        known=drive is not None,
        measured=drive is not None and drive.origin == "measured",
        unsure=f"{figure(100 * drive.uncertainty, 2)}{THIN}%" if drive is not None and drive.uncertainty else None,
        stored=_with(stored.energy_j, "J", 2) if stored else None,
        kept=_with(stored.kept_j, "J", 2) if stored and stored.kept_j else None,
        torque=None, torque_down=None, down_part=None, even=None, energy=None, power=None, lift=None,
    )  # fmt: skip
    if drive is not None and train.going_hours is not None:
        wound, down = (float(torque) for torque in drive.torque_nmm([drive.turns, 0.0]))
        names.torque, names.torque_down = _with(wound, "N·mm"), _with(down, "N·mm")
        names.down_part = f"{figure(100 * down / wound, 2)}{THIN}%"
        names.even = abs(down / wound - 1) < EVEN
        energy = drive.energy_j()
        names.energy = _with(energy, "J")
        names.power = _with(drive.mean_power_uw(float(train.going_hours) / drive.turns), "µW")
        lift_m = energy / GRAVITY_STANDARD_M_S2
        names.lift = _with(lift_m, "m", 2) if lift_m >= 1 else _with(100 * lift_m, "cm", 2)
    if isinstance(made, Weight):
        _weight(names, made, going)
    else:
        _spring(names, made)
    return names


def _weight(names: SimpleNamespace, made: Weight, going: Going) -> None:
    falls, hours = made.falls_mm, going.train.going_hours
    names.mass = f"{made.mass_kg:g}{THIN}kg" if made.mass_kg else None
    names.pulley = made.lines == 2
    names.drum = _with(made.drum_diameter_mm, "mm", 2)
    names.cord = made.cord
    names.fall = _with(falls / 1000, "m", 2) if falls else None
    names.sinks_a_day = _with(falls / 10 / float(hours) * 24, "cm", 2) if falls and hours else None
    names.sinks_a_turn = _with(made.fall_per_turn_mm, "mm")
    names.pull = _with(made.mass_kg * GRAVITY_STANDARD_M_S2 / made.lines, "N") if made.mass_kg else None


def _spring(names: SimpleNamespace, made: Any) -> None:
    strip = made.spring
    names.length = _with(strip.length_mm, "mm") if strip else None
    names.thickness = _with(strip.thickness_mm, "mm", 2) if strip else None
    names.height = _with(strip.height_mm, "mm", 2) if strip else None
    set_up = getattr(made, "set_up_turns", None)
    names.set_up = f"{set_up:g}" if set_up else None
    chained = made.chained if made.kind == "fusee" else None
    if chained is not None:
        names.large, names.small = _with(2 * chained.cone.large_mm, "mm"), _with(2 * chained.cone.small_mm, "mm")
        names.chain = _with(chained.cone.line_mm, "mm", 3)
    elif made.kind == "fusee":
        names.large = names.small = names.chain = None


def turns_text(turns: Fraction) -> str:
    """Turns as one says them: 16, 7 1/2, 7.65."""
    return whole_and_part(turns) if turns.denominator <= EASY else figure(float(turns), 3)


def power(going: Going, wording: Wording) -> SimpleNamespace | None:
    """Where the power goes when wound, as parts of what the source gives; None where the force is not known."""
    if not going.windings:
        return None
    wound, train = going.windings[0], going.train
    spent = budget(train, wound)
    names = SimpleNamespace(
        source=_with(spent.source_uw, "µW"),
        escape=_with(spent.escape_uw, "µW"),
        arrives=_share(spent.escape_uw, spent),
        teeth=_share(spent.of("teeth"), spent),
        pivots=_share(spent.of("pivots"), spent),
        drop=_share(spent.of("drop"), spent),
        rubbing=_share(spent.of("sliding"), spent),
        landing=_share(spent.of("wheel"), spent),
        lever=_share(spent.of("lever"), spent) if spent.of("lever") else None,
        lost_there=_share(spent.of("drop", "sliding", "wheel", "lever"), spent),
        reaches=_share(spent.of("oscillator"), spent),
        reaches_uw=_with(spent.of("oscillator"), "µW"),
        torque_first=_with(wound.power.source_torque_nmm, "N·mm"),
        torque_last=_with(wound.power.escape_torque_nmm, "N·mm"),
        teeth_parts=[term.key for term in spent.terms if term.cost == "teeth"],
        pivot_parts=[term.key for term in spent.terms if term.cost == "pivots"],
        escape_parts=[term.key for term in spent.terms if term.cost in ("drop", "sliding", "wheel", "lever")],
    )
    worst = max((term for term in spent.terms if term.cost in ("pivots", "teeth")), key=lambda term: term.uw)
    names.drop_wins = spent.of("drop") > worst.uw
    names.worst_part, names.worst = worst.key, _share(worst.uw, spent)
    titles = [train[name].title.lower() for name in worst.arbors]
    key = "teeth" if worst.cost == "teeth" else "pivots"
    names.worst_name = wording.say(f"learn.worst_{key}", one=titles[0], other=titles[-1])
    return names


def _share(uw: float, spent: Budget) -> str:
    return f"{figure(100 * uw / spent.source_uw, 2)}{THIN}%"
