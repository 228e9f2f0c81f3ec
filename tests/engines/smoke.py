"""Motion and player in the engines that the other tests do not drive: Firefox and, where there is a driver, WebKit.

    make engines        or: python -m pytest -s tests/engines/smoke.py

Pages are opened from disk. Angles are compared with the exact fractions of the train.
"""

from __future__ import annotations

import math
import os
import time
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from builder.build import build_site
from builder.drawing.sheet import START_S
from builder.going.going import Going
from builder.publish import publish
from tests.engines import bidi, driver
from tests.solved import MODELS, demo

SLUG = "pocket_watch"
Engine = bidi.Firefox | driver.WebKit
MOMENTS_S = (0.0, 3600 * 3 + 1234.5, 43199.0, 86400.0)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site of one movement."""
    made = tmp_path_factory.mktemp("engines") / "site"
    publish(build_site(MODELS, [SLUG]), made)
    return made


@pytest.fixture(scope="module", params=["firefox", "webkit"])
def engine(request: pytest.FixtureRequest) -> Iterator[Engine]:
    """A browser. Where it is missing its tests are skipped; Firefox may be demanded by NEEDED=firefox."""
    found: Any = bidi.path() if request.param == "firefox" else driver.path()
    if found is None:
        assert request.param not in os.environ.get("NEEDED", ""), f"{request.param} is missing"
        pytest.skip(f"{request.param} is missing")
    with bidi.firefox(found) if request.param == "firefox" else driver.webkit(*found) as opened:
        print(f"\n{opened.name} {opened.version}")
        yield opened


@pytest.fixture(scope="module")
def running() -> Going:
    return demo(SLUG)


def until(engine: Engine, expression: str, seconds: float = 20.0) -> Any:
    """Wait for something to come true in the page."""
    end = time.monotonic() + seconds
    while not (found := engine.run(expression)):
        assert time.monotonic() < end, f"never: {expression}"
        time.sleep(0.05)
    return found


def apart(a: float, b: float) -> float:
    return abs((a - b + 180) % 360 - 180)


def test_every_page_opens(engine: Engine, folder: Path) -> None:
    """From disk, every page shows its heading and complains of nothing."""
    for page in sorted(folder.rglob("*.html")):
        if "/embed/" in page.as_posix():
            continue
        engine.open(page.as_uri())
        assert until(engine, "!!document.querySelector('h1')?.getBoundingClientRect().height"), page
        assert engine.troubles == [], page


def test_hands_show_the_time(engine: Engine, folder: Path, running: Going) -> None:
    """Led by the player to a time, every hand stands where the train's exact turns put it, to a beat's step."""
    engine.open((folder / SLUG / "index.html").as_uri())
    for at_s in MOMENTS_S:
        engine.run(f"betweenPlates.time('train-front', {at_s})")
        for shows, carrier in running.train.hands:
            part = "seconds-hand" if shows == "seconds" else f"{shows.rstrip('s')}-hand"
            rate = Fraction(abs(running.train[carrier].turns_per_hour), 3600) * 360
            where = f"[data-drawing='train-front'] .part[data-part='{part}'] g.m"
            turned = float(engine.run(f"document.querySelector(\"{where}\").getAttribute('transform').slice(7, -1)"))
            assert apart(turned, float(rate) * at_s) <= float(rate * running.train.beat_s) * 1.2 + 0.01, (shows, at_s)


def test_it_runs_stops_and_is_led(engine: Engine, folder: Path) -> None:
    """A drawing moves by itself, stands when it is stopped, shows a time that is asked for, and goes on from there."""
    engine.open((folder / SLUG / "oscillator.html").as_uri())
    until(engine, "betweenPlates.running('oscillator')")
    start = engine.run("betweenPlates.time('oscillator')")
    until(engine, f"betweenPlates.time('oscillator') > {start}")
    press = "document.querySelector(\"[data-drawing='oscillator'] [data-do=run]\").click()"
    engine.run(press)
    stopped = engine.run("betweenPlates.time('oscillator')")
    time.sleep(0.3)
    assert engine.run("betweenPlates.time('oscillator')") == stopped
    engine.run("betweenPlates.time('oscillator', 12.5)")
    assert engine.run("betweenPlates.time('oscillator')") == pytest.approx(12.5)
    engine.run(press)
    until(engine, "betweenPlates.time('oscillator') > 12.5")
    assert engine.troubles == []


def test_a_drawing_by_itself_keeps_time(engine: Engine, folder: Path, running: Going) -> None:
    """The SVG file alone, without any script: its own clock set to a time, the hands have turned as computed."""
    engine.open((folder / SLUG / "train-front.svg").as_uri())
    root = "document.documentElement"
    for later_s in (10.13, 3600.27, 40000.05):  # at a whole number of periods WebKit counts one twice
        engine.run(f"({root}.pauseAnimations(), {root}.setCurrentTime({later_s}), 1)")
        now_s = engine.run(f"{root}.getCurrentTime()")
        assert now_s == pytest.approx(later_s, abs=0.01)  # WebKit keeps single precision
        for shows, carrier in running.train.hands:
            part = "seconds-hand" if shows == "seconds" else f"{shows.rstrip('s')}-hand"
            first = "all => all.numberOfItems && [all.getItem(0).matrix.a, all.getItem(0).matrix.b]"
            cosine, sine = until(engine, f"({first})(document.querySelector('[data-part={part}] .m').transform.animVal)")
            rate = Fraction(abs(running.train[carrier].turns_per_hour), 3600) * 360
            turned, step = math.degrees(math.atan2(sine, cosine)), float(rate * running.train.beat_s) * 1.2 + 0.01
            assert apart(turned, float(rate) * (START_S + now_s)) <= step, (shows, later_s)
