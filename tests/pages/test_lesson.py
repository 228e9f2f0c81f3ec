"""A movement's pages as one file: whole, small enough to mail, its links leading to what is in it."""

from __future__ import annotations

import base64
import re
import zlib

import pytest

from builder.ground.wording import Wording
from builder.pages import lesson as lessons
from builder.pages.lesson import lesson
from builder.pages.packed import Figures, Said
from builder.pages.render import environment
from builder.pages.section import Page, Within, names_of, section
from tests.conftest import PROJECT, BuiltSite

MAILABLE = 400 * 1024
CORE = ("overview", "power", "train", "escapement", "oscillator", "motion-work")


def lessons_of(site: BuiltSite) -> dict[str, str]:
    return {path: data.decode("utf-8") for path, data in site.files.items() if path.endswith("/lesson.html")}


def test_every_movement_has_a_lesson_that_can_be_mailed(built_site: BuiltSite) -> None:
    """Every movement has one, at most 400 KiB, with a section for each page from the source to the hands that it has."""
    made = lessons_of(built_site)
    assert made.keys() == {f"{path.split('/')[0]}/lesson.html" for path in built_site.files if path.endswith("/train.html")}
    for path, text in made.items():
        assert len(text.encode("utf-8")) <= MAILABLE, path
        home = path.removesuffix("lesson.html")
        there = [name for name in CORE if f"{home}{'index' if name == 'overview' else name}.html" in built_site.files]
        assert re.findall(r'<section class="station" id="([\w-]+)">', text)[: len(there)] == there
        assert not re.findall(r'(?:src|href)="(?!#|data:|https://creativecommons)[^"]*"', text), "nothing outside is needed"


def test_what_is_packed_is_what_the_pages_show(built_site: BuiltSite) -> None:
    """Unpacked (RFC 1950, by zlib), the drawings are those of the pages: same ids, same controls; none is there twice."""
    text = lessons_of(built_site)["pocket_watch/lesson.html"]
    pack = re.search(r'class="pack">([^<]*)<', text)
    assert pack, "this movement's drawings do not fit otherwise"
    drawings = zlib.decompress(base64.b64decode(pack[1])).decode("utf-8").split("\0")
    rooms = re.findall(r'<figure id="plate-([\w-]+)"[^>]* data-packed>', text)
    assert len(drawings) == len(rooms) == len(set(rooms))
    for slug, drawing in zip(rooms, drawings, strict=True):
        assert f'id="{slug}-title"' in drawing or f'id="{slug}-dial-title"' in drawing, slug


PAGE = """<main id="main" tabindex="-1"><h1>{name}</h1><p id="lede">x &amp; <a href="b.html#lede">there</a>,
<a href="c.html">out</a>, <a href="#lede">here</a>, <a href="https://a.example/" rel="external">far</a></p>
<img src="a.svg" alt="A wheel"><label for="k">k</label><input id="k"><svg viewBox="0 0 1 1"/>
<div role="region" aria-label="Parts"></div>
<figure class="plate" data-drawing="d"><svg><title id="d-title">The drawing</title></svg></figure></main>"""


def test_ids_links_headings_and_pictures() -> None:
    """Of two pages with the same ids the second's are renamed, with all that refers to them; a link out loses its target only."""
    pages = [Page("m/a.html", "A", PAGE.format(name="A")), Page("m/b.html", "B", PAGE.format(name="B"))]
    figures = Figures(Said("again", "packed", "wound"))
    texts = [figures.taken(page.main) for page in pages]
    anchors = {page.path: page.anchor for page in pages}
    within = Within(names_of(pages, texts, figures.ids), anchors, {"m/a.svg": b"<svg/>"})
    first, second = (figures.put_back(section(page, text, within), 1) for page, text in zip(pages, texts, strict=True))
    assert '<h2>A</h2><p id="lede">x &amp; <a href="#b--lede">there</a>,' in first
    assert "<a>out</a>" in first and '<a href="#lede">here</a>' in first and 'href="https://a.example/"' in first
    assert 'src="data:image/svg+xml;base64,PHN2Zy8+" alt="A wheel"' in first
    assert 'aria-label="Parts"' in first and 'aria-label="Parts (B)"' in second, "regions are told apart"
    assert '<svg viewBox="0 0 1 1"/>' in first, "what needs no change keeps its capitals"
    assert '<p id="b--lede">' in second and 'for="b--k"' in second and '<input id="b--k">' in second
    assert '<a href="#plate-d">again: The drawing</a>' in second and "<figure" not in second


def test_what_has_no_room_stays_out_from_the_end(monkeypatch: pytest.MonkeyPatch) -> None:
    """Drawings are packed before a page stays out; where even one page has no room that is said."""
    wording = Wording.load(PROJECT / "templates" / "wording" / "en")
    frame = {
        "lang": "en", "site_name": "S", "publisher": "P", "licence": {"name": "L", "href": "https://l.example/"},
        "words": wording["site.frame"], "base_url": None,
    }  # fmt: skip
    filling = "".join(f"<p>{n * n}</p>" for n in range(3000))
    pages = [Page(f"m/{name}.html", name, PAGE.format(name=name).replace("</p>", f"</p>{filling}", 1)) for name in "abc"]

    def made(limit: int) -> str:
        monkeypatch.setattr(lessons, "LIMIT", limit)
        files: dict[str, bytes] = {"m/a.svg": b"<svg/>"}
        static, env = PROJECT / "templates" / "static", environment(PROJECT / "templates", wording)
        return lesson(pages, "T", "D", files, static, env, frame, wording).decode("utf-8")

    whole = made(10**6)
    assert whole.count('class="station"') == 3 and 'class="pack"' not in whole
    less = made(len(whole) - 30_000)
    assert less.count('class="station"') == 2
    with pytest.raises(AssertionError, match="no room"):
        made(2000)
