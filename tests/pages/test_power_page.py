"""The page of power: one column where every state of winding is the same, else one a state."""

from __future__ import annotations

import pytest

from builder.going.budget import budget
from builder.pages.stations import power
from tests.pages.test_stopped_pages import shown, told
from tests.solved import demo, wording


@pytest.mark.parametrize(("slug", "states"), [("hall_clock", 1), ("schoolroom_dial", 3), ("pocket_watch", 3)])
def test_states_that_differ_stand_side_by_side(slug: str, states: int) -> None:
    """A weight's are one. A fusee's source is even, but the chain walks along the cone and presses the pivots otherwise: each
    state has its own figures, and the page does not say that all are one."""
    going = demo(slug)
    context = told(power.context(shown(going), wording()))
    own = {tuple(term.uw for term in budget(going.train, winding).terms) for winding in going.windings}
    assert len(own) == len(context["states"]) == states
    assert context["alike"] == (states == 1) == (wording().say("pages.power.even") in context["sentences"])
    assert (wording().say("pages.power.even_source") in context["sentences"]) == (slug == "schoolroom_dial")
    assert all(len(row["cells"]) == states for row in context["rows"])
