"""What a frame costs the browser's main thread: the largest moving drawings, beside a page that only counts its frames.

Time of the thread itself, by the browser's own account (Performance.getMetrics in thread ticks), while the drawing plays, as it
does by itself.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, sync_playwright

from tests.browser.find_browser import MISSING, find_browser, flags

PLAYED_MS = 4000
COUNT = "window.frames_seen = 0; (function count() { window.frames_seen++; requestAnimationFrame(count); })();"
EMPTY = "data:text/html,<!doctype html><title>Empty</title>"


def frames(site: Path, how_many: int = 3) -> dict[str, Any]:
    """ms of the main thread a frame, for the drawings that are largest as files and for an empty page."""
    found = find_browser()
    if found is None:
        return {"left_out": MISSING}
    largest = sorted(site.glob("*/embed/*.html"), key=lambda path: path.stat().st_size, reverse=True)[:how_many]
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=found, args=flags())
        empty = _ms_a_frame(browser, EMPTY)
        drawn = {path.relative_to(site).as_posix(): _ms_a_frame(browser, path.as_uri()) for path in largest}
        browser.close()
    return {
        "empty_ms": round(empty, 3),
        "drawings_ms": {name: round(ms, 3) for name, ms in drawn.items()},
        "worst_to_empty": round(max(drawn.values()) / empty, 1),
    }


def _ms_a_frame(browser: Browser, address: str) -> float:
    page = browser.new_page(viewport={"width": 1200, "height": 900})
    session = page.context.new_cdp_session(page)
    session.send("Performance.enable", {"timeDomain": "threadTicks"})
    page.goto(address)
    page.evaluate(COUNT)
    page.wait_for_timeout(500)
    before, seen = _spent_s(session), page.evaluate("frames_seen")
    page.wait_for_timeout(PLAYED_MS)
    after, last = _spent_s(session), page.evaluate("frames_seen")
    page.close()
    return 1000 * (after - before) / (last - seen)


def _spent_s(session: Any) -> float:
    metrics = session.send("Performance.getMetrics")["metrics"]
    return float(next(each["value"] for each in metrics if each["name"] == "TaskDuration"))
