"""A repair as one file: small enough for the mail whatever the pictures, and a plain word where there is none."""

from __future__ import annotations

import argparse
import base64
import io
import re
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from PIL import Image

from builder.build import stock
from builder.packs import KINDS
from builder.packs.error import PackError
from builder.packs.repair import ACROSS_PX, make
from builder.packs.stock import Made, Stock
from builder.pages.lesson import LIMIT
from tests.conftest import PROJECT

DAY = "2026-03-14"


@cache
def hall() -> Stock:
    """The hall clock with its demo repair."""
    return stock(PROJECT / "models", "hall_clock")


def packed(of: Stock, *arguments: str) -> Made:
    """As the command does."""
    parser = argparse.ArgumentParser()
    KINDS["repair"].arguments(parser)
    return make(of, parser.parse_args([*arguments]), lambda _n, _of: None)


def with_picture(data: bytes) -> Stock:
    """The same with another picture."""
    (one,) = hall().shown.repairs
    job = replace(one.repaired.job, pictures=dict.fromkeys(one.repaired.job.pictures, data))
    changed = replace(one, repaired=replace(one.repaired, job=job))
    return Stock(hall().press, replace(hall().shown, repairs=(changed,)))


def picture(side: int, noise: bool) -> bytes:
    """A PNG: noise cannot be made small."""
    values = np.random.default_rng(1).integers(0, 255 if noise else 3, (side, side, 3), dtype=np.uint8)
    out = io.BytesIO()
    Image.fromarray(values).save(out, "PNG")
    return out.getvalue()


def test_a_large_photograph_is_made_smaller() -> None:
    """What is wider than it is shown is carried no wider than that, as JPEG; the file stays within what a mailbox takes."""
    made = packed(with_picture(picture(1800, noise=False)), DAY)
    assert len(made.data) <= LIMIT and not made.said
    (data,) = re.findall(rb'src="data:image/jpeg;base64,([^"]+)"', made.data)
    assert max(Image.open(io.BytesIO(base64.b64decode(data))).size) == ACROSS_PX


def test_what_does_not_fit_is_left_out_and_said() -> None:
    """In the page, where the picture would be, and by the command; unreadable bytes travel as they are."""
    made = packed(with_picture(picture(1400, noise=True)), DAY)
    assert len(made.data) <= LIMIT and made.said.startswith("1 of 1 pictures")
    assert hall().wording.say("repairs.page.picture_out").encode() in made.data and b"<img" not in made.data
    assert b'src="data:image/png' in packed(with_picture(b"no picture at all"), DAY).data


def test_it_can_go_without_pictures() -> None:
    """On request none is inside, and none is missed."""
    made = packed(hall(), DAY, "--without-pictures")
    assert b"<img" not in made.data and not made.said


def test_there_is_no_such_repair() -> None:
    """The days that there are, or that there is none."""
    with pytest.raises(PackError, match="There are: 2026-03-14"):
        packed(hall(), "2026-03-15")
    with pytest.raises(PackError, match="It has none"):
        packed(Stock(hall().press, replace(hall().shown, repairs=())), DAY)
