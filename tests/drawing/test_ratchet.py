"""Ratchet and click as drawn, against shapely: never in one another over half a turn of the key, and as the law has it."""

import math
from functools import cache

import numpy as np
import pytest
from shapely import Polygon, affinity

from builder.drawing.diagrams import ratchet
from builder.drawing.diagrams.ratchet import LET_GO_MS, WHOLE_MS, WIND_MS
from builder.drawing.path import View
from builder.drawing.sheet import Move
from builder.drawing.source.hold import FORM, Hold, hold
from builder.parts.teeth.riding import drop_rad, lift_rad
from tests.drawing.drawn import at_share, figures, numbers
from tests.solved import changed, demo, wording

ALL = ("hall_clock", "shop_regulator", "pocket_watch", "shelf_timepiece", "schoolroom_dial")
VIEW = View(10.0)
DROPPING = 2 / WHOLE_MS
"""While the click drops it is nowhere for a millisecond or so."""


@cache
def held(slug: str) -> Hold:
    going = demo(slug)
    made = hold(going, -1 if going.train[going.train.path[0]].clockwise else 1)
    assert made is not None
    return made


def shapes(slug: str) -> tuple[Polygon, Polygon]:
    """Wheel and click, seated, px."""
    return Polygon(VIEW.px(held(slug).wheel_outline())), Polygon(VIEW.px(held(slug).click_outline()))


def into(slug: str, share: float, wheel: Move, click: Move, ahead_deg: float = 0.0) -> tuple[float, float]:
    """Overlap (px²) and gap (px) of wheel and click as drawn at a share of the time."""
    rim, nose = shapes(slug)
    pivot = tuple(VIEW.px(np.array(held(slug).screw_mm)))
    turned = affinity.rotate(rim, at_share(wheel, share)[0] + ahead_deg, origin=(0, 0))
    lifted = affinity.rotate(nose, at_share(click, share)[0], origin=pivot)
    return turned.intersection(lifted).area, turned.distance(lifted)


@pytest.mark.parametrize("slug", ALL)
def test_click_never_stands_in_the_wheel(slug: str) -> None:
    """At a thousand instants no overlap to be seen, 0.1 px along the nose, and in touch but for the drops; a third of a tooth
    out of step it would show."""
    wheel, click, _ = ratchet.moves(held(slug), VIEW)
    nose_px = held(slug).tip_mm * 10 * 0.1
    drops = [t for t, (a, b) in zip(click.key_times, zip(click.values, click.values[1:], strict=False), strict=False)
             if abs(float(b)) < 0.7 * abs(float(a)) and t < WIND_MS / WHOLE_MS]  # fmt: skip
    assert len(drops) == max(1, held(slug).teeth // 2)
    worst = 0.0
    for share in np.linspace(0.0, 1.0, 1000, endpoint=False):
        overlap, gap = into(slug, float(share), wheel, click)
        assert overlap < 0.1 * nose_px
        if min(abs(share - t) for t in drops) > DROPPING:
            worst = max(worst, gap)
    assert worst < 0.5
    pitch = 360 / held(slug).teeth
    wrong = [into(slug, float(s), wheel, click, pitch / 3 * held(slug).wound)[0] for s in np.linspace(0.0, 0.6, 50)]
    assert max(wrong) > nose_px


@pytest.mark.parametrize("slug", ALL)
def test_wheel_is_wound_on_and_falls_back_on_to_the_click(slug: str) -> None:
    """Half the teeth in one turn of the hand and a whole number of them gained; it is wound against the way that it is held."""
    made = held(slug)
    wheel, click, _ = ratchet.moves(made, VIEW)
    gained = float(wheel.values[-1]) / 360 * made.teeth
    assert abs(gained) == pytest.approx(made.teeth // 2, abs=1e-6) and wheel.sums
    assert gained * made.wound < 0  # px turn clockwise where mm turn counter-clockwise
    furthest = at_share(wheel, WIND_MS / WHOLE_MS)[0]
    back = abs(furthest - float(wheel.values[-1]))
    assert back >= math.degrees(drop_rad(FORM, made.teeth, made.tip_mm, made.length_mm))
    assert float(click.values[-1]) == 0
    source = demo(slug).movement.source
    # the source pulls an arbor on towards its train, and a barrel's arbor back: ratchets hold against that (facts of the trade)
    pulled = (1 if source.kind != "going_barrel" else -1) * (-1 if demo(slug).train[source.arbor].clockwise else 1)
    assert made.wound == -pulled


@pytest.mark.parametrize("slug", ["hall_clock", "pocket_watch"])
def test_lift_is_the_law(slug: str) -> None:
    """While the second tooth goes by, the drawn click stands where the law puts it, within a quarter of a px at the nose."""
    made = held(slug)
    _, click, _ = ratchet.moves(made, VIEW)
    pitch, drop = 2 * math.pi / made.teeth, drop_rad(FORM, made.teeth, made.tip_mm, made.length_mm)
    whole = made.teeth // 2 * pitch + drop + ratchet.BEYOND * pitch
    past = np.linspace(drop * 1.1, (pitch + drop) * 0.999, 60)
    due = lift_rad(FORM, made.teeth, made.tip_mm, made.length_mm, past)
    for angle, lift in zip(past, due, strict=True):
        share = (pitch + angle) / whole * WIND_MS / WHOLE_MS
        drawn = math.radians(abs(at_share(click, share)[0]))
        assert abs(drawn - lift) * made.length_mm * 10 < 0.25


@pytest.mark.parametrize("slug", ALL)
def test_plate_says_what_it_shows(slug: str) -> None:
    """Every numbered part has a row; the click spring keeps its shape's numbers; what happens is named, one thing at a time."""
    made = ratchet.draw(demo(slug), wording())
    assert made is not None
    assert [row.number for row in made.rows] == list(range(1, len(made.rows) + 1))
    assert {"ratchet-wheel", "click", "click-spring", "winding-square"} < {row.part for row in made.rows}
    bending = next(m for f, _ in figures(made.sheet) for m in f.moves if m.what == "d")
    assert len({len(numbers(value)) for value in bending.values}) == 1
    shown = [m for f, _ in figures(made.sheet) for m in f.moves if m.what == "visibility"]
    for ms in (1, WIND_MS + 1, WIND_MS + LET_GO_MS + 1):
        assert [m.at(ms / 1000) for m in shown].count("visible") == 1
    text = made.sheet.svg(style="")
    assert "nan" not in text and len(text) < 60_000


def test_without_a_ratchet_there_is_no_plate() -> None:
    """A source whose ratchet was not described has no such drawing."""
    assert ratchet.draw(changed("hall_clock", lambda data: data["source"].pop("ratchet")), wording()) is None
