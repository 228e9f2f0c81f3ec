"""Published figures of balances and hairsprings, through a balance as a movement file describes it."""

from __future__ import annotations

import math
from typing import Any

from builder.authorities.entry import Entry
from builder.parts.oscillator import Balance
from builder.parts.oscillator import rating as law
from builder.parts.oscillator.balance import CutBimetal

FAHRENHEIT_K = 5.0 / 9.0


def balance(**changes: Any) -> Balance:
    """A plain brass balance with a steel spring, where an entry does not say otherwise."""
    plain = {"kind": "balance", "beats_per_hour": 18000.0, "diameter_mm": 10.0, "inertia_mg_cm2": 16.0, "hairspring": {}}
    return Balance.model_validate({**plain, **changes})


def stiffness(entry: Entry) -> dict[str, Any]:
    """The hairspring that a beat asks for."""
    terms = balance(inertia_mg_cm2=float(entry.given["inertia_mg_cm2"])).terms(float(entry.given["beats_per_hour"]))
    return {"period_s": terms.nominal_period_s, "stiffness_nN_m_per_rad": 1e9 * terms.stiffness_nm}


def frequency(entry: Entry) -> dict[str, Any]:
    """Whole swings a second."""
    return {"hz": [1 / balance().terms(float(beats)).small_period_s for beats in entry.given["beats_per_hour"]]}


def energy(entry: Entry) -> dict[str, Any]:
    """What a swinging balance holds, and what it loses in a second."""
    given = entry.given
    terms = balance(inertia_mg_cm2=float(given["inertia_mg_cm2"]), q_factor=float(given["Q"])).terms(
        7200.0 * given["frequency_hz"]
    )
    amplitude = math.radians(given["amplitude_deg"])
    return {
        "stored_energy_uJ": 1e6 * terms.energy_j(amplitude),
        "loss_uW": 1e6 * terms.loss_j(amplitude) / terms.small_period_s,
    }


def growth(entry: Entry) -> dict[str, Any]:
    """What the growth of a brass balance alone costs: against one of a metal whose growth is known."""
    brass, other = (balance(material=name).warmth_s_per_day_per_c() for name in ("brass", entry.given["against"]))
    return {"brass_loss_s_per_day_per_degC": other - brass + 86400 * entry.given["its_alpha_per_degC"]}


def warmth(entry: Entry) -> dict[str, Any]:
    """An uncompensated brass balance with a steel spring."""
    loss = -balance().warmth_s_per_day_per_c()
    rise = entry.given.get("rise_degF", 0.0) * FAHRENHEIT_K
    return {"loss_s_per_day_per_degC": loss, "loss_s_per_day_per_degF": loss * FAHRENHEIT_K, "loss_s_per_day": loss * rise}


def cut_balance(entry: Entry) -> dict[str, Any]:
    """A cut balance that is right at two temperatures, between them and at them."""
    low, middle, high = ((f - 32) * FAHRENHEIT_K for f in entry.given["temperatures_degF"])
    cut = CutBimetal(
        kind="cut_bimetal", low_c=low, high_c=high, middle_gain_s_per_day=float(entry.given["middle_gain_s_per_day"])
    )
    return {"gain_s_per_day": [cut.gain_s_per_day(c) for c in (low, middle, high)]}


def shortened(entry: Entry) -> dict[str, Any]:
    """A hairspring taken up."""
    return {"gain_s_per_day": law.hairspring_shortened_s_per_day(entry.given["shortening_percent"] / 100)}


def poise(entry: Entry) -> dict[str, Any]:
    """The swing at which a heavy spot does nothing, by halving the interval in which its effect changes sign."""
    watch = balance(poise_mg_mm=0.5)
    terms = watch.terms()
    low, high = math.radians(entry.given["between_deg"][0]), math.radians(entry.given["between_deg"][1])
    above = watch.poise_s_per_day(terms, high) > 0
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (low, middle) if (watch.poise_s_per_day(terms, middle) > 0) == above else (middle, high)
    return {"semi_arc_deg": math.degrees(low), "theory_zero_of_poise_error_deg": math.degrees(low)}
