"""Worksheets on paper: nothing on them is cut, on A4 or on Letter."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser

from builder.pages.worksheets import MARGIN_MM
from tests.browser.pages_helper import address, watched
from tests.conftest import BuiltSite

SIZES_MM = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""ISO 216; ANSI/ASME Y14.1, 8 1/2 by 11 in."""
PX_A_MM = 96 / 25.4

UNCUT = """([width, height]) => [...document.querySelectorAll(".task, .sheet, .grid, .end")].flatMap(one => {
  if (one.matches(".answers .task")) return [];  // these may go over a page's end, between lines
  const box = one.getBoundingClientRect(), inner = one.querySelectorAll("svg text, svg path:not(.construction)");
  const over = each => each.width && (each.left < -1 || each.right > width + 1);
  const out = [...inner].filter(each => over(each.getBoundingClientRect())).length;
  const svg = one.matches(".sheet") ? one.firstElementChild.getBoundingClientRect() : null;
  const cut = svg && [...one.querySelectorAll("text")].some(each => {
    const word = each.getBoundingClientRect();
    return word.left < svg.left - 1 || word.right > svg.right + 1 || word.top < svg.top - 1 || word.bottom > svg.bottom + 1;
  });
  const told = cut ? ", a name cut" : "";
  const size = [box.width, box.height, width, height].map(Math.round).join(" ");
  return box.height > height || over(box) || out || cut ? [`${one.className}: ${size}, ${out} outside${told}`] : [];
})"""


@pytest.mark.parametrize("paper", SIZES_MM)
def test_nothing_is_cut(browser: Browser, built_site: BuiltSite, paper: str) -> None:
    """Within the margins of either paper every task has room on one page, nothing reaches over its sides, and every name in a
    drawing is whole."""
    width_mm, height_mm = SIZES_MM[paper]
    room = [
        (width_mm - 2 * MARGIN_MM["side"]) * PX_A_MM,
        (height_mm - MARGIN_MM["top"] - MARGIN_MM["bottom"]) * PX_A_MM,
    ]
    papers = sorted(path for path in built_site.files if "/paper/" in path)
    assert len(papers) == 6 * len({path.partition("/")[0] for path in papers})
    troubles: list[str] = []
    with watched(browser, built_site.folder, troubles, width=round(room[0]), height=900) as open_page:
        open_page.emulate_media(media="print")
        for path in papers:
            open_page.goto(address(built_site.folder, path), wait_until="load")
            troubles += [f"{path}: {fault}" for fault in open_page.evaluate(UNCUT, room)]
        assert troubles == [], "\n".join(troubles)
        low = open_page.evaluate(UNCUT, [room[0], 200])
        assert low, "negative control: on a slip of paper it would be cut"
