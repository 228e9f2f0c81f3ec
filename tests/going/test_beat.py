"""The bundle of drive, escapement and oscillator: three states of winding, the curves over one winding, the rated clock."""

from __future__ import annotations

import math
import tomllib
from typing import Any

import numpy as np
import pytest

from builder.going.steady import Running, Stopped, solve
from builder.ground.faults import Refused
from tests.solved import DEMOS, MODELS, changed, demo, light, stops_when_nearly_down

STATES = {"wound": 1.0, "half wound": 0.5, "nearly down": 0.125}


@pytest.mark.parametrize("slug", DEMOS)
def test_three_states_of_winding(slug: str) -> None:
    """Wound, half wound, and nearly down with an eighth left; hours left in proportion to turns left."""
    going = demo(slug)
    drive, beat = going.movement.source.drive, going.beat
    assert drive is not None
    assert beat is not None
    assert [winding.name for winding in beat.windings] == list(STATES)
    for winding in beat.windings:
        assert winding is beat[winding.name]
        assert winding.turns_left == pytest.approx(STATES[winding.name] * drive.turns)
        assert winding.hours_left == pytest.approx(winding.turns_left * float(going.train[going.train.path[0]].hours_per_turn))
        assert winding.power.source_torque_nmm == pytest.approx(float(drive.torque_nmm(winding.turns_left)), rel=1e-14)


@pytest.mark.parametrize("slug", DEMOS)
def test_curves_pass_through_the_states(slug: str) -> None:
    """Where a point of the curves is a state of winding, torque, amplitude and rate are that state's, to rounding."""
    beat = demo(slug).beat
    assert beat is not None
    curves = beat.curves
    for winding in beat.windings:
        (at,) = np.flatnonzero(np.isclose(curves.turns_left, winding.turns_left, rtol=1e-12, atol=0))
        assert curves.source_nmm[at] == pytest.approx(winding.power.source_torque_nmm, rel=1e-12)
        assert curves.escape_nmm[at] == pytest.approx(winding.power.escape_torque_nmm, rel=1e-12)
        assert isinstance(winding.beat, Running)
        assert curves.amplitude_rad[at] == pytest.approx(winding.beat.amplitude_rad, rel=1e-9)
        assert curves.rate_s_per_day[at] == pytest.approx(winding.beat.rate_s_per_day, abs=1e-5)


@pytest.mark.parametrize("slug", DEMOS)
def test_curves_run_from_wound_to_run_down(slug: str) -> None:
    """Hours begin at nought and rise evenly to the going time; a spring's torque and the amplitude never rise."""
    going = demo(slug)
    beat, hours = going.beat, going.train.going_hours
    assert beat is not None
    assert hours is not None
    curves = beat.curves
    assert curves.hours_gone[0] == 0
    assert curves.hours_gone[-1] == pytest.approx(float(hours), rel=1e-3)  # turns from sizes are rounded to a hundredth
    assert np.allclose(np.diff(curves.hours_gone), curves.hours_gone[1])
    assert curves.turns_left[-1] == 0
    for values in (curves.source_nmm, curves.escape_nmm, curves.amplitude_rad):
        assert np.all(np.diff(values) <= 1e-9 * values[0])


@pytest.mark.parametrize("slug", DEMOS)
def test_an_open_setting_keeps_time_half_wound(slug: str) -> None:
    """Where nut or regulator is left open, the clock is right half wound, to 0.001 s a day; a weight keeps it so."""
    going = demo(slug)
    beat = going.beat
    assert beat is not None
    half = beat["half wound"].beat
    assert isinstance(half, Running)
    assert abs(half.rate_s_per_day) < 1e-3
    if going.movement.source.kind == "weight":
        assert all(abs(w.beat.rate_s_per_day) < 1e-3 for w in beat.windings if isinstance(w.beat, Running))


@pytest.mark.parametrize("slug", DEMOS)
def test_rate_is_the_sum_of_its_parts(slug: str) -> None:
    """Setting, circular and escapement error make the rate; a pendulum's circular error is Kater's 1.65 s × degrees² (from
    memory: rule of the trade for small arcs), a balance has none."""
    for winding in demo(slug).windings:
        beat = winding.beat
        assert isinstance(beat, Running)
        parts = beat.setting_s_per_day + beat.circular_s_per_day + beat.escapement_s_per_day
        assert parts == pytest.approx(beat.rate_s_per_day, abs=1e-12)
        if demo(slug).movement.oscillator.kind == "pendulum":
            assert beat.circular_s_per_day == pytest.approx(-1.645 * beat.amplitude_deg**2, rel=2e-3)
        else:
            assert beat.circular_s_per_day == 0


@pytest.mark.parametrize("slug", DEMOS)
def test_drawings_follow_the_path(slug: str) -> None:
    """A state's motion is its path at the nominal beat: one pitch a period, the oscillator through its amplitudes."""
    going = demo(slug)
    for winding in going.windings:
        motion = winding.motion(going.train)
        assert isinstance(winding.beat, Running)
        assert motion.solved
        assert motion.times[0] == 0
        assert motion.times[-1] == 1
        assert motion.wheel_rad[-1] == pytest.approx(2 * math.pi / going.train.escape_teeth, abs=1e-9)
        assert motion.oscillator_rad is not None
        assert motion.oscillator_rad.max() == pytest.approx(winding.beat.high_rad, rel=1e-9)
        assert going.at(winding).winding is winding


def test_where_it_stops_the_curves_have_no_amplitude() -> None:
    """From the point on at which a spring is too weak, amplitude and rate are not numbers, torque still is."""
    beat = stops_when_nearly_down().beat
    assert beat is not None
    assert [type(w.beat) for w in beat.windings] == [Running, Running, Stopped]
    goes = np.isfinite(beat.curves.amplitude_rad)
    assert goes[0]
    assert not goes[-1]
    assert np.all(np.diff(goes.astype(int)) <= 0), "once stopped it does not start again"
    assert np.array_equal(goes, np.isfinite(beat.curves.rate_s_per_day))
    assert np.all(np.isfinite(beat.curves.source_nmm))


def test_the_curves_stop_where_the_beat_does() -> None:
    """Each point of the curves is what the solver says of its torque."""
    beat = stops_when_nearly_down().beat
    assert beat is not None
    running = beat.windings[0].beat
    assert isinstance(running, Running)
    for torque, amplitude in zip(beat.curves.escape_nmm, beat.curves.amplitude_rad, strict=True):
        solved = solve(beat.terms, running.works.course, float(torque), beat.wheel_kg_m2)
        assert isinstance(solved, Running) == math.isfinite(amplitude)


def test_a_stopped_clock_stands() -> None:
    """Too light a weight leaves no state in which it goes; nothing moves."""
    going = light()
    for winding in going.windings:
        assert isinstance(winding.beat, Stopped)
        assert winding.path is None
        motion = winding.motion(going.train)
        assert not np.any(np.diff(motion.wheel_rad))


@pytest.mark.parametrize(
    "change",
    [
        lambda data: data["source"].pop("mass_kg"),
        lambda data: data.update(escapement={"kind": "counted", "name": "recoil anchor", "arbor": "escape", "teeth": 30}),
        lambda data: data.update(oscillator={"kind": "counted", "name": "pendulum", "beats_per_hour": 3600}),
    ],
    ids=["force", "escapement", "oscillator"],
)
def test_what_is_only_counted_has_no_beat(change: Any) -> None:
    """Without force, escapement or oscillator the train still runs at its rate, and nothing is guessed."""
    going = changed("hall_clock", change)
    assert going.beat is None
    assert going.windings == ()
    assert not going.motion.solved


def test_a_balance_does_not_swing_in_a_crutch() -> None:
    """An oscillator that does not go with the escapement is refused."""
    watch = tomllib.loads((MODELS / "pocket_watch" / "movement.toml").read_text("utf-8"))["oscillator"]
    with pytest.raises(Refused) as caught:
        changed("hall_clock", lambda data: data.update(oscillator=watch | {"beats_per_hour": 3600}))
    assert ("oscillator", "kind") in {complaint.key for complaint in caught.value.complaints}
