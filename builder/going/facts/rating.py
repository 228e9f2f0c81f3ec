"""What brings the oscillator to time and what takes it off: nut, regulator, warmth, air, a heavy spot; and what is left open."""

from __future__ import annotations

from builder.going.beat import Beat
from builder.going.facts.fact import Fact, Inputs, quantity
from builder.going.facts.power import state_key
from builder.going.going import Going
from builder.going.steady import Running, Stopped
from builder.going.uncertain import Open, left_open
from builder.going.worn import as_set
from builder.ground import words
from builder.parts.oscillator.balance import Balance
from builder.parts.oscillator.pendulum import Pendulum

GROUP = "rating"


def rating(going: Going) -> list[Fact]:
    """Nothing where no beat is solved."""
    if going.beat is None:
        return []
    oscillator = going.movement.oscillator
    found = []
    if isinstance(oscillator, Pendulum):
        found = _pendulum(going, going.beat, oscillator)
    elif isinstance(oscillator, Balance):
        found = [*_balance(going, oscillator), *_heavy_spot(going, oscillator)]
    return [*found, *(fact for one in left_open(going) for fact in _left_open(one))]


def _gain(key: str, kind: str, value: float, inputs: Inputs = (), state: str | None = None) -> Fact:
    places = next((places for least, places in ((100, 0), (10, 1), (0.1, 2)) if abs(value) >= least), 3)
    return Fact(key, GROUP, kind, "", value, "s", words.signed(value, places), inputs, state)


def _pendulum(going: Going, beat: Beat, pendulum: Pendulum) -> list[Fact]:
    """Of the pendulum as its nut is set."""
    beats = float(going.train.beats_per_hour)
    hung = pendulum.hung(beats, small_period_s=as_set(pendulum, beat.terms, beats))
    centre = 1e3 * hung.centre_m
    found = [Fact("rating.bob_centre_mm", GROUP, "bob_centre", "", centre, "mm", words.figure(centre, 5))]
    if (nut := pendulum.rating_nut) is not None:
        turn = pendulum.nut_s_per_day_per_turn(hung)
        pitch: Inputs = (("nut_pitch", quantity(nut.pitch_mm, "mm", 2)),)
        found.append(_gain("rating.nut_s_per_day_per_turn", "nut_turn", turn, pitch))
        if nut.divisions is not None:
            marks = (("nut_turn", f"{words.signed(turn, 2)}{words.THIN}s"), ("nut_divisions", str(nut.divisions)))
            found.append(_gain("rating.nut_s_per_day_per_division", "nut_division", turn / nut.divisions, marks))
    warmth = pendulum.warmth_s_per_day_per_c(hung)
    return [
        *found,
        _gain("rating.warmth_s_per_day_per_c", "warmth_pendulum", warmth, _runs_at(pendulum)),
        _gain("rating.air_s_per_day", "air", pendulum.air_s_per_day(hung)),
    ]


def _runs_at(oscillator: Pendulum | Balance) -> Inputs:
    return (("runs_at", f"{oscillator.temperature_c:g}{words.THIN}°C"),)


def _balance(going: Going, balance: Balance) -> list[Fact]:
    sprung = balance.sprung(float(going.train.beats_per_hour))
    spring, missing = sprung.spring, balance.hairspring.unknown()
    found = []
    if len(missing) == 1:
        value, digits = getattr(spring, missing[0]), 3 if missing == ["thickness_mm"] else 4
        kind = f"spring_{missing[0].removesuffix('_mm')}"
        found.append(Fact(f"rating.{kind}_mm", GROUP, kind, "", value, "mm", words.figure(value, digits)))
    if spring.length_mm is not None and (gain := sprung.regulator_s_per_day_per_mm) is not None:
        length = (("spring_length", quantity(spring.length_mm, "mm")),)
        found.append(_gain("rating.regulator_s_per_day_per_mm", "regulator", gain, length))
    at = balance.temperature_c
    warmth = balance.warmth_s_per_day(at + 0.5) - balance.warmth_s_per_day(at - 0.5)
    kind = "warmth_balance" if balance.compensation is None else "warmth_cut"
    return [*found, _gain("rating.warmth_s_per_day_per_c", kind, warmth, _runs_at(balance))]


def _heavy_spot(going: Going, balance: Balance) -> list[Fact]:
    """In every state, since the sign turns with the amplitude; the beat itself is solved with the dial level."""
    found: list[Fact] = []
    for winding in going.windings if balance.poise_mg_mm else ():
        beat = winding.beat
        if isinstance(beat, Running):
            inputs = (
                ("heavy_spot", quantity(balance.poise_mg_mm, "mg·mm", 3)),
                ("heavy_spot_at", f"{balance.poise_deg:g}°"),
                ("amplitude", quantity(beat.amplitude_deg, "°")),
            )
            gain = balance.poise_s_per_day(beat.works.terms, beat.amplitude_rad)
            found.append(_gain(f"rating.{state_key(winding.name)}.poise_s_per_day", "poise", gain, inputs, winding.name))
    return found


def _left_open(one: Open) -> list[Fact]:
    """The amplitude at both ends of an estimate."""
    found = []
    ends = (("least", one.least, one.at_least), ("most", one.most, one.at_most))
    for end, value, beat in ends:
        text = words.figure(value, 3) if one.cause == "quality" else quantity(value, "N·mm", 3)
        inputs: Inputs = (("open_quality" if one.cause == "quality" else "escape_torque", text),)
        found.append(_end(f"rating.{one.cause}_{end}_amplitude_deg", f"open_{one.cause}_{end}", beat, inputs))
    return found


def _end(key: str, kind: str, beat: Running | Stopped, inputs: Inputs) -> Fact:
    if isinstance(beat, Stopped):
        return Fact(key, GROUP, kind, "", beat.reason, "", beat.text, inputs)
    return Fact(key, GROUP, kind, "", beat.amplitude_deg, "°", quantity(beat.amplitude_deg, "°", 3), inputs)
