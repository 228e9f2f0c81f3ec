"""The order of work at the bench: no step removes what another part still holds, by shapely and for any movement."""

from __future__ import annotations

import tomllib
from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builder.going.going import Going
from builder.going.piece import Piece
from builder.going.solids import Outline, Ring, Sheet, Solid
from builder.going.taking_down import LET_DOWN, Step, TakingDown, taking_down
from builder.movement.model import Movement
from builder.movement.reading import read
from tests.going.solid_shapes import DEMO, ROOT, common_mm, demo, laid_out, shape, swept
from tests.going.test_heights import AREA_MM2, SOURCES, any_movement

CYLINDER = ROOT / "tests/models/cylinder_watch/movement.toml"
LATER = {"front": 1, "back": -1}


def work_of(going: Going) -> TakingDown:
    found = taking_down(going)
    assert found is not None
    return found


def hits(moving: Solid, piece: Piece, other: Solid) -> bool:
    """Whether a solid meets another on its way out, by shapely."""
    if piece.way == "aside":
        if isinstance(other.region, Sheet) or common_mm(moving, other) <= 1e-9 or other.part == "escape-wheel":
            return False
        if not isinstance(other.region, Ring):
            return False  # lever and rollers, crutch and rod work in one another: they slide apart
        return swept(moving.region, piece.direction).intersection(shape(other.region)).area > AREA_MM2
    if piece.id == "balance" and "pallets" in piece.parts and other.part == "escape-wheel":
        return False  # a cylinder stands between two of its teeth
    ahead = other.low_mm - moving.high_mm if LATER[piece.way] > 0 else moving.low_mm - other.high_mm
    return ahead > -1e-6 and shape(moving.region).intersection(shape(other.region)).area > AREA_MM2


def held(step: Step, left: list[Piece]) -> list[str]:
    """Pieces that are still there and in the way of a step, or that fasten what leaves."""
    group = {piece.id for piece in step.pieces}
    found = []
    for piece in step.pieces:
        for other in (each for each in left if each.id not in group):
            blocked = piece.way != "down" and any(hits(a, piece, b) for a in piece.solids for b in other.solids)
            if blocked or other.id in piece.held_by:
                found.append(f"{piece.id} by {other.id}")
    return found


def mistakes(work: TakingDown, steps: list[Step]) -> list[str]:
    """Every piece that some step removes while another holds it; the plate that stays holds too."""
    left, found = list(work.pieces.off), []
    for step in steps:
        if step.stage == "apart":
            continue
        found += held(step, [*left, work.pieces.stays])
        left = [piece for piece in left if piece not in step.pieces]
    return found


@pytest.mark.parametrize("slug", DEMO)
def test_no_step_removes_what_is_held(slug: str) -> None:
    """Every piece of a demo movement leaves freely when its turn comes: shapely finds nothing in its way."""
    work = work_of(demo(slug))
    assert mistakes(work, list(work.steps)) == []


@pytest.mark.parametrize("slug", DEMO)
def test_the_wrong_order_is_seen(slug: str) -> None:
    """Negative control: put together without thinking, or with the plate off first, many pieces are held."""
    work = work_of(demo(slug))
    assert len(mistakes(work, list(work.putting_together))) > 5
    plate = next(step for step in work.steps if step.stage == "plate" and step.id != "pillar-pins")
    first = [plate, *(step for step in work.steps if step is not plate)]
    assert mistakes(work, first)


@pytest.mark.parametrize("slug", DEMO)
def test_each_piece_once_and_back_again(slug: str) -> None:
    """Every piece leaves exactly once; putting together is the same steps from the last to the first."""
    work = work_of(demo(slug))
    gone = Counter((piece.of, piece.id) for step in work.steps for piece in step.pieces)
    assert set(gone) == {(piece.of, piece.id) for piece in (*work.pieces.off, *work.pieces.apart)}
    assert set(gone.values()) == {1}
    assert work.putting_together == tuple(reversed(work.steps))
    assert work.pieces.stays.id not in {piece.id for step in work.steps for piece in step.pieces}


@pytest.mark.parametrize("slug", DEMO)
def test_power_off_first(slug: str) -> None:
    """The cautions of the trade as an order: spring or weight first, pendulum next, pallets and plates only after both."""
    work = work_of(demo(slug))
    at = {piece.id: n for n, step in enumerate(work.steps) for piece in step.pieces}
    first = work.steps[0]
    if work.laid.movement.source.kind == "weight":
        assert first.id == "weight"
        assert LET_DOWN not in {step.id for step in work.steps}
    else:
        assert first.id == LET_DOWN
    if "pendulum" in at:
        assert at["pendulum"] == 1
        assert at["pendulum"] < at["back-cock"] < at["pallets"] < at["pillar-pins"]
    if "balance" in at:
        assert at["balance"] < at["pillar-pins"] < at["pallets"]
    assert at["dial"] < at["hour-wheel"] < at["cannon-pinion"] < at["pillar-pins"]
    inside = [step for step in work.steps if step.stage == "apart"]
    assert inside == list(work.steps[len(work.steps) - len(inside) :])


@pytest.mark.parametrize("slug", DEMO)
def test_freed_by_is_what_held_it(slug: str) -> None:
    """What a step names as having held it left before, and would hold it still: with that one back, the step is blocked."""
    work = work_of(demo(slug))
    left = list(work.pieces.off)
    by_id = {piece.id: piece for piece in left}
    safety = ("power", "pendulum", "outside", "balance", "pallets")
    for step in work.steps:
        for name in step.freed_by:
            back = by_id[name]
            assert back not in left
            assert back.stage in safety or held(step, [*left, back]), (step.id, name)
        left = [piece for piece in left if piece not in step.pieces]


@pytest.mark.parametrize("slug", DEMO)
def test_a_barrel_opens_at_its_cover(slug: str) -> None:
    """Cover, then arbor, then spring; and nothing that comes apart was not out before."""
    work = work_of(demo(slug))
    apart = [step.pieces[0] for step in work.steps if step.stage == "apart"]
    names = [piece.id for piece in apart]
    if "cover" in names:
        assert names.index("cover") < names.index("barrel-arbor") < names.index("mainspring")
    assert {piece.of for piece in apart} <= {piece.id for piece in work.pieces.off}


def test_no_plates_no_bench() -> None:
    """A movement without plates has no order of work."""
    going = demo("hall_clock")
    assert taking_down(replace(going, movement=going.movement.model_copy(update={"plates": None}))) is None


def test_wheels_over_one_another_leave_together() -> None:
    """Two arbors whose wheels lie over each other by turns cannot leave one by one: one step lifts both."""
    going = demo("shelf_timepiece")
    source = going.movement.source.model_copy(update={"room_diameter_mm": 36.0})  # the spring then reaches under the pinion
    work = work_of(laid_out(going.movement.model_copy(update={"source": source})))
    (step,) = [each for each in work.steps if len(each.pieces) > 1]
    assert {piece.id for piece in step.pieces} == {"centre", "great"}
    assert mistakes(work, list(work.steps)) == []


def test_a_cylinder_leaves_before_the_plate() -> None:
    """A balance on a cylinder comes out through the plate's opening under its cock, as at the bench; it is not lifted with the
    plate and half of the train."""
    work = work_of(laid_out(read(CYLINDER, Movement, CYLINDER.parent.parent)))
    order = [step.id for step in work.steps]
    assert order.index("balance-cock") + 1 == order.index("balance") < order.index("pillar-pins")
    assert all(len(step.pieces) < 2 for step in work.steps)
    assert mistakes(work, list(work.steps)) == []


def test_a_pinion_of_report_leaves_before_the_plate() -> None:
    """Outside the plate and wider than its hole: it comes off its square before the plate, which leaves alone."""
    data = tomllib.loads((ROOT / "models/hall_clock/movement.toml").read_text("utf-8"))
    data["motion_work"] = {"kind": "hour_only", "on": "centre", "pinion_leaves": 6, "hour_wheel_teeth": 72, "module_mm": 1.0}
    data["arbors"][-1].pop("hand")  # with one pair less the seconds would go backwards
    del data["heights"]["minute_wheel_mm"], data["heights"]["hour_wheel_mm"], data["heights"]["dial_mm"]
    work = work_of(laid_out(Movement.model_validate(data)))
    order = [step.id for step in work.steps]
    assert order.index("hour-wheel") < order.index("report-pinion") < order.index("front-plate")
    assert all(len(step.pieces) < 2 for step in work.steps)
    assert mistakes(work, list(work.steps)) == []


def test_the_stem_is_out_before_what_it_holds() -> None:
    """Keyless work comes off under the dial once the stem is out; the stem before the plates part, for it lies between them."""
    order = [step.id for step in work_of(demo("pocket_watch")).steps]
    assert order.index("dial") < order.index("stem") < order.index("keyless") < order.index("pillar-pins")
    assert "crown-wheel" in order
    assert not {"stem", "keyless", "crown-wheel"} & {step.id for step in work_of(demo("hall_clock")).steps}


@given(st.lists(st.integers(-130, 130), min_size=3, max_size=3), st.sampled_from(sorted(SOURCES)), st.booleans(), st.booleans())
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow])
def test_any_movement_can_be_taken_down(turns: list[int], source: str, pendulum: bool, roomy: bool) -> None:
    """Random layouts: no step removes what is held, each piece leaves once. Negative control: any step that was waited for, put
    after the one that waited, is seen as a mistake."""
    going = any_movement(turns, source, 90.0 if roomy else None, pendulum)
    if going is None:
        return
    work = work_of(going)
    assert mistakes(work, list(work.steps)) == []
    assert Counter(piece.id for step in work.steps for piece in step.pieces if step.stage != "apart") == Counter(
        piece.id for piece in work.pieces.off
    )
    plate = next(step for step in work.steps if any(piece.stage == "plate" for piece in step.pieces))
    assert mistakes(work, [work.steps[-1], *work.steps[:-1]]) or work.steps[-1].stage == "apart"
    late = [step for step in work.steps if step is not plate] + [plate]
    assert mistakes(work, late)


def test_sweeps() -> None:
    """The test's own sweep: a square drawn along +y meets what stands above it, and not what stands beside it."""
    square = Outline(np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]))
    way = swept(square, (0.0, 1.0))
    assert way.intersects(shape(Ring((0.5, 40.0), 0.2))) and not way.intersects(shape(Ring((2.0, 40.0), 0.2)))
    assert way.area == pytest.approx(1.0 + 1e4, rel=1e-3)
