"""What chance once found stays mended."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from builder.drawing.diagrams import stack
from builder.drawing.source.hold import CLICK
from builder.drawing.source.wraps import MOST_SEEN, Wrap
from builder.drawing.worn.pictures import of_mesh
from builder.going.going import going
from builder.going.steady import Stopped
from builder.ground.faults import Refused
from builder.movement.model import Movement
from builder.parts.teeth.ratchet import Ratchet
from builder.parts.teeth.riding import drop_rad, lift_rad
from tests.drawing.drawn import numbers
from tests.fuzz.reading import harmless
from tests.movement_texts import eight_day
from tests.solved import changed, demo, wording


@pytest.mark.parametrize(("drum_mm", "fall_mm"), [(0.36, 2000.0), (500.0, 1.0)])
def test_a_winding_that_follows_from_sizes_has_bounds(drum_mm: float, fall_mm: float) -> None:
    """A drum as thin as a needle turns thousands of times, and a fall of a hair's breadth not at all: both are refused."""
    with pytest.raises(Refused) as refused:
        changed("shop_regulator", lambda d: d["source"].update(drum_diameter_mm=drum_mm, cord_mm=0.1, fall_mm=fall_mm))
    assert [each.key for each in refused.value.complaints] == [("source",)]


@pytest.mark.parametrize("turns", [12.0, MOST_SEEN + 0.5, 200.0])
def test_a_long_cord_costs_no_more_than_a_short_one(turns: float) -> None:
    """However many turns are on a drum, the path stays short, has the same points in all states, and ends where the cord does."""
    wrap = Wrap(turns, lambda turn: np.full(np.shape(turn), 20.0), lambda turn: 3.0 * turn, 2.0, -1)
    paths = [wrap.d(on) for on in (turns, turns / 2, 0.0)]
    assert len({len(numbers(d)) for d in paths}) == 1
    assert max(map(len, paths)) < 4000


def test_the_source_may_sit_on_the_arbor_that_carries_the_hands() -> None:
    """With the drum on the hands' own arbor, the drawing of what sits there names the drum and what it does."""
    data = eight_day()
    data["source"] = {"kind": "weight", "arbor": "great", "turns": 12.0}
    data["motion_work"]["on"] = "great"
    data["arbors"][3].pop("hand")
    data["plates"] = {"width_mm": 160.0, "height_mm": 240.0}
    plate = stack.draw(going("counted", Movement.model_validate(data)), wording())
    assert plate is not None
    does = {row.part: row.cells["does"] for row in plate.rows}
    assert does["drum"] == wording().say("side.stack.does.source")
    assert all(does.values())


def test_what_a_message_quotes_is_shown_in_plain_letters() -> None:
    """An attribute's or address's control characters do not reach the terminal with the advice about them."""
    for text in ('<abbr \x9bv="">x</abbr>', "[a](//\x9b31m/x)", "[a](b\x85c:d)"):
        harmless(text)


def test_a_pivot_is_thinner_than_its_wheel() -> None:
    """A pivot thicker than the barrel it carries is refused with its place; no order of work was found for such a one."""
    with pytest.raises(Refused) as refused:
        changed("pocket_watch", lambda d: d["arbors"][0].update(pivot_diameter_mm=97.9))
    assert [each.key for each in refused.value.complaints] == [("arbors", 0, "pivot_diameter_mm")]


@pytest.mark.parametrize("teeth", [6, 7, 9, 12, 120])
def test_a_click_drops_over_coarse_teeth_too(teeth: int) -> None:
    """However few the teeth, the click is found to drop within the next tooth: just after, it is off its seat by less."""
    pitch_rad = 2 * np.pi / teeth
    drop = drop_rad(Ratchet(), teeth, 5.0, CLICK * 5.0)
    before, after = lift_rad(Ratchet(), teeth, 5.0, CLICK * 5.0, pitch_rad + drop + np.array([-1e-6, 1e-6]))
    assert 0 < drop < 0.4 * pitch_rad
    assert after < 0.75 * before


def test_a_clock_far_out_of_beat_stops_with_its_reason() -> None:
    """Pallets that lean so far that they cannot unlock on one side stop the clock; the reason gives both angles."""
    far = changed("hall_clock", lambda d: d["oscillator"].update(out_of_beat_deg=-9.0))
    for winding in far.windings:
        assert isinstance(winding.beat, Stopped)
        assert winding.beat.reason == "does not unlock" and "9.00° out of beat" in winding.beat.text


def test_teeth_that_no_longer_meet_have_no_picture() -> None:
    """Worn so far apart that no tooth reaches another, a mesh is left out of the pictures of wear; a little apart it is in."""
    sound = demo("pocket_watch")
    one = next(each for each in sound.plan.sized if each.pair.key[0] == "meshes")
    assert of_mesh(sound, replace(one, too_far_mm=0.05 * one.module_mm), "apart", "near", wording()) is not None
    assert of_mesh(sound, replace(one, too_far_mm=5 * one.module_mm), "apart", "far", wording()) is None
