"""The joint budget: what leaves the source is found again, term by term, in teeth, pivots, escapement and oscillator."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builder.going.budget import Budget, Term, budget
from builder.going.steady import Running
from tests.solved import DEMOS, demo, light, stops_when_nearly_down

CLOSED = 1e-6
"""Part of the source's power that may be left over."""


def each(slug: str) -> list[Budget]:
    return [budget(demo(slug).train, winding) for winding in demo(slug).windings]


@pytest.mark.parametrize("slug", [*DEMOS, "schoolroom_dial"])
def test_the_budget_closes(slug: str) -> None:
    """In every state the terms, each by a route of its own, make up the source's power to 1e-6 of it."""
    for shown in each(slug):
        assert shown.runs
        assert abs(shown.unaccounted_uw) < CLOSED * shown.source_uw


@pytest.mark.parametrize("slug", DEMOS)
def test_a_term_that_is_wrong_does_not_close(slug: str) -> None:
    """One part in ten thousand more on any term above a hundredth of the power opens the budget."""
    shown = each(slug)[0]
    for n, term in enumerate(shown.terms):
        if term.uw < 0.01 * shown.source_uw:
            continue
        wrong = (*shown.terms[:n], replace(term, uw=1.0001 * term.uw), *shown.terms[n + 1 :])
        assert abs(replace(shown, terms=wrong).unaccounted_uw) > CLOSED * shown.source_uw / 2


@pytest.mark.parametrize("slug", DEMOS)
def test_nothing_is_gained_on_the_way(slug: str) -> None:
    """No term is negative; what reaches the oscillator is less than comes to the escape wheel, and that less than leaves."""
    for shown in each(slug):
        assert all(term.uw >= 0 for term in shown.terms)
        assert 0 < shown.of("oscillator") < shown.escape_uw < shown.source_uw
        assert shown.reaches == pytest.approx(shown.of("oscillator") / shown.source_uw)


@pytest.mark.parametrize("slug", DEMOS)
def test_the_oscillator_is_given_what_it_loses(slug: str) -> None:
    """Impulse less unlocking less the lever's knocks is what the oscillator loses, to 1e-9."""
    for winding in demo(slug).windings:
        assert isinstance(winding.beat, Running)
        work = winding.beat.work
        assert work.impulse - work.unlocking - work.lever == pytest.approx(work.oscillator, rel=1e-9)


def test_joules_a_day() -> None:
    """A microwatt is 0.0864 J a day."""
    assert Term("drop", (), 1.0).joules_a_day == pytest.approx(0.0864)


@pytest.mark.parametrize("slug", DEMOS)
def test_a_weights_energy_is_used_up_in_its_time(slug: str) -> None:
    """Joules a day over the days of a winding are the energy of one winding, for a spring to what it fades in between."""
    going = demo(slug)
    drive, hours = going.movement.source.drive, going.train.going_hours
    assert drive is not None
    assert hours is not None
    used = [Term("oscillator", (), shown.source_uw).joules_a_day * float(hours) / 24 for shown in each(slug)]
    if going.movement.source.kind == "weight":
        assert used[0] == pytest.approx(drive.energy_j(), rel=1e-4)  # turns rounded to a hundredth
    else:
        assert used[2] < drive.energy_j() < used[0]


def test_the_flow_of_a_stopped_clock_ends_at_the_escape_wheel() -> None:
    """There are no terms of the escapement, and what is left over is all that comes to the escape wheel."""
    watch = stops_when_nearly_down()
    stands = [budget(light().train, winding) for winding in light().windings]
    stands.append(budget(watch.train, watch.windings[-1]))
    for shown in stands:
        assert not shown.runs
        assert shown.reaches == 0
        assert {term.cost for term in shown.terms} == {"pivots", "teeth"}
        assert shown.unaccounted_uw == pytest.approx(shown.escape_uw, rel=1e-9)
    assert budget(watch.train, watch.windings[0]).runs


def test_keys_of_terms_are_their_own() -> None:
    """No two terms share a key, and a key holds no underscore (it marks a part of a drawing)."""
    for slug in DEMOS:
        keys = [term.key for term in each(slug)[0].terms]
        assert len(set(keys)) == len(keys)
        assert not any("_" in key for key in keys)
