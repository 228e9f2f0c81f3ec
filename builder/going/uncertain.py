"""How far what is only estimated leaves the amplitude open: the beat with an estimate at either end of what it may be.

Quality factor and a spring's torque, each by itself; the rest as it is. Neglected: that both may be off at once.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from builder.going import steady
from builder.going.beat import RATED, Beat
from builder.going.going import Going
from builder.going.steady import Running, Stopped
from builder.parts.oscillator.quality import BALANCE_Q_RANGE, PENDULUM_Q_FACTOR

Cause = Literal["quality", "torque"]


@dataclass(frozen=True)
class Open:
    """One estimate at its two ends, half wound. `least` and `most` are of what swings less and what swings further."""

    cause: Cause
    least: float
    """Quality factor, or torque on the escape wheel in N·mm."""
    most: float
    at_least: Running | Stopped
    at_most: Running | Stopped


def left_open(going: Going) -> tuple[Open, ...]:
    """One for each estimate; none where all was measured, or where it does not go half wound."""
    beat = going.beat
    if beat is None or not isinstance(running := beat[RATED].beat, Running):
        return ()
    return (*_quality(going, beat, running), *_torque(going, running))


def _quality(going: Going, beat: Beat, running: Running) -> tuple[Open, ...]:
    oscillator, q = going.movement.oscillator, beat.terms.q_factor
    if getattr(oscillator, "q_factor", None) is not None:
        return ()
    least, most = BALANCE_Q_RANGE if oscillator.kind == "balance" else (q / PENDULUM_Q_FACTOR, q * PENDULUM_Q_FACTOR)
    ends = [_solved(running, loss=q / other) for other in (least, most)]
    return (Open("quality", least, most, *ends),)


def _torque(going: Going, running: Running) -> tuple[Open, ...]:
    """Friction goes with the force, so that the escape wheel gets as much more or less as the spring gives."""
    drive = going.movement.source.drive
    if drive is None or not drive.uncertainty:
        return ()
    least, most = (1 - drive.uncertainty, 1 + drive.uncertainty)
    ends = [_solved(running, torque=part) for part in (least, most)]
    torque_nmm = 1e3 * running.works.torque_nm
    return (Open("torque", least * torque_nmm, most * torque_nmm, *ends),)


def _solved(running: Running, loss: float = 1.0, torque: float = 1.0) -> Running | Stopped:
    works = running.works
    terms = replace(works.terms, loss_nms=works.terms.loss_nms * loss)
    return steady.solve(terms, works.course, 1e3 * works.torque_nm * torque, works.wheel_kg_m2, running.near)
