"""Films: read again by Pillow; their first picture is the still one, and the one after the last would be the first."""

from __future__ import annotations

import io
from fractions import Fraction

import numpy as np
import pytest
from PIL import Image, ImageColor

from builder.packs.error import PackError
from builder.packs.film import Wish, chosen
from builder.packs.literal import Cascade
from builder.packs.posed import Look, Posed, dressed, in_state
from builder.packs.raster import png
from tests.packs.platform_packs import made, movement

SMALL = ("escapement", "--width", "160", "--rate", "5", "--no-arms")


def pixels(data: bytes, frame: int = 0) -> np.ndarray:
    """(height, width, 3), of a picture or of one in a film."""
    image = Image.open(io.BytesIO(data))
    for n in range(frame + 1):
        image.seek(n)
    return np.asarray(image.convert("RGBA").convert("RGB"), dtype=int)


@pytest.mark.parametrize(("form", "ending"), [("gif", "gif"), ("webp", "webp"), ("apng", "png")])
def test_a_film_runs_for_ever_at_the_rate_that_was_asked(form: str, ending: str) -> None:
    """So many pictures as are said, each as long as asked, without end, as wide as asked; paper to the bit; whose it is."""
    film = made("film", *SMALL, "--as", form)
    read = Image.open(io.BytesIO(film.data))
    assert film.name == f"hall_clock-escapement.{ending}" and f"{read.n_frames} pictures, 10 s, 0.2 seconds" in film.said
    assert read.n_frames == 50 and read.width == 160 and read.info["loop"] == 0
    lasts = []
    for n in range(read.n_frames):
        read.seek(n)
        read.load()
        lasts.append(read.info["duration"])
    assert set(lasts) == {200}
    paper = ImageColor.getrgb(Cascade(movement().css).token("--paper"))
    assert tuple(pixels(film.data)[1, 1]) == paper
    assert b"Tidewater Road evening class" in film.data and b"creativecommons.org" in film.data


def test_its_first_picture_is_the_still_one() -> None:
    """But for its fewer colours: no place is more than a shade away, save along edges."""
    film, still = (pixels(made(*given).data) for given in (("film", *SMALL), STILL))
    assert film.shape == still.shape
    off = np.abs(film - still).max(axis=2)
    assert np.mean(off > 24) < 0.01 and np.median(off) == 0
    later = np.abs(pixels(made("film", *SMALL).data, 12) - still).max(axis=2)
    assert np.mean(later > 24) > 0.02, "negative control: a quarter of the loop later it is another"


STILL = ("drawing", "escapement", "--as", "png", "--width", "160", "--no-arms")


def test_after_the_last_picture_comes_the_first() -> None:
    """Drawn at the end of the loop, with all that moves moved on, the pixels are those of its beginning."""
    sheet = dressed(in_state(movement().plate("escapement").sheet, None), Look(arms=False))
    plan = chosen({False: sheet}, Wish(), 600, movement().css)
    seen = Posed(sheet, Look(), Cascade(movement().css))

    def seen_at(share: Fraction) -> np.ndarray:
        return pixels(png(seen.at(36_480 + float(plan.shown_ms * share) / 1000), 300, "#fff"))

    first = seen_at(Fraction(0))
    assert np.abs(seen_at(Fraction(1)) - first).max() < 24, "rounded to a thousandth of a pixel, an edge may change its shade"
    assert np.abs(seen_at(Fraction(1, 2)) - first).max() > 100, "negative control"


def test_progress_is_told() -> None:
    """Picture by picture, to the last."""
    import argparse

    from builder.packs import KINDS

    parser = argparse.ArgumentParser()
    KINDS["film"].arguments(parser)
    heard: list[tuple[int, int]] = []
    given = ("oscillator", "--width", "64", "--rate", "5")
    KINDS["film"].make(movement(), parser.parse_args(given), lambda done, of: heard.append((done, of)))
    assert heard == [(n, len(heard)) for n in range(1, len(heard) + 1)] and len(heard) == 10


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (
            ("train-line", "--speed", "60"),
            r"12 min only: 14400 pictures, and \d+ are the most of this size\. From --speed \d000 on",
        ),
        (("side-view",), "Nothing in this drawing moves; take a still picture"),
        (("escapement", "--width", "4096", "--speed", "0.0001"), "Take a lower --rate|From --speed"),
        (("escapement", "--speed", "1000000"), "Nothing in this drawing is seen to move at this speed"),
    ],
)
def test_what_makes_no_film_is_said(given: tuple[str, ...], said: str) -> None:
    """With what to choose instead."""
    with pytest.raises(PackError, match=said):
        made("film", *given)


def test_arms_are_kept_where_they_are_asked_for() -> None:
    """Then the loop is longer: the wheel's thirty teeth and four arms look the same twice in its minute."""
    sheet = in_state(movement().plate("escapement").sheet, None)
    both = {arms: dressed(sheet, Look(arms=arms)) for arms in (True, False)}
    assert chosen(both, Wish(), 600, movement().css).shown_ms == 2_000
    assert chosen({True: both[True]}, Wish(), 600, movement().css).shown_ms == 30_000
