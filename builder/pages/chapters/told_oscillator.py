"""What a chapter may name of the oscillator: how far it swings, how long it would ring on, what its rate depends on."""

from __future__ import annotations

import math
from types import SimpleNamespace

from builder.going.going import Going
from builder.going.steady import Running
from builder.ground.wording import Wording
from builder.ground.words import THIN, figure, signed, whole_and_part
from builder.pages.chapters.told_power import running
from builder.parts.oscillator.balance import Balance
from builder.parts.oscillator.pendulum import Pendulum

HALF_MINUTE_S = 30.0
"""What the nut is to make good in a question."""


def oscillator(going: Going, wording: Wording) -> SimpleNamespace:
    """Figures are of the wound movement; `states` are those of winding that differ."""
    made = going.movement.oscillator
    names = SimpleNamespace(
        kind=made.kind,
        name=wording.say("learn.swinging") if made.kind == "counted" else wording.say(f"pages.power.the_{made.kind}"),
        called=getattr(made, "name", None),
        period=f"{whole_and_part(2 * going.train.beat_s)}{THIN}s",
        a_second=whole_and_part(1 / (2 * going.train.beat_s)),
        states=_states(going, wording),
    )
    beat, running_beat = going.beat, running(going)
    if beat is not None:
        _ringing(names, beat.terms.q_factor, beat.terms.small_period_s)
        names.q_given = getattr(made, "q_factor", None) is not None
        first = going.windings[0].beat
        names.least = f"{figure(math.degrees(first.least_rad), 3)}°"
    if running_beat is not None:
        names.amplitude = f"{figure(running_beat.amplitude_deg, 3)}°"
        names.whole_swing = f"{figure(2 * running_beat.amplitude_deg, 3)}°"
        names.spare = f"{figure(math.degrees(running_beat.spare_rad), 2)}°"
        names.circular = _loss(running_beat.circular_s_per_day)
        names.escapement_s = f"{figure(abs(running_beat.escapement_s_per_day), 2)}{THIN}s"
        names.hurries = running_beat.escapement_s_per_day > 0
        names.stored = f"{figure(1e6 * running_beat.works.terms.energy_j(running_beat.amplitude_rad), 3)}{THIN}µJ"
        names.fed = f"{figure(1e6 * running_beat.work.oscillator, 3)}{THIN}µJ"
    if isinstance(made, Pendulum):
        _pendulum(names, made, going, running_beat)
    elif isinstance(made, Balance):
        _balance(names, made, going)
    return names


def _ringing(names: SimpleNamespace, q: float, period_s: float) -> None:
    """How long a swing left alone takes to fall to half: Q ln 2 / π periods (loss in proportion to speed)."""
    names.q = figure(q, 2)
    swings = q * math.log(2) / math.pi
    names.half_after = figure(swings, 2)
    seconds = swings * period_s
    names.half_time = f"{figure(seconds / 60, 2)}{THIN}min" if seconds >= 100 else f"{figure(seconds, 2)}{THIN}s"


def _states(going: Going, wording: Wording) -> list[SimpleNamespace]:
    """States of winding with amplitude and rate: one where all are alike, and only those in which it runs."""
    found = [
        SimpleNamespace(
            key=winding.name.replace(" ", "-"),
            name=wording.say(f"site.player.state_names.{winding.name}").lower(),
            amplitude=f"{figure(winding.beat.amplitude_deg, 3)}°",
            rate=signed(winding.beat.rate_s_per_day),
        )
        for winding in going.windings
        if isinstance(winding.beat, Running)
    ]
    return found[:1] if len({(each.amplitude, each.rate) for each in found}) == 1 else found


def _pendulum(names: SimpleNamespace, made: Pendulum, going: Going, running_beat: Running | None) -> None:
    hung = made.hung(float(going.train.beats_per_hour))
    bob = made.bob.mass_g
    names.bob = f"{figure(bob / 1000, 2)}{THIN}kg" if bob >= 1000 else f"{figure(bob, 3)}{THIN}g"
    names.bob_of, names.rod_of = made.bob.material.replace("_", " "), made.rod.material.replace("_", " ")
    names.length = f"{figure(1000 * hung.oscillation_m, 4)}{THIN}mm"
    names.suspension = made.suspension is not None
    names.compensated = made.compensation.kind if made.compensation else None
    warmth = made.warmth_s_per_day_per_c(hung)
    names.warmth = f"{figure(abs(warmth), 2)}{THIN}s"
    names.warm_loses = warmth < 0
    names.nut = None
    if made.rating_nut is not None:
        gain = made.nut_s_per_day_per_turn(hung)
        names.nut = f"{figure(gain, 3)}{THIN}s"
        names.half_minute_turns = figure(HALF_MINUTE_S / gain, 2)
        names.divisions = made.rating_nut.divisions
        names.division = f"{figure(gain / made.rating_nut.divisions, 2)}{THIN}s" if made.rating_nut.divisions else None
    if running_beat is not None:
        names.arc = f"{figure(2000 * hung.centre_m * math.sin(running_beat.amplitude_rad), 2)}{THIN}mm"


def _balance(names: SimpleNamespace, made: Balance, going: Going) -> None:
    sprung = made.sprung(float(going.train.beats_per_hour))
    names.diameter = f"{made.diameter_mm:g}{THIN}mm"
    names.coils = f"{made.hairspring.coils:g}"
    names.spring_length = f"{made.hairspring.length_mm:g}{THIN}mm" if made.hairspring.length_mm else None
    by = sprung.regulator_s_per_day_per_mm
    names.shortened = f"{figure(by / 10, 2)}{THIN}s" if by else None
    names.screws = made.screws.count if made.screws else None
    names.regulator = bool(made.hairspring.regulator_mm)
    warmth = made.warmth_s_per_day_per_c()
    names.compensated = made.compensation is not None
    names.warmth = f"{figure(abs(warmth), 2)}{THIN}s"
    names.warm_loses = warmth < 0


def _loss(s_per_day: float) -> str | None:
    return f"{figure(abs(s_per_day), 2)}{THIN}s" if abs(s_per_day) > 5e-3 else None
