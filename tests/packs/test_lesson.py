"""The lesson, its chapters and single pages as files: whole, small enough for any mailbox, nothing written twice."""

from __future__ import annotations

import base64
import re
import zlib

import pytest

from builder.packs.error import PackError
from builder.pages.chapters import CHAPTERS
from builder.pages.packed import once
from tests.conftest import BuiltSite
from tests.packs.platform_packs import made, movement

MOST = 400_000
"""Bytes. Common practice, no source: what a mailbox takes without a word."""
SECTIONS = ["overview", "power", "train", "escapement", "oscillator", "motion-work", "side-view"]


def unpacked(text: str) -> list[str]:
    """The drawings of a pack, by the rules that stand beside `once`, without its code."""
    packed = re.search(r'class="pack">([^<]*)<', text)
    if packed is None:
        return []
    known: list[str] = []
    out = ""
    for run in re.split(r"(\x01[^\x02]*\x02|\x03\d+\x02)", zlib.decompress(base64.b64decode(packed[1])).decode("utf-8")):
        if run[:1] == "\x01":
            known.append(run[1:-1])
            out += known[-1]
        elif run[:1] == "\x03":
            out += known[int(run[1:-1])]
        else:
            out += run
    return out.split("\0")


def test_every_demo_lesson_is_whole_and_small(built_site: BuiltSite) -> None:
    """All its sections are there, with every drawing that their pages show, once; the heaviest has room to grow."""
    found = {path: data for path, data in built_site.files.items() if path.endswith("/lesson.html")}
    assert len(found) == 5
    for path, data in found.items():
        text = data.decode("utf-8")
        assert len(data) <= MOST, path
        assert re.findall(r'<section class="station" id="([^"]*)"', text) == SECTIONS, path
        home = path.split("/")[0]
        pages = [f"{home}/{'index' if name == 'overview' else name}.html" for name in SECTIONS]
        shown = {name for page in pages for name in re.findall(r'data-drawing="([\w-]+)"', built_site.files[page].decode())}
        inside = [*re.findall(r'data-drawing="([\w-]+)"', text)]
        assert sorted(inside) == sorted(shown), path
        drawings = unpacked(text)
        assert len(drawings) == len(re.findall("data-packed>", text))
        assert all(drawing.count("<svg") >= 1 and "</svg>" in drawing for drawing in drawings), path


def test_what_comes_again_is_written_once() -> None:
    """A long string in quotes is there once, however often and however far apart it comes; short ones are left alone."""
    wheel, other = "M0 0l" + "1 2 " * 40, "M9 9l" + "3 4 " * 40
    filling = "x" * 40_000
    text = f'<a d="{wheel}"/>{filling}<b d="{wheel}"/><c d="{other}"/><d d="short"/><e d="short"/>{filling}<f d="{wheel}"/>'
    short = once(text)
    assert short.count(wheel) == 1 and short.count(other) == 1 and short.count('"short"') == 2
    assert len(zlib.compress(short.encode())) < len(zlib.compress(text.encode()))
    packed = base64.b64encode(zlib.compress(short.encode())).decode()
    assert unpacked(f'<script class="pack">{packed}</script>') == [text]


@pytest.mark.parametrize("name", ["source", "oscillator"])
def test_a_chapter_is_a_file(name: str) -> None:
    """One heading, one section, its drawing, no way out but to the licence."""
    chapter = next(each for each in CHAPTERS if each.key == name)
    pack = made("lesson", "--chapter", name)
    text = pack.data.decode("utf-8")
    assert pack.name == f"hall_clock-{chapter.page}" and len(pack.data) <= MOST
    assert len(re.findall("<h1", text)) == 1
    assert f'data-drawing="{chapter.plates[0]}"' in text
    assert set(re.findall(r'href="(?!#)([^"]*)"', text)) == {"https://creativecommons.org/licenses/by-sa/4.0/", "data:,"}


def test_all_chapters_of_the_heaviest_movement_are_small(built_site: BuiltSite) -> None:
    """The drawings of a chapter alone, unpacked and unthinned, leave room: its page is far below the limit."""
    pages = [f"pocket_watch/{chapter.page}" for chapter in CHAPTERS]
    assert max(len(built_site.files[page]) for page in pages) < MOST - 90_000, "styles and scripts come on top"


def test_another_page_is_a_file_too() -> None:
    """As the self-test: with its questions and its script."""
    pack = made("lesson", "--page", "self-test")
    assert pack.name == "hall_clock-self-test.html" and len(pack.data) <= MOST and b"data-form" in pack.data


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (("--chapter", "dial"), "hall_clock has no chapter dial. There are: movement, source, train, losses, escapement"),
        (("--page", "winding"), "hall_clock has no page winding. There are: overview, "),
    ],
)
def test_what_is_not_there_is_said(given: tuple[str, ...], said: str) -> None:
    """With the names of what is."""
    with pytest.raises(PackError, match=said):
        made("lesson", *given)


def test_the_whole_lesson_is_the_sites() -> None:
    """What the command makes is what lies on the site."""
    assert made("lesson").data == movement().site["hall_clock/lesson.html"]
