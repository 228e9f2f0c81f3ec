"""What every source of power owes, whatever its kind."""

from __future__ import annotations

import time
from typing import get_args

import numpy as np
import pytest
from pydantic import ValidationError
from scipy.integrate import quad

from builder.ground.faults import Complaint, Finding, Refused
from builder.parts.source import SOURCES
from builder.parts.source.winding import STATES, states
from tests.parts.source_cases import sized, source

KINDS = sorted(SOURCES)
READINGS = [[0.0, 80.0], [2.0, 110.0], [5.0, 140.0], [6.0, 170.0]]


@pytest.mark.parametrize("kind", KINDS)
def test_kind_is_its_name_and_every_key_has_a_help(kind):
    """The family's key is the kind's own word, and an editor can explain each key."""
    model = SOURCES[kind]
    assert get_args(model.model_fields["kind"].annotation) == (kind,)
    assert all(field.description for name, field in model.model_fields.items() if name != "kind")


@pytest.mark.parametrize("kind", KINDS)
def test_counts_alone_are_enough_and_the_force_is_not_guessed(kind):
    """A file in which only turns were counted is valid; what the force would need says None."""
    counted = source(kind, turns=7.5)
    assert counted.complaints() == []
    assert counted.usable_turns == 7.5
    assert counted.drive is None
    assert counted.stored is None
    assert counted.findings() == []


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_known_is_allowed_too(kind):
    """A source named and not measured at all has no turns and no force, and no fault."""
    bare = source(kind)
    assert (bare.usable_turns, bare.drive, bare.stored, bare.complaints()) == (None, None, None, [])


@pytest.mark.parametrize("kind", KINDS)
def test_energy_is_the_integral_of_the_torque(kind):
    """∫T dθ by scipy's adaptive quadrature equals the closed form, whole and between any two states."""
    drive = sized(kind).drive
    for upper, lower in ((drive.turns, 0.0), (0.9 * drive.turns, 0.35 * drive.turns)):
        area, _ = quad(lambda t: float(drive.torque_nmm(t)), lower, upper, epsrel=1e-12)
        assert drive.energy_j(upper, lower) == pytest.approx(2 * np.pi * area / 1000, rel=1e-10)
    parts = drive.energy_j(drive.turns, 1.0) + drive.energy_j(1.0, 0.0)
    assert parts == pytest.approx(drive.energy_j(), rel=1e-12)


@pytest.mark.parametrize("kind", KINDS)
def test_torque_is_positive_and_never_rises_as_it_runs_down(kind):
    """Fewer turns left, no more torque; a weight and a true fusee stay even."""
    drive = sized(kind).drive
    torque = drive.torque_nmm(np.linspace(0.0, drive.turns, 101))
    assert torque.shape == (101,)
    assert np.all(torque > 0)
    assert np.all(np.diff(torque) >= -1e-9 * torque[0])
    assert drive.evenness == pytest.approx(torque[0] / torque[-1])
    assert (drive.evenness == pytest.approx(1.0, abs=1e-9)) is (kind in ("fusee", "weight"))


@pytest.mark.parametrize("kind", KINDS)
def test_turns_that_a_winding_has_not_are_refused(kind):
    """Asking for the torque below run down or above wound is an error, not an extrapolation."""
    drive = sized(kind).drive
    for wrong in (-0.1, drive.turns + 0.1, [0.0, drive.turns + 0.1], float("nan")):
        with pytest.raises(ValueError, match="turns left from 0"):
            drive.torque_nmm(wrong)


@pytest.mark.parametrize("kind", KINDS)
def test_power_is_energy_over_time(kind):
    """The mean of the power over a winding is its energy divided by its hours (the definition of power)."""
    drive = sized(kind).drive
    seconds = drive.turns * 5.0 * 3600
    assert drive.mean_power_uw(5.0) == pytest.approx(drive.energy_j() / seconds * 1e6, rel=1e-12)
    mean, _ = quad(lambda t: float(drive.power_uw(t, 5.0)), 0.0, drive.turns)
    assert mean / drive.turns == pytest.approx(drive.mean_power_uw(5.0), rel=1e-9)


@pytest.mark.parametrize("kind", KINDS)
def test_measured_torque_stands_in_for_sizes(kind):
    """Readings alone give turns, force and energy, and are met exactly."""
    read = source(kind, measured=READINGS)
    drive = read.drive
    assert read.complaints() == []
    assert read.usable_turns == 6.0
    assert drive.origin == "measured"
    turns, torques = np.array(READINGS).T
    np.testing.assert_allclose(drive.torque_nmm(turns), torques, rtol=1e-12)
    assert np.all(np.diff(drive.torque_nmm(np.linspace(0, 6, 200))) >= 0)
    assert drive.energy_j() > 0


@pytest.mark.parametrize("kind", KINDS)
def test_readings_out_of_order_are_all_complained_of(kind):
    """Both faults of a list come out at once, each with its place."""
    wrong = source(kind, measured=[[0.0, 50.0], [3.0, 60.0], [2.0, 70.0], [2.0, 80.0]])
    assert [c.key for c in wrong.complaints()] == [("measured", 2, 0), ("measured", 3, 0)]
    with pytest.raises(Refused) as refused:
        _ = wrong.drive
    assert len(refused.value.complaints) == 2
    with pytest.raises(Refused):
        _ = wrong.usable_turns
    assert [c.key for c in source(kind, measured=[[0.0, 0.0], [3.0, 0.0]]).complaints()] == [("measured", 1, 1)]


def test_a_spring_does_not_gain_as_it_runs_but_a_fusee_may():
    """A fading spring's readings must fade; readings on a fusee or a weight may wander either way."""
    wander = [[0.0, 100.0], [5.0, 97.0], [10.0, 101.0]]
    for kind in KINDS:
        fading = kind in ("open_spring", "going_barrel")
        assert [c.key for c in source(kind, measured=wander).complaints()] == ([("measured", 1, 1)] if fading else [])


@pytest.mark.parametrize("kind", KINDS)
def test_readings_that_leave_a_gap_are_said(kind):
    """Where the nearest reading is held over a tenth of the winding or more, the page can say so."""
    gappy = source(kind, turns=10.0, measured=[[3.0, 60.0], [8.0, 75.0]])
    (finding,) = gappy.findings()
    assert finding.key == ("measured",)
    assert "below 3.0 turns and above 8.0 turns" in finding.text
    assert float(gappy.drive.torque_nmm(0.0)) == 60.0
    assert float(gappy.drive.torque_nmm(10.0)) == 75.0


@pytest.mark.parametrize("kind", KINDS)
def test_what_it_holds_is_at_least_what_it_gives(kind):
    """The caution's energy is never less than the arbor gives back; a spring keeps some of it in its barrel."""
    made = sized(kind)
    stored = made.stored
    assert stored.energy_j >= made.drive.energy_j() * (1 - 1e-12)
    if kind == "weight":
        assert (stored.sort, stored.kept_j) == ("weight", 0.0)
        assert stored.fall_mm == pytest.approx(1250.0)
    else:
        assert stored.sort == "spring"
        assert 0 < stored.kept_j < stored.energy_j


@pytest.mark.parametrize("kind", KINDS)
def test_texts_are_sentences_with_a_cure(kind):
    """Complaints and findings are whole: key, figures, what to change."""
    made = sized(kind)
    assert made.complaints() == []
    assert all(isinstance(f, Finding) and f.key and len(f.text) > 20 for f in made.findings())
    for complaint in source(kind, measured=[[0.0, 50.0], [0.0, 60.0]]).complaints():
        assert isinstance(complaint, Complaint)
        assert complaint.advice.endswith(".") and complaint.value and complaint.allowed


@pytest.mark.parametrize("kind", KINDS)
def test_unknown_keys_and_wrong_types_are_refused(kind):
    """A key misspelt or a word where a number belongs does not pass silently."""
    for wrong in ({"turn": 3.0}, {"turns": "3"}, {"turns": -1.0}, {"measured": [[0.0, 1.0]]}, {"measured": [[0.0], [1.0]]}):
        with pytest.raises(ValidationError):
            source(kind, **wrong)


@pytest.mark.parametrize("kind", KINDS)
def test_a_source_is_worked_out_in_five_milliseconds(kind):
    """Sizes to turns, torque over a hundred points, energy, findings and one picture: the best of five tries."""

    def once() -> float:
        start = time.perf_counter()
        made = sized(kind)
        drive = made.drive
        drive.torque_nmm(np.linspace(0, drive.turns, 100))
        drive.energy_j()
        made.findings()
        if kind != "weight":
            made.coils(drive.turns / 2).points(0.01)
        return time.perf_counter() - start

    assert min(once() for _ in range(5)) < 0.005


def test_states_are_named_by_turns_left():
    """Wound, half wound and nearly down, from most to least; nearly down is the last day of eight."""
    named = states(8.0)
    assert [s.name for s in named] == list(STATES) == ["wound", "half wound", "nearly down"]
    assert [s.turns_left for s in named] == [8.0, 4.0, 1.0]
