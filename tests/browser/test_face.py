"""The face of the pages: colours, sizes, the frame, print, what is seen at first sight."""

from __future__ import annotations

import base64
import hashlib
import os
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe  # type: ignore[import-untyped]
from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser import sample_drawing as sample
from tests.browser.find_browser import MISSING, find_browser, flags

STATIC = sample.TEMPLATES / "static"
DRAWING, SITE = ((STATIC / name).read_text("utf-8") for name in ("drawing.css", "site.css"))
MATERIALS = ("brass", "steel", "blued", "ruby", "iron", "silvered", "wood", "plate")


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    found = find_browser()
    if found is None:
        assert "CI" not in os.environ, MISSING
        pytest.skip(MISSING)
    with sync_playwright() as playwright:
        yield playwright.chromium.launch(executable_path=str(found), args=flags())


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> str:
    return sample.write_page(tmp_path_factory.mktemp("face")).as_uri()


def shown(browser: Browser, address: str, width: int = 1440, height: int = 900, **options: object) -> Page:
    page = browser.new_page(viewport={"width": width, "height": height}, **options)  # type: ignore[arg-type]
    page.goto(address)
    return page


def tokens(scheme: str) -> dict[str, str]:
    """The tokens of 'light', 'dark', 'print' or 'forced'."""
    head = {
        "light": "^:root",
        "dark": "dark\\) \\{\\s*:root",
        "print": "@media print \\{\\s*:root",
        "forced": "active\\) \\{\\s*:root",
    }
    block = re.search(head[scheme] + r" \{(.*?)\}", DRAWING, re.DOTALL | re.MULTILINE)
    assert block
    return dict(re.findall(r"--([a-z-]+): ([^;]+);", block[1]))


def contrast(one: str, other: str) -> float:
    """WCAG 2.2, contrast ratio by relative luminance (definitions of sRGB as given there)."""

    def luminance(colour: str) -> float:
        parts = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
        r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
        return 0.2126 * r + 0.7152 * g + 0.0722 * b

    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_is_measured_as_wcag_does() -> None:
    """Black on white is 21 (WCAG); mid grey #767676 on white is the known border case of 4.54."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("scheme", ["light", "dark", "print"])
def test_text_and_strokes_have_contrast(scheme: str) -> None:
    """WCAG 2.2: text 4.5 (1.4.3), what carries meaning in a drawing 3 (1.4.11), each edge also against its own fill."""
    t = tokens(scheme)
    for text in ("ink", "quiet", "accent"):
        assert contrast(t[text], t["paper"]) >= 4.5, text
    assert contrast(t["ink"], t["plate-fill"]) >= 4.5
    for ground in ("paper", "plate-fill"):
        for stroke in ("accent", "quiet", *(f"{name}-edge" for name in MATERIALS if name != "plate")):
            assert contrast(t[stroke], t[ground]) >= 3, (stroke, ground)
    assert contrast(t["plate-edge"], t["paper"]) >= 3
    for name in MATERIALS:
        assert contrast(t[f"{name}-edge"], t[f"{name}-fill"]) >= 3, name
    assert contrast(t["quiet"], t["brass-fill"]) >= 3, "construction lines across a wheel"


def test_every_scheme_has_every_token_and_every_token_is_used() -> None:
    """Two tints a material and nothing else; forced colours use the system's own."""
    light = tokens("light")
    assert set(light) == {"paper", "ink", "quiet", "accent"} | {f"{m}-{tint}" for m in MATERIALS for tint in ("fill", "edge")}
    for scheme in ("dark", "print", "forced"):
        assert tokens(scheme).keys() == light.keys()
    assert set(tokens("forced").values()) <= {"Canvas", "CanvasText", "Highlight", "GrayText"}
    used = set(re.findall(r"var\(--([a-z-]+)", DRAWING + SITE))
    assert set(light) <= used
    assert used <= set(re.findall(r"--([a-z-]+):", DRAWING + SITE))


def test_style_sheets_are_small_and_ask_nobody() -> None:
    """No request from a style sheet; 10 kB for the pages, 16 for what every drawing carries with it."""
    assert len(SITE.encode()) <= 10 * 1024
    assert len(DRAWING.encode()) <= 16 * 1024
    assert not re.search(r"url\(|@import|@font-face|https?:|animation|transition", DRAWING + SITE)


@pytest.mark.parametrize(("width", "height"), [(1440, 900), (390, 844)])
def test_first_sight(browser: Browser, address: str, width: int, height: int) -> None:
    """Without scrolling: the name, the one sentence, the whole drawing, and the key that stops it."""
    page = shown(browser, address, width, height)
    for what in ("h1", ".lede", "[data-drawing=train] svg.drawing", "[data-drawing=train] [data-do=run]"):
        box = page.locator(what).first.bounding_box()
        assert box and box["y"] >= 0 and box["y"] + box["height"] <= height, what
    assert page.evaluate("betweenPlates.running('train')")
    page.close()


def test_lines_are_easy_to_read(browser: Browser, address: str) -> None:
    """60 to 72 characters a line in the face at hand, measured over a sentence of the page."""
    page = shown(browser, address)
    count = page.evaluate("""() => {
      const p = document.querySelector('main > p'), pen = document.createElement('canvas').getContext('2d');
      const text = 'Each swing of the balance lets one tooth of the escape wheel go by half its pitch. ';
      pen.font = `${getComputedStyle(p).fontSize} ${getComputedStyle(p).fontFamily}`;
      return parseFloat(getComputedStyle(p).maxWidth) / (pen.measureText(text).width / text.length);
    }""")
    assert 60 <= count <= 72
    page.close()


def test_balloons_stay_readable(browser: Browser, address: str) -> None:
    """The numbers of a drawing are at least 11 px high in type at any width (a balloon drawn for 840 px, shown on 320)."""
    for width in (320, 390, 800, 1440):
        page = shown(browser, address, width)
        page.wait_for_timeout(50)
        scale = page.evaluate("""() => { const text = document.querySelector('.balloon .number'), m = text.getScreenCTM();
          return parseFloat(getComputedStyle(text).fontSize) * Math.hypot(m.a, m.b); }""")
        assert 11 <= scale <= 20, width
        page.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing(browser: Browser, address: str, scheme: str) -> None:
    """WCAG 2 A to 2.2 AA and best practice as axe checks them."""
    page = shown(browser, address, color_scheme=scheme)
    tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
    found = Axe().run(page, options={"runOnly": {"type": "tag", "values": tags}})
    assert [(v["id"], [n["html"][:120] for n in v["nodes"]]) for v in found.response["violations"]] == []
    page.close()


def test_print_has_the_plate_and_no_controls(browser: Browser, address: str) -> None:
    """On paper: white ground also from a dark screen, the drawing, the table; no keys."""
    page = shown(browser, address, color_scheme="dark")
    page.emulate_media(media="print")
    assert page.evaluate("getComputedStyle(document.documentElement).backgroundColor") == "rgb(255, 255, 255)"
    assert page.locator("[data-drawing=train] svg.drawing").is_visible()
    assert page.locator("table.parts").is_visible()
    assert not any(one.is_visible() for one in page.locator(".bar, .head nav, .skip").all())
    page.set_viewport_size({"width": 672, "height": 950})  # A4 less its margins, in CSS px
    heading, drawing = (page.locator(what).first.bounding_box() for what in ("h1", "[data-drawing=train] svg.drawing"))
    assert heading and drawing and heading["y"] < drawing["y"]
    letter = page.pdf(format="Letter", prefer_css_page_size=True)  # as a browser's own dialogue prints: paper is the reader's
    assert b"/MediaBox [0 0 612 792]" in letter
    page.close()


def test_the_skip_link_comes_first_and_leads_on(browser: Browser, address: str) -> None:
    """The first tab stop is seen when it is reached, and goes to the content."""
    page = shown(browser, address)
    page.keyboard.press("Tab")
    box = page.locator(".skip").bounding_box()
    assert box and box["x"] >= 0
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"
    page.close()


def test_the_frame_is_relative_and_says_where_it_is_only_if_known() -> None:
    """Links take the way up that they are given; a canonical address only where the site has one; a strict policy."""
    page = sample.render("base.html.jinja", root="../")
    assert re.findall(r'(?:href|src)="(?!\.\./|#main|licence)[^"]*"', page) == []
    assert "canonical" not in page
    assert '<a href="../train.html" aria-current="page">' in page
    policy = re.search(r'Policy" content="([^"]*)"', page)
    assert policy and policy[1].startswith("default-src 'none'; style-src 'self' 'unsafe-hashes' 'sha256-")
    assert "; img-src 'self' data:; script-src 'self'; " in policy[1]
    assert "unsafe" not in policy[1].replace("'unsafe-hashes'", "")
    known = sample.render("base.html.jinja", base_url="https://example.org/plates/")
    assert '<link rel="canonical" href="https://example.org/plates/train.html">' in known


def test_the_missing_page_stands_alone(browser: Browser, tmp_path: Path) -> None:
    """Its policy names the hash of its own style, the style counts, and it asks for nothing."""
    licence = {"name": "CC BY 4.0", "href": "https://example.org/licence"}
    html = sample.render("404.html.jinja", sentence="Nothing stands here.", home=None, home_label="", licence=licence)
    style = re.search(r"<style>(.*?)</style>", html, re.DOTALL)
    assert style
    digest = base64.b64encode(hashlib.sha256(style[1].encode()).digest()).decode()
    assert f"'sha256-{digest}'" in html
    assert not re.search(r"<link|src=|url\(", html)
    assert set(re.findall(r'href="([^"]*)"', html)) == {licence["href"]}, "what it leads to has a whole address"
    (tmp_path / "404.html").write_text(html, "utf-8")
    page = shown(browser, (tmp_path / "404.html").as_uri())
    assert page.evaluate("getComputedStyle(document.querySelector('h1')).fontWeight") == "400"
    page.close()
