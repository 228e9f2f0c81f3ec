"""Missing wheels and pinions: whatever is taken out of a train is found again, and what cannot be is said plainly."""

from __future__ import annotations

import tomllib
from fractions import Fraction
from math import prod

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.bench import work
from builder.bench.trains.missing import Missing
from builder.going.plan import plan
from builder.going.train import train
from builder.ground.faults import Refused
from builder.movement.model import Movement
from builder.parts.teeth import MESH_FORMS
from tests.solved import DEMOS, MODELS

Pairs = list[tuple[int, int]]
Hole = tuple[int, int]
FASTEST = 100_000


def notation(pairs: Pairs, holes: list[Hole]) -> str:
    shown = [["x" if (k, side) in holes else str(pair[side]) for side in (0, 1)] for k, pair in enumerate(pairs)]
    return ", ".join("/".join(pair) for pair in shown)


def beats_of(pairs: Pairs, escape: int) -> Fraction:
    """Beats an hour with the first arbor turning once."""
    return Fraction(prod(a for a, _ in pairs), prod(b for _, b in pairs)) * 2 * escape


def columns(holes: list[Hole]) -> list[str]:
    return [f"{('driver', 'driven')[side]}.{k + 1 + side}" for k, side in holes]


@st.composite
def taken_out(draw: st.DrawFn) -> tuple[Pairs, int, list[Hole]]:
    """A train from the minute hand's arbor to the escape wheel, and one or two counts taken out of it."""
    mesh = st.tuples(st.integers(24, 120), st.integers(6, 16))
    pairs = draw(st.lists(mesh, min_size=2, max_size=3))
    escape = draw(st.integers(12, 40))
    holes = draw(st.lists(st.tuples(st.integers(0, len(pairs) - 1), st.integers(0, 1)), min_size=1, max_size=2, unique=True))
    if not 100 < beats_of(pairs, escape) <= FASTEST:
        pairs = [(64, 8), (60, 8)]
        holes = [(min(k, 1), side) for k, side in holes]
    return pairs, escape, sorted(set(holes))


@settings(max_examples=60, deadline=None)
@given(taken_out())
def test_what_is_taken_out_is_found_again(case: tuple[Pairs, int, list[Hole]]) -> None:
    """Whatever count, or two counts, a train loses, its own are among the candidates; and every candidate makes the same beat."""
    pairs, escape, holes = case
    beats = beats_of(pairs, escape)
    texts = {"train": notation(pairs, holes), "minute_arbor": "1", "escape_teeth": str(escape), "beats_per_hour": str(beats)}
    rows = work("missing", texts).table("candidates")
    own = {name: pairs[k][side] for name, (k, side) in zip(columns(holes), holes, strict=True)}
    assert any(own.items() <= row.items() for row in rows)
    for row in rows:
        filled = [list(pair) for pair in pairs]
        for name, (k, side) in zip(columns(holes), holes, strict=True):
            filled[k][side] = row[name]
        assert beats_of([(a, b) for a, b in filled], escape) == beats


@pytest.mark.parametrize("slug", DEMOS)
def test_any_wheel_of_the_demo_movements(slug: str) -> None:
    """In every demo movement each wheel and pinion from the source to the escape wheel, and each whole mesh, is found again,
    and fits the centres and the mate's diameter."""
    movement = Movement.model_validate(tomllib.loads((MODELS / slug / "movement.toml").read_text("utf-8")))
    counted = train(movement)
    pairs = [(pair.driver_count, pair.driven_count) for pair in counted.path_pairs]
    sized = {one.pair: one for one in plan(movement, counted).sized}
    first = counted.arbors[0].hours_per_turn
    for k in range(len(pairs)):
        mesh = sized[counted.path_pairs[k]]
        for sides in ((0,), (1,), (0, 1)):
            holes = [(k, side) for side in sides]
            own = {name: pairs[k][side] for name, (_, side) in zip(columns(holes), holes, strict=True)}
            texts = {
                "train": notation(pairs, holes), "first_hours": str(first), "escape_teeth": str(counted.escape_teeth),
                "beats_per_hour": str(counted.beats_per_hour), "distance_mm": f"{k + 1}={mesh.distance_mm:.2f}",
                "beats_per_tooth": str(counted.beats_per_tooth),
            }  # fmt: skip
            if sides == (0,):
                texts["driven_mm"] = f"{k + 1}={2 * mesh.gears.driven.tip_mm:.2f}"
            row = next(row for row in work("missing", texts).table("candidates") if own.items() <= row.items())
            assert row[f"module_mm.{k + 1}"] == pytest.approx(mesh.module_mm, rel=2e-3)
            assert row[f"driver_diameter_mm.{k + 1}"] == pytest.approx(2 * mesh.gears.driver.tip_mm, rel=2e-3)
            assert row.get(f"fits.{k + 1}", True) is True


def test_nothing_is_overlooked() -> None:
    """A list made by trying every wheel with every pinion is the list of candidates, exactly and within a tolerance."""
    wanted = Fraction(9368, 72 * 22)
    for within in (0, 1):
        texts = {"train": "56/7, 54/6, x/x", "first_hours": "1", "escape_teeth": "11", "beats_per_hour": "9368"}
        texts |= {"within_percent": str(within), "teeth_most": "90", "leaves_most": "14"}
        tried = {(a, b) for a in range(16, 91) for b in range(6, 15) if abs(Fraction(a, b) / wanted - 1) <= Fraction(within, 100)}
        if not tried:
            with pytest.raises(Refused):
                work("missing", texts)
            continue
        rows = work("missing", texts).table("candidates")
        assert {(row["driver.3"], row["driven.4"]) for row in rows} == tried
        assert [abs(row["off_percent"]) for row in rows] == sorted(abs(row["off_percent"]) for row in rows)  # type: ignore[arg-type]


def test_two_stretches_at_once() -> None:
    """A wheel before the minute hand's arbor and one after it: each answers its own equation, hours here, beat there."""
    texts = {"train": "x/8, 64/8, x/8", "minute_arbor": "2", "escape_teeth": "30", "beats_per_hour": "3600"}
    working = work("missing", texts | {"turns": "16", "going_hours": "192"})
    (row,) = working.table("candidates")
    assert (row["driver.1"], row["driver.3"]) == (96, 60)


def test_motion_work_and_escape_wheel() -> None:
    """The dial's reduction finds a lost hour wheel, and the beat a lost escape wheel."""
    rows = work("missing", {"train": "12/36, 10/x", "minute_arbor": "1", "hour_arbor": "3"}).table("candidates")
    assert [row["driven.3"] for row in rows] == [40]
    escape = {"train": "64/8, 60/8", "minute_arbor": "1", "escape_is": "missing", "beats_per_hour": "3600"}
    working = work("missing", escape)
    assert [row["escape_teeth"] for row in working.table("candidates")] == [30]
    assert working["escape_teeth"] == 30


def test_the_diameter_tells_which_of_two_fits() -> None:
    """The diameter of the wheel that remains agrees with the centres, or contradicts them and says by how much."""
    gears = MESH_FORMS["cycloidal"]().pair(64, 8, 0.6)
    asks = {"train": "64/x, 60/8", "minute_arbor": "1", "escape_teeth": "30", "beats_per_hour": "3600"}
    sizes = {"distance_mm": f"1={gears.distance_mm}", "driver_mm": f"1={2 * gears.driver.tip_mm:.3f}"}
    (row,) = work("missing", asks | sizes).table("candidates")
    assert row["fits.1"] is True
    (row,) = work("missing", asks | sizes | {"driver_mm": f"1={2.1 * gears.driver.tip_mm:.3f}"}).table("candidates")
    assert row["fits.1"] is False
    assert row["misfit_percent.1"] == pytest.approx(5, abs=0.1)


WHOLE = {"train": "96/8, 64/8, 60/8", "minute_arbor": "2", "escape_teeth": "30", "beats_per_hour": "3600"}


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({}, "a train with an x for what is missing"),
        ({"train": "96/x, x/8, x/8"}, "3 counts missing"),
        ({"train": "x/8, 64/8, 60/8"}, "speed is told on both sides"),
        ({"train": "96/8, 64/8, 60/x", "beats_per_hour": "3500"}, "so it must be 8 8/35"),
        ({"train": "96/8, x/8, 60/8", "beats_per_hour": "3500", "within_percent": "0.1"}, "nearest is 62 on arbor 2, −0.36"),
        ({"train": "96/8, 64/x, 60/8", "seconds_arbor": "3"}, "arbors 3 to 4 make 7 1/2"),
        (
            {"train": "96/8, 64/x, 60/8", "seconds_arbor": "4", "beats_per_hour": "3000"},
            "60 turns an hour, as seconds_arbor tells",
        ),
        ({"train": "96/8, 64/x, 60/8", "minute_arbor": "9"}, "at most 4"),
        ({"escape_is": "missing"}, "nothing, since it is missing"),
    ],
)
def test_what_cannot_be_is_said(change: dict[str, str], words: str) -> None:
    """Each impossible question says what is wrong, with the figures, and the nearest where there is none."""
    with pytest.raises(Refused) as caught:
        work("missing", WHOLE | change)
    assert words in str(caught.value)


def test_as_a_python_function() -> None:
    """The sum is a plain class: its fields are asked, its working is exact."""
    sought = Missing(
        train=((96, 8), (64, None), (60, 8)), minute_arbor=2, escape_teeth=30, beats_per_hour=Fraction(3600)
    ).working()
    assert sought["missing_ratio"] == Fraction(8)
    assert sought["driven"] == 8
