"""One drawing as a file: every form is what it says, looks as asked, and names whose it is."""

from __future__ import annotations

import html
import io
import re
from xml.etree import ElementTree

import numpy as np
import pytest
from PIL import Image

from builder.drawing.sheet import Figure
from builder.packs.error import PackError
from builder.packs.literal import Cascade
from builder.packs.posed import Look, Posed, between, dressed, in_state
from tests.drawing.drawn import at_share, numbers
from tests.packs.platform_packs import made, movement

SVG = "{http://www.w3.org/2000/svg}"
FLEETING = re.compile(r"var\(|calc\(|max\(|min\(|clamp\(|color-mix|oklch|currentcolor", re.IGNORECASE)
"""What only a browser works out."""


def svg(*given: str) -> ElementTree.Element:
    return ElementTree.fromstring(made("drawing", *given).data)


def test_a_page_keeps_its_options() -> None:
    """What was chosen stands in the file as it would in an address, so that it opens so from a stick."""
    given = ("--mark", "third-wheel", "--speed", "0.1", "--bare", "--still", "--folded", "--time", "4:30")
    pack = made("drawing", "train-front", *given)
    assert pack.name == "hall_clock-train-front.html"
    told = html.unescape(re.findall(r'data-options="([^"]*)"', pack.data.decode("utf-8"))[0])
    assert told == "mark=third-wheel&speed=0.1&labels=off&time=4:30&start=still&table=off"


def test_a_moving_file_moves_in_the_state_that_was_asked() -> None:
    """One state of winding alone, marked, without labels; it has licence and publisher, and asks nothing of anyone."""
    root = svg("escapement", "--as", "moving", "--winding", "nearly-down", "--mark", "escape-wheel", "--bare", "--lines")
    assert {"marking", "constructed"} <= set(root.attrib["class"].split())
    marked = [each for each in root.iter() if "marked" in each.get("class", "").split()]
    assert marked and all(each.attrib["data-part"] == "escape-wheel" for each in marked)
    assert not [each for each in root.iter() if {"balloon", "label"} & set(each.get("class", "").split())]
    swing = [each for each in root.iter() if each.tag.startswith(f"{SVG}animate")]
    timing = movement().plate("escapement").sheet.states["nearly down"]
    assert swing and {each.attrib["values"] for each in swing} >= {each["values"] for each in timing.values()}
    assert root.findtext(".//{http://purl.org/dc/elements/1.1/}publisher") == "Tidewater Road evening class"


def test_a_still_stands_at_the_time_that_was_asked() -> None:
    """At three o'clock the minute hand points up and the hour hand to the right; nothing in the file moves."""
    root = svg("train-front", "--as", "still", "--time", "3:00")
    assert not [each for each in root.iter() if "animate" in each.tag]
    turned = {
        each.attrib["data-part"]: float(re.findall(r"rotate\(([-\d.]+)\)", each.get("transform", "rotate(0)"))[0])
        for each in root.iter()
        if each.get("data-part", "") in ("hour-hand", "minute-hand") and "rotate" in each.get("transform", "rotate(0)")
    }
    assert turned["hour-hand"] % 360 == pytest.approx(90, abs=0.01)
    assert turned.get("minute-hand", 0.0) % 360 == pytest.approx(0, abs=0.01)


def test_a_picture_is_as_wide_as_asked_and_says_whose_it_is() -> None:
    """Read by Pillow: size, title and rights; dark paper where dark was asked for."""
    light, dark = (
        Image.open(io.BytesIO(made("drawing", "ratchet", "--as", "png", "--width", "320", *more).data))
        for more in ((), ("--dark",))
    )
    assert light.size == dark.size == (320, round(320 * 664 / 800))
    assert "ratchet" in light.text["Title"] and "CC BY-SA 4.0" in light.text["Copyright"]
    brightness = [np.asarray(each.convert("L"))[2, 2] for each in (light, dark)]
    assert brightness[0] > 240 and brightness[1] < 40


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (("dial",), "has no drawing dial. There are: train-front, "),
        (("train-front", "--mark", "fourth-wheel"), "no such part in this drawing. There are: .*centre-wheel"),
        (("escapement", "--winding", "half"), "no such state in this drawing. There are: wound, half-wound, nearly-down"),
        (("train-line", "--winding", "wound", "--as", "png"), "There are: none, for it looks alike in all"),
        (("train-front", "--time", "noon"), "--time noon: write it as 10:08 or 10:08:30"),
        (("train-front", "--time", "10:75"), "write it as"),
        (("train-front", "--time", "inf:00"), "write it as"),
        (("train-front", "--time", "-1:00"), "expected one argument|write it as"),
        (("train-front", "--width", "300"), "--width is nothing for --as page; it is for: png"),
        (("train-front", "--as", "png", "--speed", "2"), "--speed is nothing for --as png; it is for: page"),
        (("train-front", "--as", "moving", "--time", "4:00"), "--time is nothing for --as moving"),
        (("train-front", "--no-arms"), "--no-arms is nothing for --as page"),
    ],
)
def test_what_cannot_be_is_said(given: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    """With what there is instead; an option that would do nothing is not passed over."""
    try:
        made("drawing", *given)
    except PackError as error:
        assert re.search(said, str(error)), error
    except SystemExit:
        assert re.search(said, capsys.readouterr().err)
    else:
        raise AssertionError("it was made")


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (("--width", "0"), "'0': a width is from 16 to 4096 pixels"),
        (("--width", "99999999"), "a width is from 16 to 4096 pixels"),
        (("--width", "wide"), "a width is from 16 to 4096 pixels"),
        (("--speed", "nan"), "'nan': a speed is a number from 0.0001 to 1e\\+06"),
        (("--speed", "-2"), "a speed is a number|expected one argument"),
        (("--as", "bmp"), "invalid choice: 'bmp'"),
    ],
)
def test_what_is_no_number_of_pixels_or_speed_is_said(
    given: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """By the command itself, with its bounds."""
    with pytest.raises(SystemExit):
        made("drawing", "train-front", *given)
    assert re.search(said, capsys.readouterr().err)


@pytest.mark.parametrize(
    "slug", ["train-front", "escapement", "winding", "side-view", "power-flow", "going-curves", "setting", "stack"]
)
@pytest.mark.parametrize("dark", [False, True])
def test_everything_is_written_out(slug: str, dark: bool) -> None:
    """No custom property, no arithmetic, no class of a style sheet is left for a program that does not know them; lengths are
    numbers, colours are six digits or none."""
    sheet = in_state(movement().plate(slug).sheet, None)
    root = ElementTree.fromstring(Posed(sheet, Look(dark=dark), cascade(dark)).at(36_480))
    for each in root.iter():
        for name, value in each.attrib.items():
            assert not FLEETING.search(value), (name, value)
            if name in ("stroke-width", "opacity", "fill-opacity"):
                float(value)
            if name in ("fill", "stroke"):
                assert re.fullmatch(r"#[0-9a-f]{6}|none|transparent", value), value
    paths = list(root.iter(f"{SVG}path"))
    assert len(paths) > 3 and all("stroke-width" in each.attrib for each in paths)


def cascade(dark: bool) -> Cascade:
    return Cascade(movement().css, dark)


def test_dressing_twice_is_dressing_once() -> None:
    """And what is not asked for is left alone."""
    sheet = in_state(movement().plate("train-front").sheet, None)
    assert dressed(sheet, Look()) == sheet
    look = Look(mark="third-wheel", labels=False, lines=True, arms=False)
    once = dressed(sheet, look)
    assert dressed(once, look) == once != sheet


def test_between_key_frames_is_a_straight_line() -> None:
    """Outlines and places at odd moments, by another interpolation; stepping words as the browser has them."""
    sheet = in_state(movement().plate("oscillator").sheet, None)
    moves = [move for figure in sheet.each() for move in figure.moves if move.what in ("d", "translate") and not move.steps]
    assert moves
    for move in moves:
        for share in (0.0, 0.123, 0.5, 0.987):
            lasts_s = float(move.exact_ms or move.dur_ms) / 1000
            assert numbers(between(move, 5 * lasts_s + share * lasts_s)) == pytest.approx(at_share(move, share), abs=2e-3)


def test_a_figure_of_another_state_is_not_there() -> None:
    """In one state, what belongs to the others is left out; a name that is none of them is refused."""
    sheet = movement().plate("power-flow").sheet
    assert len(sheet.states) == 3
    alone = in_state(sheet, "half wound")
    states = {figure.state for figure in sheet.each()}
    assert "half wound" in states and len(list(alone.each())) < len(list(sheet.each()))
    assert not [figure for figure in alone.each() if isinstance(figure, Figure) and figure.state]
    with pytest.raises(KeyError):
        in_state(movement().plate("escapement").sheet, "broken")
