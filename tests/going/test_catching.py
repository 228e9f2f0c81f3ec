"""A wheel that lags behind its pallets and catches up: where it meets them again, it is pushed and never pulled."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from builder.going.going import Going
from builder.going.periods import Fails, Periods
from builder.going.steady import Running
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
