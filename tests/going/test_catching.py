"""A wheel that lags behind its pallets and catches up: where it meets them again, it is pushed and never pulled."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from builder.going.budget import budget
from builder.going.going import Going
from builder.going.periods import Fails, Periods
from builder.going.steady import Running
from builder.going.wandering import mean_work
from tests.solved import changed

LIGHT = {"inertia_mg_cm2": 268.0, "q_factor": 177.0, "out_of_beat_deg": -6.0}
"""A balance so light that its pallets run away from the wheel."""


@cache
def light_pin_lever() -> Going:
    return changed(
        "shelf_timepiece",
        lambda data: (
            data["source"]["spring"].update(thickness_mm=0.2565),
            data["escapement"].update(friction=0.04),
            data["oscillator"].update(LIGHT),
        ),
    )


def running(going: Going) -> Running:
    found = going.windings[0].beat
    assert isinstance(found, Running)
    return found


def test_a_pallet_never_pulls_the_wheel() -> None:
    """From any amplitude, wherever wheel and pallet touch they press on each other: what the train gives less what speeds the
    wheel up is never less than nought, also where the wheel has just caught up with a pallet that runs on."""
    periods = Periods(running(light_pin_lever()).works)
    least, met = np.inf, 0
    for amplitude in np.linspace(3.5, 7.5, 60):
        _, up, down = periods.run(float(amplitude))
        for leg in (*up.legs, *down.legs):
            if leg.flight is None and not leg.stretch.free:
                least, met = min(least, float(periods.works.force(leg).min()) / periods.works.torque_nm), met + 1
    assert met > 500
    assert least > -1e-6


def test_amplitudes_that_do_not_unlock_still_fail() -> None:
    """The control of all scans here: a period from too small an amplitude is refused, not invented."""
    periods = Periods(running(light_pin_lever()).works)
    with pytest.raises(Fails):
        periods.run(0.5 * periods.least)


@cache
def wandering_lever() -> Going:
    """A lever that catches its stone in the last instant before let-off, or just misses it."""
    return changed(
        "pocket_watch",
        lambda data: (
            data["source"]["spring"].update(thickness_mm=0.1333863266738665, length_mm=575.09037470855, set=0.11994568037943605),
            data["escapement"].update(
                lock_deg=2.3371274123494, lift_deg=7.302275908631685, draw_deg=12.06411029544858, drop_deg=1.2595740243840563,
                friction=0.0643428821421843, tooth_lift_deg=1.593347344702528,
            ),
            data["oscillator"].update(
                inertia_mg_cm2=94.29053487337156, q_factor=142.42476356755313, out_of_beat_deg=1.5603124736393488
            ),
        ),
    )  # fmt: skip


def test_a_beat_that_wanders_closes_on_the_mean() -> None:
    """Just below the amplitude a period gains, just above it loses, each by some per cent of what is given, so that no
    amplitude keeps itself. The mean in which nothing is gained lies between the two and closes the budget; either alone (control)
    does not."""
    going = wandering_lever()
    beat, given = running(going), running(going).given_j
    sides = []
    for part in (1 - 1e-9, 1 + 1e-9):
        gained, up, down = Periods(beat.works).run(part * beat.low_rad)
        sides.append((gained, (up.work + down.work).impulse))
    (below, more), (above, less) = sides
    assert below > 0.01 * given
    assert above < -0.01 * given
    assert min(more, less) < mean_work(beat).impulse < max(more, less)
    shown = budget(going.train, going.windings[0])
    assert abs(shown.unaccounted_uw) < 1e-6 * shown.source_uw
    assert abs(beat.gained_j) > 1e-3 * given
    steady = running(light_pin_lever())
    assert mean_work(steady).impulse == pytest.approx(steady.work.impulse, rel=1e-9)
