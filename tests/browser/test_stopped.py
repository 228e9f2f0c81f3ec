"""A drawing in a state in which the movement stops: it stands, whatever is pressed, and says so."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from builder.build import TEMPLATES
from builder.drawing.diagrams import DIAGRAMS
from builder.drawing.sheet import Sheet
from builder.movement.collection import Collection
from builder.movement.reading import read
from builder.pages.embed import embedded
from builder.pages.press import Press
from builder.pages.shown import Shown
from tests.browser.pages_helper import address, until, watched
from tests.solved import MODELS, stops_when_nearly_down, wording

STANDS = "() => [...document.querySelectorAll('.drawing .m')].map(one => one.getAttribute('transform')).join()"


def written(folder: Path, slug: str) -> Sheet:
    """A drawing of a watch that stops before it is down, as a page of its own."""
    going = stops_when_nearly_down()
    plate = DIAGRAMS[slug](going, wording())
    assert plate is not None
    sheets = {}
    for winding in going.windings:
        other = DIAGRAMS[slug](going.at(winding), wording())
        assert other is not None
        sheets[winding.name] = other.sheet
    plate = type(plate)(plate.sheet.with_states(sheets), plate.columns, plate.rows)
    press = Press.of(read(MODELS / "collection.toml", Collection, MODELS), TEMPLATES)
    page = embedded(Shown(going, {slug: plate}, "", {}), slug, press.env, press.frame, press.wear)
    (folder / "drawing.html").write_bytes(page)
    return plate.sheet


@pytest.mark.parametrize("slug", ["escapement", "beat-chart"])
def test_what_stops_stands_and_says_so(browser: Browser, tmp_path: Path, slug: str) -> None:
    """Wound it runs and says how fast; nearly down it says that it stops, and nothing is elsewhere half a period later."""
    sheet = written(tmp_path, slug)
    words = wording()["site.player"]
    troubles: list[str] = []
    with watched(browser, tmp_path, troubles) as page:
        page.goto(address(tmp_path, "drawing.html"), wait_until="load")
        until(page, "window.betweenPlates !== undefined")
        said = page.locator("p.state")
        before = []
        for state, standing in (("wound", False), ("nearly down", True)):
            page.evaluate("([n, s]) => { betweenPlates.choose(n, s); betweenPlates.run(n, true); }", [sheet.slug, state])
            assert (words["nothing"] in (said.text_content() or "")) == standing, said.text_content()
            places = []
            for t_s in (0.0, sheet.scrub_s / 3):
                page.evaluate("([n, t]) => betweenPlates.time(n, t)", [sheet.slug, t_s])
                places.append(page.evaluate(STANDS))
            assert (places[0] == places[1]) == standing, state
            before.append(places[0])
        assert before[0] != before[1] or slug == "beat-chart"
    assert troubles == []
