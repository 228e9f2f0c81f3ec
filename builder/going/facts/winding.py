"""What the source holds: turns, hours, torque and energy of one winding."""

from __future__ import annotations

from builder.going.facts.fact import Fact, Inputs, quantity
from builder.going.going import Going
from builder.ground import words
from builder.parts.source import Weight


def winding(going: Going) -> list[Fact]:
    """Turns and hours as counted; torque and energy where the force is known."""
    return [*_counted(going), *_forced(going), *_stored(going)]


def _counted(going: Going) -> list[Fact]:
    train = going.train
    if train.source_turns is None or train.going_hours is None:
        return []
    first = train[train.path[0]]
    text = words.whole_and_part(train.source_turns)
    inputs = (("source_turns", text), ("hours_per_turn", words.period(first.hours_per_turn)))
    return [
        Fact("winding.turns", "winding", "source_turns", first.title, train.source_turns, "", text),
        Fact(
            "winding.going_hours", "winding", "going_hours", first.title, train.going_hours, "h",
            words.duration(train.going_hours), inputs,
        ),
    ]  # fmt: skip


def _forced(going: Going) -> list[Fact]:
    """Of the torque over the winding."""
    drive, hours = going.movement.source.drive, going.train.going_hours
    if drive is None or hours is None:
        return []
    first = going.train[going.train.path[0]]
    wound, down = (float(drive.torque_nmm(turns)) for turns in (drive.turns, 0.0))
    energy = drive.energy_j()
    mean = drive.mean_power_uw(float(hours) / drive.turns)
    text, kind = words.figure(energy, 3), f"energy_{drive.origin}"
    torques = (("torque_wound", quantity(wound, "N·mm", 3)), ("torque_down", quantity(down, "N·mm", 3)))
    inputs = (("source_turns", words.figure(drive.turns, 3)), *torques)
    found = [
        Fact("winding.torque_wound_nmm", "winding", "torque_wound", first.title, wound, "N·mm", words.figure(wound, 3)),
        Fact("winding.torque_down_nmm", "winding", "torque_down", first.title, down, "N·mm", words.figure(down, 3)),
        Fact(
            "winding.evenness", "winding", "evenness", first.title, drive.evenness, "", words.figure(drive.evenness, 3), torques
        ),
        Fact("winding.energy_j", "winding", kind, first.title, energy, "J", text, inputs),
        Fact(
            "winding.mean_power_uw", "winding", "mean_power", first.title, mean, "µW", words.figure(mean, 3),
            (("energy", quantity(energy, "J", 3)), ("going_hours", words.duration(hours))),
        ),
    ]  # fmt: skip
    if drive.uncertainty:
        percent = 100 * drive.uncertainty
        found.append(
            Fact("winding.uncertainty", "winding", "uncertainty", first.title, percent, "%", f"±{words.figure(percent, 2)}")
        )
    return found


def _stored(going: Going) -> list[Fact]:
    """What comes out if it is let go."""
    stored = going.movement.source.stored
    if stored is None:
        return []
    subject = going.train[going.train.path[0]].title
    found: list[Fact] = []
    inputs: Inputs = ()
    if stored.mass_kg is not None and stored.fall_mm is not None:
        fall = words.figure(stored.fall_mm, 4)
        inputs = (("mass", quantity(stored.mass_kg, "kg", 3)), ("fall", quantity(stored.fall_mm, "mm")))
        found.append(Fact("winding.fall_mm", "winding", "fall", subject, stored.fall_mm, "mm", fall))
        found += _pulley(going, stored.energy_j)
    kind = f"stored_{stored.sort}"
    found.append(
        Fact("winding.stored_j", "winding", kind, subject, stored.energy_j, "J", words.figure(stored.energy_j, 3), inputs)
    )
    if stored.kept_j:
        text = words.figure(stored.kept_j, 3)
        found.append(Fact("winding.kept_j", "winding", "kept", subject, stored.kept_j, "J", text))
    return found


def _pulley(going: Going, held_j: float) -> list[Fact]:
    """What the pulley takes of one winding, where the file states its efficiency: paid before the drum, so not in the budget."""
    source = going.movement.source
    if not isinstance(source, Weight) or source.pulley_efficiency == 1.0 or source.measured:
        return []
    lost = held_j * (1 - source.pulley_efficiency)
    subject = going.train[going.train.path[0]].title
    inputs = (("pulley", f"{words.figure(100 * source.pulley_efficiency, 3)}{words.THIN}%"),)
    return [Fact("winding.pulley_j", "winding", "pulley", subject, lost, "J", words.figure(lost, 3), inputs)]
