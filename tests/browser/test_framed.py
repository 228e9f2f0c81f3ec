"""A drawing in a frame on a page that is not ours: sandboxed, from disk and from a server of another origin, told what to do."""

from __future__ import annotations

import re
import threading
import time
from collections.abc import Callable, Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Frame, Page

from tests.conftest import PROJECT, BuiltSite

MOVEMENT = "pocket_watch"
STRANGER = """<!doctype html><html lang="en"><meta charset="utf-8"><title>Someone else's page</title><h1>Lesson four</h1>
<iframe id="frame" src="{address}" title="A drawing" width="{width}" height="90" sandbox="allow-scripts"></iframe>
<script>
  const heard = [];
  addEventListener("message", (event) => {{
    if (event.source !== frame.contentWindow) return;
    heard.push(event.data);
    frame.height = event.data.height;
  }});
  const say = (data) => frame.contentWindow.postMessage(data, "*");
</script>"""


class Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *_: Any) -> None:
        """Says nothing."""


@pytest.fixture
def serving() -> Iterator[Callable[[Path], str]]:
    """Serves a folder on this machine; each folder has a port, and so an origin, of its own."""
    running = []

    def serve(folder: Path) -> str:
        one = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(folder)))
        thread = threading.Thread(target=one.serve_forever, kwargs={"poll_interval": 0.01})
        thread.start()
        running.append((one, thread))
        return f"http://127.0.0.1:{one.server_port}"

    yield serve
    for one, thread in running:
        one.shutdown()
        thread.join()
        one.server_close()


@pytest.fixture
def framed(
    browser: Browser, built_site: BuiltSite, serving: Callable[[Path], str], tmp_path: Path
) -> Iterator[Callable[..., Page]]:
    """A stranger's page with a drawing in its frame. Nothing on the console, and nothing is asked of any other machine."""
    troubles: list[str] = []
    asked: list[str] = []
    contexts = []

    def open_frame(way: str, drawing: str, options: str = "", width: int = 900, **view: Any) -> Page:
        homes = (
            (built_site.folder.as_uri(), tmp_path.as_uri()) if way == "file" else (serving(built_site.folder), serving(tmp_path))
        )
        address = f"{homes[0]}/{MOVEMENT}/embed/{drawing}.html{options}"
        (tmp_path / "stranger.html").write_text(STRANGER.format(address=address, width=width), "utf-8")
        context = browser.new_context(viewport={"width": 1000, "height": 800}, **view)
        contexts.append(context)
        context.route(re.compile(r"^(https?|wss?):(?!//127\.0\.0\.1:)"), lambda route: route.abort())
        page = context.new_page()
        page.on("console", lambda said: troubles.append(said.text) if said.type in ("error", "warning") else None)
        page.on("pageerror", lambda error: troubles.append(str(error)))
        page.on("request", lambda request: asked.append(request.url))
        page.goto(f"{homes[1]}/stranger.html")
        until(page, "last => last && last.height === document.getElementById('frame').clientHeight")
        return page

    yield open_frame
    for context in contexts:
        context.close()
    assert [one for one in troubles if "favicon" not in one and "404" not in one] == []
    assert [url for url in asked if not url.startswith(("file:", "data:", "http://127.0.0.1:"))] == []


FITS = "() => document.documentElement.scrollHeight <= innerHeight && document.documentElement.scrollWidth <= innerWidth"
"""Nothing is left to scroll."""


def until(page: Page, holds: str, inner: Frame | None = None) -> dict[str, Any]:
    """The last message heard, as soon as `holds` (a function of it, or of nothing in the frame) is true."""
    for _ in range(250):
        if inner.evaluate(holds) if inner else page.evaluate(f"({holds})(heard.at(-1))"):
            return dict(page.evaluate("heard.at(-1)"))
        time.sleep(0.02)
    raise AssertionError(f"never: {holds}; last heard: {page.evaluate('heard.at(-1)')}")


def say(page: Page, message: Any) -> None:
    page.evaluate("data => say(data)", message)


@pytest.mark.parametrize("way", ["file", "http"])
def test_a_stranger_drives_the_drawing(framed: Callable[..., Page], way: str) -> None:
    """Play, pause, time, speed and mark messages are obeyed in a sandboxed frame, which grows to the height it is told."""
    page = framed(way, "train-front", "#start=still")
    still = until(page, "last => last.running === false")
    assert still["drawing"] == f"{MOVEMENT}/train-front"
    inner = page.frames[1]
    assert inner.evaluate("origin") == "null", "the frame is sandboxed"
    until(page, FITS, inner)
    say(page, {"betweenPlates": "time", "to": 36610.5})
    assert until(page, "last => last.time === 36610.5")["running"] is False
    assert inner.locator(".shown").inner_text().startswith("10:10:10")
    say(page, {"betweenPlates": "mark", "to": "third-wheel"})
    until(page, "last => last.marked === 'third-wheel'")
    assert set(inner.locator(".marked").evaluate_all("all => all.map(one => one.dataset.part)")) == {"third-wheel"}
    say(page, {"betweenPlates": "speed", "to": 0.1})
    say(page, {"betweenPlates": "play"})
    assert until(page, "last => last.running")["time"] >= 36610.5
    assert "one tenth" in inner.locator(".state").inner_text()
    page.wait_for_timeout(250)
    say(page, {"betweenPlates": "pause"})
    assert 36610.5 < until(page, "last => !last.running")["time"] < 36612
    say(page, {"betweenPlates": "mark", "to": None})
    until(page, "last => last.marked === null")


def test_options_come_with_the_address(framed: Callable[..., Page]) -> None:
    """Part, speed, labels, lines, winding, time, table and a still start can be told after # or ?, and # may change later."""
    options = "mark=balance&labels=off&speed=0.05&lines=on&winding=nearly-down&time=4:30&table=off&start=still"
    page = framed("file", "train-front", f"?{options}")
    told = until(page, "last => last.marked === 'balance'")
    assert (told["running"], told["time"]) == (False, 16200)
    inner = page.frames[1]
    assert inner.locator(".balloon:visible").count() == 0
    assert "one twentieth" in inner.locator(".state").inner_text()
    assert inner.locator(".lines").is_checked() and inner.locator(".construction:visible").count() > 0
    assert inner.locator("[data-choose=state]:checked").get_attribute("value") == "nearly down"
    assert not inner.locator(".told table").is_visible()
    page.evaluate("frame.src += '#labels=on&table=on&mark=no-such-part'")
    until(page, "last => last.marked === null")
    assert inner.locator(".balloon:visible").count() > 0
    assert inner.locator(".told table").is_visible()


def test_what_is_not_understood_does_nothing(framed: Callable[..., Page]) -> None:
    """Markup, wrong types, unknown words and strangers' protocols are passed over: the page stays as it is, and says nothing."""
    page = framed("file", "train-front", "#start=still&time=10:10&mark=<img src=x onerror=alert(1)>&speed=fast&winding=__proto__")
    inner = page.frames[1]
    before = inner.evaluate("document.body.innerHTML")
    nonsense: tuple[Any, ...] = (
        {"betweenPlates": "mark", "to": "<img src=x onerror=alert(1)>"},
        {"betweenPlates": "time", "to": "12"},
        {"betweenPlates": "time", "to": 1e300},
        {"betweenPlates": "speed", "to": -1},
        {"betweenPlates": "speed", "to": {"valueOf": 2, "toString": 2}},
        {"betweenPlates": "winding", "to": ["half wound"]},
        {"betweenPlates": "constructor"},
        {"betweenPlates": {"toString": 1}},
        {"lines": True},
        "play",
        [],
        None,
        17,
    )
    for data in nonsense:
        say(page, data)
    say(page, {"betweenPlates": "pause"})
    heard = page.evaluate("heard.length")
    until(page, f"() => heard.length >= {heard}")
    assert inner.evaluate("document.body.innerHTML") == before


def test_every_message_that_is_listed_is_obeyed(framed: Callable[..., Page]) -> None:
    """Those of the catalogue's list that are not driven above: labels, lines and winding, there and back."""
    listed = set(re.findall(r'betweenPlates: \\"(\w+)', (PROJECT / "templates/wording/en/class.toml").read_text("utf-8")))
    assert listed == {"play", "pause", "time", "mark", "speed", "winding", "labels", "lines"}
    page = framed("file", "train-front", "#start=still")
    inner = page.frames[1]
    balloons, lines = inner.locator(".balloon:visible"), inner.locator(".construction:visible")
    assert balloons.count() > 0 and lines.count() == 0
    for word, to, holds in (
        ("labels", False, lambda: balloons.count() == 0),
        ("labels", True, lambda: balloons.count() > 0),
        ("lines", True, lambda: lines.count() > 0),
        ("lines", False, lambda: lines.count() == 0),
        ("winding", "nearly-down", lambda: inner.locator("[data-choose=state]:checked").get_attribute("value") == "nearly down"),
        ("winding", "wound", lambda: inner.locator("[data-choose=state]:checked").get_attribute("value") == "wound"),
    ):
        heard = page.evaluate("heard.length")
        say(page, {"betweenPlates": word, "to": to})
        until(page, f"() => heard.length > {heard}")
        assert holds(), (word, to)


def test_a_reader_who_wants_it_still_gets_it_still(framed: Callable[..., Page]) -> None:
    """With reduced motion the drawing opens standing, at the time that the address names too."""
    page = framed("file", "escapement", "#time=1:00:00", reduced_motion="reduce")
    assert until(page, "last => last.time === 3600")["running"] is False


@pytest.mark.parametrize("width", [320, 700, 980])
def test_the_height_comes_to_rest(framed: Callable[..., Page], width: int) -> None:
    """A frame that follows the height it is told is told it a few times, not for ever, at every width."""
    page = framed("file", "oscillator", "#start=still", width=width)
    until(page, FITS, page.frames[1])
    page.wait_for_timeout(100)
    heard = page.evaluate("heard.length")
    page.wait_for_timeout(200)
    assert page.evaluate("heard.length") == heard < 12


def test_a_drawing_without_motion_can_be_told_its_state(framed: Callable[..., Page]) -> None:
    """Where nothing moves, play and time do no harm, and the state of winding is obeyed."""
    page = framed("file", "power-flow")
    inner = page.frames[1]
    for data in ({"betweenPlates": "play"}, {"betweenPlates": "time", "to": 5}, {"betweenPlates": "winding", "to": "half wound"}):
        say(page, data)
    until(page, "last => heard.length > 3")
    assert inner.locator("[data-state='half wound']").first.is_visible()
    assert not inner.locator("[data-state=wound]").first.is_visible()
