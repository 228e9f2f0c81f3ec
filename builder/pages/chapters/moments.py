"""The phases of a period as spans of time near the moment at which a drawing opens."""

from __future__ import annotations

from dataclasses import dataclass

from builder.drawing.sheet import START_S
from builder.going.beat import Winding
from builder.going.going import Going
from builder.going.phases import Phase, phases
from builder.going.steady import Running

OPENS = ("recoil", "locking", "unlocking")
"""What a period is told from: the entry pallet, before its impulse."""


@dataclass(frozen=True)
class Span:
    """A phase in time: seconds past 12 o'clock, as drawings count."""

    phase: Phase
    from_s: float
    to_s: float
    ms: float
    """How long it truly lasts."""
    share: float
    """Part of the period."""


def spans(going: Going, winding: Winding) -> dict[str, Span]:
    """The phases by name, in order from the entry pallet's first; a name met again gets a number. Empty where it stops.

    A period is cut where the oscillator turns, and what happens across that cut is one span. Drawings keep the nominal
    beat, so spans are laid on it; `ms` is of the solved period.
    """
    if not isinstance(winding.beat, Running):
        return {}
    ordered = _from_the_entry(phases(winding.beat))
    exact_s = 2 * going.train.beat_s
    begun_s, period_s = float(START_S // exact_s * exact_s), float(exact_s)
    found: dict[str, Span] = {}
    for phase, start, end in ordered:
        name, n = phase.name, 2
        while name in found:
            name, n = f"{phase.name}_{n}", n + 1
        share = end - start
        found[name] = Span(
            phase, begun_s + start * period_s, begun_s + end * period_s, 1e3 * share * winding.beat.period_s, share
        )
    return found


def _from_the_entry(cut: tuple[Phase, ...]) -> list[tuple[Phase, float, float]]:
    """(phase, start, end), ends that meet across the period's cut joined, from the entry pallet's first on."""
    whole = [(phase, phase.start, phase.end) for phase in cut]
    if len(cut) > 1 and cut[0].name == cut[-1].name:
        whole = [*whole[1:-1], (cut[-1], cut[-1].start, 1 + cut[0].end)]
    first = next((n for n, (phase, *_) in enumerate(whole) if phase.pallet == "entry" and phase.key in OPENS), 0)
    return [*whole[first:], *((phase, start + 1, end + 1) for phase, start, end in whole[:first])]
