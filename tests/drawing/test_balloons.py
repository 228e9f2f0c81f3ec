"""Leaders that do not cross, balloons that do not touch."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString

from builder.drawing.balloons import RADIUS_PX, Target, balloons

SPOTS = st.lists(
    st.tuples(st.floats(0, 700), st.floats(0, 700)),
    min_size=1,
    max_size=16,
    unique_by=(lambda p: round(p[0]), lambda p: round(p[1])),
)


@given(SPOTS)
def test_leaders_do_not_cross_and_balloons_stay_apart(spots: list[tuple[float, float]]) -> None:
    """For any sixteen targets, leaders of a side cross nowhere and balloons keep a clear gap."""
    made = balloons([Target(str(n), n, at) for n, at in enumerate(spots)], -60, 760, 0, 700)
    assert len(made) == len(spots)
    ends = {figure.part: figure.inner[0].at for figure in made}
    for side in (-60, 760):
        lines = [LineString([at, spots[int(part or 0)]]) for part, at in ends.items() if at[0] == side]
        for i, one in enumerate(lines):
            for other in lines[i + 1 :]:
                assert not one.crosses(other)
        heights = sorted(at[1] for at in ends.values() if at[0] == side)
        assert all(b - a >= 2 * RADIUS_PX for a, b in pairwise(heights))


def test_crossing_leaders_would_be_seen() -> None:
    """Negative control: balloons put the wrong way round do cross."""
    assert LineString([(0, 0), (100, 100)]).crosses(LineString([(0, 100), (100, 0)]))
