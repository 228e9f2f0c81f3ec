"""What is to be heard, against the solved period."""

from __future__ import annotations

import pytest

from builder.going.steady import Running
from builder.lessons.heard import LOUDNESS, sound
from tests.lessons.asked import DEMOS, solved, with_changed


@pytest.mark.parametrize("slug", DEMOS)
def test_every_lock_and_unlocking_is_heard_when_it_comes(slug: str) -> None:
    """Each state's knocks are the events of its path, as parts of its period; two locks in a period, the loudest of all."""
    heard = sound(solved(slug))
    assert heard is not None and heard.period_ms == float(7_200_000 / solved(slug).train.beats_per_hour)
    assert [each.state for each in heard.in_beat] == [winding.name for winding in solved(slug).windings]
    for winding, each in zip(solved(slug).windings, heard.in_beat, strict=True):
        assert winding.path is not None
        period_s = winding.path.times_s[-1]
        events = [(time_s / period_s, what, pallet) for time_s, what, pallet in winding.path.events if what in LOUDNESS]
        assert [(part, pallet) for part, _, pallet in each.knocks] == [(pytest.approx(part), p) for part, _, p in events]
        locks = [part for part, loud, _ in each.knocks if loud == max(LOUDNESS.values())]
        assert len(locks) == 2
        apart_ms = 1e3 * period_s * (locks[1] - locks[0])
        assert each.beats_ms == pytest.approx((apart_ms, 1e3 * period_s - apart_ms), abs=1e-3)


@pytest.mark.parametrize("slug", DEMOS)
def test_out_of_beat_is_plainly_uneven_in_every_state(slug: str) -> None:
    """Two beats in a row differ by a fiftieth or more, where in beat they differ by less than a hundredth."""
    heard = sound(solved(slug))
    assert heard is not None and heard.angle_deg is not None
    assert [each.state for each in heard.out_of_beat] == [each.state for each in heard.in_beat]
    for even, uneven in zip(heard.in_beat, heard.out_of_beat, strict=True):
        mean = sum(even.beats_ms) / 2
        assert abs(even.beats_ms[0] - even.beats_ms[1]) < 0.01 * mean
        assert abs(uneven.beats_ms[0] - uneven.beats_ms[1]) > 0.02 * mean


def test_out_of_beat_as_a_file_that_stands_so() -> None:
    """The watch read from a file with that out_of_beat_deg beats with the same instants."""
    heard = sound(solved("pocket_watch"))
    assert heard is not None
    angle = heard.angle_deg
    crooked = with_changed("pocket_watch", lambda data: data["oscillator"].update(out_of_beat_deg=angle))
    beat = crooked.windings[0].beat
    assert isinstance(beat, Running)
    assert heard.out_of_beat[0].beats_ms == pytest.approx([1e3 * each for each in beat.beats_s], rel=1e-4)


def test_a_stopped_clock_is_silent() -> None:
    """There is nothing to hear of a clock that stops in every state."""
    assert sound(solved("light_weight")) is None
