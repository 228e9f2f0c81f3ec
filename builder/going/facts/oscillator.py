"""The oscillator, and the beat it settles to in every state of winding: amplitude, rate, energy, and what it has to spare."""

from __future__ import annotations

import math

from builder.going.beat import Winding
from builder.going.facts.fact import Fact, Inputs, quantity
from builder.going.facts.power import state_key
from builder.going.going import Going
from builder.going.steady import Running, Stopped
from builder.ground import words
from builder.ground.constants import GRAVITY_STANDARD_M_S2
from builder.parts.oscillator.terms import Terms

MG_CM2_PER_KG_M2 = 1e10


def oscillator(going: Going) -> list[Fact]:
    """Nothing where no beat is solved."""
    if going.beat is None:
        return []
    found = _form(going, going.beat.terms)
    for winding in going.windings:
        found += _running(winding, winding.beat) if isinstance(winding.beat, Running) else _stopped(winding, winding.beat)
    return [*found, *_least_torque(going)]


def _form(going: Going, terms: Terms) -> list[Fact]:
    """Inertia, what rights it, quality, small period; as it is rated."""
    part = going.movement.oscillator
    kind = part.kind
    given = getattr(part, "q_factor", None) is not None
    balance = kind == "balance"
    inertia = terms.inertia_kg_m2
    inertia_text = quantity(inertia * MG_CM2_PER_KG_M2, "mg·cm²") if balance else quantity(inertia, "kg·m²")
    small = terms.small_period_s
    rights = terms.rigidity_nm
    rights_text = quantity(1e6 * rights, "µN·m") if balance else quantity(rights, "N·m")
    inputs: Inputs = (("inertia", inertia_text), ("rigidity", rights_text))
    found = [
        Fact("oscillator.inertia_kg_m2", "oscillator", f"inertia_{kind}", "", inertia, "kg·m²", inertia_text),
        Fact("oscillator.rigidity_nm", "oscillator", f"rigidity_{kind}", "", rights, "N·m", rights_text),
        Fact(
            "oscillator.q_factor", "oscillator", f"q_{kind}_{'given' if given else 'estimated'}", "", terms.q_factor, "",
            words.figure(terms.q_factor, 3 if given else 2),
        ),
        Fact("oscillator.small_period_s", "oscillator", "small_period", "", small, "s", words.figure(small, 7), inputs),
    ]  # fmt: skip
    if not balance:
        length = 1000 * GRAVITY_STANDARD_M_S2 * (small / (2 * math.pi)) ** 2
        text = words.figure(length, 5)
        inputs = (("small_period", quantity(small, "s", 7)),)
        found.append(Fact("oscillator.equivalent_length_mm", "oscillator", "equivalent_length", "", length, "mm", text, inputs))
    return found


def _running(winding: Winding, beat: Running) -> list[Fact]:
    """The steady beat of one state."""
    return [*_swing(winding, beat), *_rate(winding, beat), *_energy(winding, beat)]


def _of(winding: Winding, key: str, kind: str, value: float | str, unit: str, text: str, inputs: Inputs = ()) -> Fact:
    return Fact(f"beat.{state_key(winding.name)}.{key}", "running", kind, "", value, unit, text, inputs, winding.name)


def _swing(winding: Winding, beat: Running) -> list[Fact]:
    """How far it swings, and how far from too little and too much."""
    amplitude, least, spare = beat.amplitude_deg, math.degrees(beat.least_rad), math.degrees(beat.spare_rad)
    said = {"amplitude": quantity(amplitude, "°"), "least_amplitude": quantity(least, "°")}
    rebanks = "yes" if beat.rebanks else "no"
    torque = (("escape_torque", quantity(winding.power.escape_torque_nmm, "N·mm")),)
    return [
        _of(winding, "amplitude_deg", "amplitude", amplitude, "°", said["amplitude"], torque),
        _of(winding, "least_amplitude_deg", "least_amplitude", least, "°", said["least_amplitude"]),
        _of(winding, "spare_deg", "spare", spare, "°", quantity(spare, "°"), tuple(said.items())),
        _of(winding, "rebanks", "rebanks", rebanks, "", rebanks, (("amplitude", said["amplitude"]),)),
    ]


def _rate(winding: Winding, beat: Running) -> list[Fact]:
    """Rate with its three parts, and the difference of the two beats."""
    parts = {
        "rate_setting": beat.setting_s_per_day,
        "rate_circular": beat.circular_s_per_day,
        "rate_escapement": beat.escapement_s_per_day,
    }
    inputs = tuple((name, f"{words.signed(value, 2)}{words.THIN}s") for name, value in parts.items())
    rate, error = beat.rate_s_per_day, beat.beat_error_ms
    first, second = (quantity(1000 * t, "ms", 6) for t in beat.beats_s)
    beats = (("first_beat", first), ("second_beat", second))
    return [
        _of(winding, "rate_s_per_day", "rate", rate, "s", words.signed(rate, 2), inputs),
        *(
            _of(winding, f"{name.removeprefix('rate_')}_s_per_day", name, value, "s", words.signed(value, 2))
            for name, value in parts.items()
        ),
        _of(winding, "beat_error_ms", "beat_error", error, "ms", words.figure(error, 2), beats),
    ]


def _energy(winding: Winding, beat: Running) -> list[Fact]:
    """What is stored, and what a beat gives and takes: half a period's."""
    work = beat.work
    stored = beat.works.terms.energy_j(beat.amplitude_rad)
    given = (
        ("escape_torque", quantity(winding.power.escape_torque_nmm, "N·mm")),
        ("pitch", quantity(math.degrees(beat.works.course.action.pitch_rad), "°", 3)),
    )
    part = (("energy_out", quantity(1e6 * work.oscillator, "µJ")), ("energy_in", quantity(1e6 * beat.given_j, "µJ")))
    rows: list[tuple[str, str, float, Inputs]] = [
        ("stored_uj", "oscillator_energy", stored, (("amplitude", quantity(beat.amplitude_deg, "°")),)),
        ("given_a_beat_uj", "given_a_beat", beat.given_j / 2, given),
        ("taken_a_beat_uj", "taken_a_beat", work.oscillator / 2, ()),
        ("impulse_a_beat_uj", "impulse_a_beat", work.impulse / 2, ()),
        ("unlocking_a_beat_uj", "unlocking_a_beat", work.unlocking / 2, ()),
    ]
    found = [_of(winding, key, kind, 1e6 * j, "µJ", words.figure(1e6 * j, 4), inputs) for key, kind, j, inputs in rows]
    text = f"{100 * beat.efficiency:.1f}{words.THIN}%"
    return [*found, _of(winding, "escapement_efficiency", "escapement_efficiency", beat.efficiency, "", text, part)]


def _stopped(winding: Winding, beat: Stopped) -> list[Fact]:
    """Why there is no steady beat, and what it would need."""
    least = math.degrees(beat.least_rad)
    torque = (("escape_torque", quantity(winding.power.escape_torque_nmm, "N·mm")),)
    return [
        _of(winding, "stops", "stops", beat.reason, "", beat.text, torque),
        _of(winding, "least_amplitude_deg", "least_amplitude", least, "°", quantity(least, "°")),
        _of(winding, "covered", "covered", beat.covered, "", f"{100 * beat.covered:.0f}{words.THIN}%"),
    ]


def _least_torque(going: Going) -> list[Fact]:
    """The least torque that keeps it going, and how many times as much each state has."""
    running = next((w.beat for w in going.windings if isinstance(w.beat, Running)), None)
    if running is None:
        return []
    least = running.critical_nmm
    text = words.figure(least, 3)
    found = [Fact("beat.least_torque_nmm", "running", "least_torque", "", least, "N·mm", text)]
    for winding in going.windings:
        torque = winding.power.escape_torque_nmm
        reserve = torque / least
        inputs = (("escape_torque", quantity(torque, "N·mm")), ("least_torque", quantity(least, "N·mm", 3)))
        key = f"beat.{state_key(winding.name)}.reserve"
        found.append(Fact(key, "running", "reserve", "", reserve, "", words.figure(reserve, 3), inputs, winding.name))
    return found
