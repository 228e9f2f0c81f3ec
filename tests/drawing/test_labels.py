"""Labels over hairlines: none on another, none on a hairline that is not its own."""

from __future__ import annotations

import itertools

from hypothesis import given, settings
from hypothesis import strategies as st

from builder.drawing.labels import PAST_PX, Placed, rows


def clear(a: Placed, b: Placed) -> bool:
    """Worked out again, from the picture: labels in one row apart, and no hairline through a label it passes."""
    (a0, a1), (b0, b1) = a.box, b.box
    if a.row == b.row and not (a1 <= b0 or b1 <= a0):
        return False
    return not (a0 < b.x < a1 and b.row <= a.row) and not (b0 < a.x < b1 and a.row <= b.row)


@given(st.lists(st.floats(5, 295), min_size=1, max_size=7), st.lists(st.floats(20, 110), min_size=7, max_size=7))
@settings(max_examples=200, deadline=None)
def test_all_labels_are_clear(xs: list[float], widths: list[float]) -> None:
    """Up to seven events anywhere in a field of 300 px: every pair is clear, and every label lies in the field, wherever that
    is possible at all (labels that fit on neither side of their hairline excepted)."""
    xs = sorted(xs)
    widths = [min(width, max(x, 300 - x) - PAST_PX) for x, width in zip(xs, widths, strict=False)]
    placed = rows(tuple(xs), tuple(widths), 0.0, 300.0)
    assert [one.x for one in placed] == xs
    if any(one.box[1] > 300.0001 or one.box[0] < -0.0001 for one in placed):
        assert [one.row for one in placed] == list(range(len(xs))), "the last resort: a row for each"
        return
    if [one.row for one in placed] != list(range(len(xs))):
        assert all(clear(a, b) for a, b in itertools.combinations(placed, 2))


def test_labels_with_room_share_a_row() -> None:
    """Far apart, one row is enough; crowded together, each has its own."""
    assert {one.row for one in rows((10.0, 100.0, 200.0), (60.0,) * 3, 0.0, 300.0)} == {0}
    crowded = rows((100.0, 104.0, 108.0), (80.0,) * 3, 0.0, 300.0)
    assert len({(one.row, one.anchor) for one in crowded}) == 3


def test_two_at_once_stand_back_to_back() -> None:
    """Let-off and lock lie close: one label before, one behind, in one row."""
    first, second = rows((150.0, 153.0), (60.0, 60.0), 0.0, 300.0)
    assert (first.anchor, second.anchor) == ("end", "start")
    assert first.row == second.row
