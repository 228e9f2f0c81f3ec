"""Whole periods: every wheel is known by its teeth, and after a loop all stands as it did, by another evaluation of the file."""

from __future__ import annotations

import math
import re
import tomllib
from dataclasses import replace
from fractions import Fraction
from functools import cache
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pytest

from builder.drawing.path import closed
from builder.drawing.sheet import Figure, Move, Shape, Sheet
from builder.packs.film import Wish, chosen
from builder.packs.literal import Cascade
from builder.packs.loop import ROUND_BODY, haste, loop_ms, orders, standing
from builder.packs.posed import Look, Posed, dressed, in_state
from builder.packs.raster import png
from tests.conftest import PROJECT
from tests.packs.platform_packs import SLUG, movement

ARMS = 4
NUMBER = re.compile(r"-?(?:\d+\.?\d*|\.\d+)")


@cache
def bare() -> Cascade:
    return Cascade(movement().css)


def raster(alone: Sheet, width_px: int) -> bytes:
    return png(Posed(alone, Look(labels=False), bare()).at(0), width_px, "#fff")


@cache
def counted() -> dict[str, Any]:
    """The movement's file, read by itself."""
    return tomllib.loads((PROJECT / "models" / SLUG / "movement.toml").read_text("utf-8"))


def sheet(drawing: str, arms: bool) -> Sheet:
    return dressed(in_state(movement().plate(drawing).sheet, None), Look(arms=arms))


def test_a_wheel_is_known_by_its_teeth() -> None:
    """As discs, wheels look the same so often within a turn as they have teeth, pinions as they have leaves, hands once. The
    counts are the file's. A drum seen from its end is round, and no turn of it has to be waited for."""
    arbors = counted()["arbors"]
    teeth = [each["wheel"]["teeth"] for each in arbors if "wheel" in each] + [counted()["escapement"]["teeth"]]
    leaves = [each["pinion"]["leaves"] for each in arbors if "pinion" in each]
    drawn = sheet("train-front", arms=False)
    hands = sum((figure.part or "").endswith("-hand") for figure in drawn.each())
    alike = orders(drawn, raster)
    assert sorted(alike.values()) == sorted([*teeth, *leaves, *[1] * hands, ROUND_BODY])
    drum = {id_: order for id_, order in alike.items() if order == ROUND_BODY}
    assert loop_ms(drawn, 60.0, alike) == loop_ms(drawn, 60.0, alike | dict.fromkeys(drum, max(teeth)))


def test_arms_count_too() -> None:
    """With its arms, a wheel looks the same as often as its teeth and its arms have in common."""
    assert orders(sheet("escapement", arms=True), raster) == {"escapement-a1": math.gcd(counted()["escapement"]["teeth"], ARMS)}


def toothed(teeth: int, missing: int = 0) -> Sheet:
    """A wheel of straight-sided teeth, the last `missing` of them broken off, turning once in a minute."""
    corners = []
    for n in range(teeth):
        top = 80 if n >= teeth - missing else 100
        pitch = 2 * math.pi / teeth
        corners += [((80, top, top, 80)[k] * np.exp(1j * pitch * (n + (0.1, 0.25, 0.4, 0.55)[k]))) for k in range(4)]
    points = np.column_stack([np.real(corners), np.imag(corners)])
    turn = Move("rotate", ("0", "360"), (0.0, 1.0), 60_000)
    wheel = Figure("wheel", "A wheel", (120.0, 120.0), moves=(turn,), shapes=(Shape(closed(points), "brass wheel"),))
    return Sheet("made-up", "A wheel", "", (0.0, 0.0, 240.0, 240.0), (wheel,))


@pytest.mark.parametrize(("teeth", "missing", "order"), [(30, 0, 30), (97, 0, 97), (120, 0, 120), (30, 1, 1), (97, 1, 1)])
def test_a_broken_tooth_is_seen(teeth: int, missing: int, order: int) -> None:
    """Whatever the count, prime or high; with one tooth broken off, the wheel looks the same once in a turn."""
    made = toothed(teeth, missing)
    assert orders(made, raster) == {"made-up-a1": order}
    assert loop_ms(made, 1.0, {"made-up-a1": order}) == Fraction(60_000, order)


def at(element: ElementTree.Element, ms: float) -> np.ndarray | str:
    """The value of an animation as SMIL 3.0 (and SVG 1.1, 19.2) has it: numpy's interpolation between key times."""
    values, times = element.attrib["values"].split(";"), [float(each) for each in element.attrib["keyTimes"].split(";")]
    lasts = float(Fraction(element.attrib.get("data-ms", element.attrib["dur"].removesuffix("ms"))))
    whole, part = divmod(ms / lasts, 1.0)
    if element.get("calcMode") == "discrete":
        return values[int(np.searchsorted(times, part, side="right")) - 1]
    frames = np.array([[float(each) for each in NUMBER.findall(value)] for value in values])
    value = np.array([np.interp(part, times, column) for column in frames.T])
    return value + whole * frames[-1] if element.get("accumulate") == "sum" else value


def apart(drawn: Sheet, ms: float, alike: dict[str, int], still: frozenset[str]) -> float:
    """By how much (degrees, px; 1 for another word) the drawing's animations differ from the start after so long; turns that
    make a part look the same count as none."""
    worst = 0.0
    for element in ElementTree.fromstring(drawn.svg()).iter():
        if not element.tag.rpartition("}")[2].startswith("animate") or element.attrib["id"] in still:
            continue
        start, end = (at(element, 36_480_000 + more) for more in (0.0, ms))
        if isinstance(start, str) or isinstance(end, str):
            worst = max(worst, float(start is not end and str(start) != str(end)))
        elif element.get("type") == "rotate":
            step = 360 / alike.get(element.attrib["id"], 1)
            worst = max(worst, abs((float(end[0] - start[0]) + step / 2) % step - step / 2))
        else:
            worst = max(worst, float(np.abs(end - start).max()))
    return worst


@pytest.mark.parametrize("drawing", ["escapement", "oscillator", "ratchet", "motion-work", "winding"])
def test_after_a_loop_all_stands_as_at_the_start(drawing: str) -> None:
    """Every turning, sliding, bending and blinking thing that is shown moving is back; part of a loop earlier it is not."""
    drawn = sheet(drawing, arms=False)
    found = chosen({False: drawn}, Wish(), 600, movement().css)
    alike = orders(drawn, raster)
    ms = float(found.shown_ms)
    assert apart(drawn, ms, alike, found.standing) < 2e-3, "hundredths of a pixel at the rim"
    assert max(apart(drawn, share * ms, alike, found.standing) for share in (0.3, 0.6, 0.9)) > 0.1, "negative control"
    assert found.frames * found.frame_ms <= 12_000


def test_what_is_too_quick_for_the_eye_stands() -> None:
    """Two turns a second are shown, three are not; at a lower speed they are."""
    turning = Move("rotate", ("0", "360"), (0.0, 1.0), 333)
    made = replace(toothed(30), figures=(replace(toothed(30).figures[0], moves=(turning,)),))
    assert haste(turning) == pytest.approx(1.5, rel=2e-3)
    assert standing(made, 1.0) == {"made-up-a1"} and standing(made, 0.5) == frozenset()
    assert loop_ms(made, 1.0, {}) == 0
