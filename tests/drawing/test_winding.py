"""The winding of all demo movements: the strip's own area, no coil in another, true rates, labels, bytes."""

import math
import re
from fractions import Fraction
from functools import cache
from itertools import combinations

import numpy as np
import pytest
import shapely
from shapely import Point, Polygon

from builder.drawing.diagrams import winding
from builder.drawing.path import View
from builder.drawing.sheet import Sheet
from builder.drawing.source import sized, strip
from builder.drawing.source.column import crossing
from builder.drawing.source.run import run
from builder.drawing.table import Plate
from builder.going.going import Going
from tests.drawing.drawn import at_share, figures, moving, numbers, strip_sides
from tests.solved import changed, demo, wording

SPRINGS = ("pocket_watch", "shelf_timepiece", "schoolroom_dial")
ALL = (*SPRINGS, "hall_clock", "shop_regulator")
SHARES = (0.0, 0.013, 0.31, 0.77, 1.0)
"""Of the time that is over: key frames and what is drawn between them."""
D_BYTES, SVG_BYTES = 60_000, 190_000


@cache
def plate(slug: str) -> Plate:
    drawn = winding.draw(demo(slug), wording())
    assert drawn is not None
    return drawn


def scale_of(slug: str) -> float:
    """px per mm, from where the strip's outer end is drawn: at the barrel's wall, or at its pillar."""
    source = demo(slug).movement.source
    if slug == "shelf_timepiece":
        pillar = next(f for f, _ in figures(plate(slug).sheet) if f.part == "outer-end")
        return math.hypot(*pillar.at) / source.pillar_mm
    outer, inner = strip_sides(at_share(moving(plate(slug).sheet, "mainspring", "d")[0], 0.0))
    return float(np.hypot(*(outer + inner)[0] / 2)) / (source.barrel.inside_diameter_mm / 2 - source.spring.thickness_mm / 2)


def pieces(slug: str, share: float, thicker: float = 1.0) -> np.ndarray:
    """The strip in sight, cut across into short pieces (shapely polygons), as drawn or made thicker."""
    going = demo(slug)
    sheet = plate(slug).sheet
    outer, inner = strip_sides(at_share(moving(sheet, "mainspring", "d")[0], share))
    middle, half = (outer + inner) / 2, (outer - inner) / 2 * thicker
    source = going.movement.source
    left = min(source.usable_turns, float(going.train.source_turns) * (1 - share))
    count = source.coils(left).count
    turned = np.unwrap(np.arctan2(middle[:, 1], middle[:, 0])[np.hypot(*middle.T) > 1])
    behind = np.abs(turned - turned[0]) / (2 * math.pi)
    seen = int(np.searchsorted(behind, count))
    share_of_last = (count - behind[seen - 1]) / (behind[seen] - behind[seen - 1])
    middle = np.concatenate([middle[:seen], [middle[seen - 1] + share_of_last * (middle[seen] - middle[seen - 1])]])
    half = np.concatenate([half[:seen], half[seen - 1 : seen]])
    a, b = middle + half, middle - half
    return np.array([Polygon([a[k], a[k + 1], b[k + 1], b[k]]) for k in range(len(a) - 1)])


@cache
def covered(slug: str, share: float, thicker: float = 1.0) -> tuple[float, float]:
    """Sum of the pieces' areas and area of what they cover together, in px² for each px of the strip's length."""
    strip = pieces(slug, share, thicker)
    together = shapely.union_all(strip)
    assert together.is_valid
    length_px = demo(slug).movement.source.spring.length_mm * scale_of(slug)
    return float(shapely.area(strip).sum()) / length_px, together.area / length_px


@pytest.mark.parametrize(("slug", "within"), [("pocket_watch", 0.004), ("schoolroom_dial", 0.004), ("shelf_timepiece", 0.008)])
def test_the_strip_keeps_its_area(slug: str, within: float) -> None:
    """What is drawn of the strip covers length × thickness of the file, in key frames and between them.

    The open spring's last quarter, which leads out to the pillar, is not counted in its lay: 0.8 %.
    """
    thick_px = demo(slug).movement.source.spring.thickness_mm * scale_of(slug)
    for share in SHARES:
        assert covered(slug, share)[1] == pytest.approx(thick_px, rel=within)


@pytest.mark.parametrize("slug", SPRINGS)
def test_no_coil_lies_in_another(slug: str) -> None:
    """Pieces of the strip overlap by 0.02 px all along at most; of a strip a sixth thicker they would by 0.15 px and more."""

    def overlap_px(share: float, thicker: float = 1.0) -> float:
        total, together = covered(slug, share, thicker)
        return total - together

    assert max(overlap_px(share) for share in SHARES) < 0.02
    assert overlap_px(0.0, 7 / 6) > 0.15 and overlap_px(1.0, 7 / 6) > 0.15


def crowded() -> Going:
    """The shelf timepiece with a longer spring that opens as far as its own pillar."""
    spring = {"thickness_mm": 0.32, "height_mm": 2.0, "length_mm": 1450.0}
    sizes = {"spring": spring, "arbor_diameter_mm": 6.0, "room_diameter_mm": 46.0, "pillar_mm": 21.0, "turns": 6.0}
    return changed("shelf_timepiece", lambda data: data["source"].update(sizes))


def test_coils_pass_the_pillar_on_the_inside() -> None:
    """An open spring keeps clear of its pillar all but the last quarter turn, and of itself, where the round lay would not."""
    going = crowded()
    made = winding.draw(going, wording())
    assert made is not None
    pillar = next(f for f, _ in figures(made.sheet) if f.part == "outer-end")
    px = math.hypot(*pillar.at) / 21.0
    strip = next(f for f, _ in figures(made.sheet) if f.part == "mainspring" and f.moves and f.moves[0].what == "d")
    angle = math.atan2(pillar.at[1], pillar.at[0])
    assert math.cos(angle - math.radians(strip.turned_deg)) == pytest.approx(1)
    post = Point(21.0 * px, 0).buffer(float(numbers(pillar.shapes[0].d)[2]))
    for share in (0.0, 0.4, 0.8, 1.0):
        outer, inner = strip_sides(at_share(strip.moves[0], share))
        coils = going.movement.source.coils(6.0 * (1 - share))
        whole = math.floor(16 * 4 * coils.count)
        band = [Polygon([outer[k], outer[k + 1], inner[k + 1], inner[k]]) for k in range(16, whole)]
        together = shapely.union_all(band)
        assert together.distance(post) > 0
        assert float(shapely.area(band).sum()) - together.area < 0.02 * coils.length_mm * px
    # the round lay, run down, goes right through it
    assert coils.radii_mm[2] * px < 21.0 * px < coils.radii_mm[3] * px


def test_key_frames_keep_to_the_lay() -> None:
    """Between key frames the strip lies within 2.5 % of the drawing's width of the lay computed for that moment."""
    for slug in SPRINGS:
        source = demo(slug).movement.source
        made = strip.strip(sized.lays(source), run(demo(slug)), View(scale_of(slug)), False)
        assert made.off_px < 0.025 * 2 * source.coils(0.0).radii_mm[3] * scale_of(slug)


@pytest.mark.parametrize("slug", ("pocket_watch", "shelf_timepiece"))
def test_the_section_cuts_the_coils_that_are_there(slug: str) -> None:
    """At every moment as many coils are seen above and below the arbor as the lay has there, where the lay has them."""
    going, sheet = demo(slug), plate(slug).sheet
    coils = [f for f, _ in figures(sheet) if f.part == "mainspring" and any(m.what == "visibility" for m in f.moves)]
    px = scale_of(slug)
    for share in (0.004, 0.21, 0.5, 0.73, 0.96):
        left = min(going.movement.source.usable_turns, float(going.train.source_turns) * (1 - share))
        lay = going.movement.source.coils(left)
        seen = {"up": [], "down": []}
        for figure in coils:
            slide, shown = figure.moves
            if shown.at(share * float(shown.exact_ms or shown.dur_ms) / 1000) == "hidden":
                continue
            top, bottom = (numbers(figure.shapes[0].d)[k] for k in (1, 3))
            y = (top + bottom) / 2 + at_share(slide, share)[1]
            seen["up" if y < 0 else "down"].append(abs(y) / px)
        for radii in seen.values():
            assert abs(len(radii) - lay.count) < 1
            assert max(radii) <= (lay.radii_mm[3] + 0.3 / px) * 1.2 and min(radii) >= lay.radii_mm[0] - 0.3 / px
            gaps = np.diff(sorted(radii))
            assert gaps.min() > lay.thickness_mm - 0.5 / px


@pytest.mark.parametrize("slug", ALL)
def test_turns_as_the_train_does(slug: str) -> None:
    """The source's arbor turns in the drawing through its turns an hour times the hours of a winding, seen from its own side."""
    going, sheet = demo(slug), plate(slug).sheet
    arbor = going.train[going.train.path[0]]
    due = 360 * arbor.turns_per_hour * going.train.going_hours
    wheel = next(t.id for t in going.plan.toothings if t.arbor == arbor.id and t.wheel)
    turned = {Fraction(m.values[-1]) for m in moving(sheet, wheel, "rotate")}
    assert turned and all(abs(abs(angle) - abs(due)) < Fraction(1, 1000) for angle in turned)
    lasts = {m.exact_ms for m in moving(sheet, wheel, "rotate")}
    assert lasts == {3_600_000 * going.train.going_hours}


@pytest.mark.parametrize("slug", ALL)
def test_key_frames_are_of_one_shape(slug: str) -> None:
    """Every changing path has the same commands and as many numbers in all its key frames, none of them nan."""
    for figure, _ in figures(plate(slug).sheet):
        for move in figure.moves:
            if move.what == "d":
                assert len({re.sub(r"[^A-Za-z]", "", value) for value in move.values}) == 1
                assert len({len(numbers(value)) for value in move.values}) == 1
    text = plate(slug).sheet.svg(style="")
    assert "nan" not in text and "inf" not in text.replace("info", "")


@pytest.mark.parametrize("slug", ALL)
def test_bytes_are_kept_in_check(slug: str) -> None:
    """Key frames of changing paths at most 60 kB, a whole drawing at most 190 kB, unpacked."""
    sheet = plate(slug).sheet
    changing = sum(len(";".join(m.values)) for f, _ in figures(sheet) for m in f.moves if m.what == "d")
    assert changing <= D_BYTES and len(sheet.svg(style="")) <= SVG_BYTES


def standing_balloons(sheet: Sheet) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Disc and leader's end of every balloon that does not ride."""
    found = []
    for figure, holders in figures(sheet):
        if figure.classes == "balloon" and not any(holder.moves for holder in holders):
            x0, y0, dx, dy = numbers(figure.shapes[0].d)
            found.append(((x0, y0), (x0 + dx, y0 + dy)))
    return found


@pytest.mark.parametrize("slug", ALL)
def test_labels_are_clear_of_one_another(slug: str) -> None:
    """No leader crosses another, discs stand a readable disc apart and inside the sheet; each has a row and each row a part."""
    made = plate(slug)
    left, top, width, height = made.sheet.box
    balloons = standing_balloons(made.sheet)
    for (a, b), (c, d) in combinations(balloons, 2):
        assert not crossing(a, b, c, d)
        assert math.dist(a, c) >= 60
    assert all(left + 33 <= x <= left + width - 33 and top + 20 <= y <= top + height - 20 for (x, y), _ in balloons)
    parts = {f.part for f, _ in figures(made.sheet) if f.part}
    numbered = [f.part for f, _ in figures(made.sheet) if f.classes == "balloon"]
    assert sorted(numbered) == sorted(row.part for row in made.rows) and {row.part for row in made.rows} <= parts
    assert [row.number for row in made.rows] == list(range(1, len(made.rows) + 1))
    # a leader across two others, so that the check can fail
    assert crossing((0, 0), (10, 10), (0, 10), (10, 0)) and not crossing((0, 0), (10, 0), (0, 5), (10, 6))


@pytest.mark.parametrize("slug", ALL)
def test_states_of_winding_are_in_table_and_drawing(slug: str) -> None:
    """The three named states have rows with their turns left, a place on the scale, and a mark of their own when chosen."""
    going, made = demo(slug), plate(slug)
    names = [w.name for w in going.windings]
    rows = [row for row in made.rows if row.part.startswith("state-")]
    assert [row.part for row in rows] == [f"state-{name.replace(' ', '-')}" for name in names]
    for row, state in zip(rows, going.windings, strict=True):
        assert float(row.cells["does"].split()[0]) == pytest.approx(state.turns_left, rel=0.005)
        assert row.cells["sizes"]
    assert {f.state for f, _ in figures(made.sheet) if f.state} == set(names)


def test_nothing_is_guessed() -> None:
    """Counts alone give no drawing: no hours, no strip, no drum."""

    def drawn(slug: str, *left_out: str) -> Plate | None:
        return winding.draw(changed(slug, lambda data: [data["source"].pop(key, None) for key in left_out]), wording())

    assert drawn("hall_clock", "turns") is None
    assert drawn("hall_clock", "drum_diameter_mm") is None
    assert drawn("pocket_watch", "spring") is None
    assert drawn("shelf_timepiece", "room_diameter_mm") is None
    assert drawn("schoolroom_dial", "line") is None
    assert run(changed("hall_clock", lambda data: data["source"].pop("turns"))) is None


def without(going: Going, part: str) -> Plate:
    drawn = winding.draw(going, wording())
    assert drawn is not None and part not in {row.part for row in drawn.rows}
    return drawn


@pytest.mark.parametrize("slug", ALL)
def test_without_a_ratchet_none_is_drawn(slug: str) -> None:
    """A source whose ratchet was not described is drawn without ratchet and click."""
    made = without(changed(slug, lambda data: data["source"].pop("ratchet")), "ratchet-wheel")
    assert "click" not in {f.part for f, _ in figures(made.sheet)}
