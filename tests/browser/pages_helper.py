"""Pages opened from disk under the eyes of the test, and what can be measured on any of them."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Literal
from urllib.parse import unquote, urlsplit

from axe_playwright_python.sync_playwright import Axe  # type: ignore[import-untyped]
from playwright.sync_api import Browser, Page, Request

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
"""WCAG 2.2 at level AA and what it contains, and axe-core's own good practice."""

Look = Literal["all", "all but colours", "colours"]
BY_TAGS = {"runOnly": {"type": "tag", "values": TAGS}}
LOOKS: dict[Look, dict[str, Any]] = {
    "all": BY_TAGS,
    "all but colours": {**BY_TAGS, "rules": {"color-contrast": {"enabled": False}}},
    "colours": {"runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]}},
}
"""What axe-core is asked. Measuring contrast takes two thirds of its time."""

OVERHANGING = """() => {
  const page = document.documentElement, width = page.clientWidth;
  if (page.scrollWidth <= width) return [];
  const wide = [...document.querySelectorAll("body *")].filter(one => one.getBoundingClientRect().right > width + 0.5);
  const outermost = wide.filter(one => !wide.includes(one.parentElement)).slice(0, 5);
  return [`the page is ${page.scrollWidth} wide in ${width}`].concat(outermost.map(one =>
    `<${one.tagName.toLowerCase()} id="${one.id}" class="${one.getAttribute("class") || ""}"> ends at ${
      Math.round(one.getBoundingClientRect().right)}`));
}"""


def until(page: Page, expression: str) -> None:
    """Playwright's own waiting needs eval, which the pages' policy forbids."""
    for _ in range(250):
        if page.evaluate(expression):
            return
        time.sleep(0.02)
    raise AssertionError(f"never: {expression}")


@contextmanager
def watched(browser: Browser, folder: Path, troubles: list[str], **view: Any) -> Iterator[Page]:
    """An empty page whose complaints, failures and requests outside `folder` are added to `troubles`.

    view: width and height in CSS px (1280 × 800), dark, still (reduced motion), forced_colours, script (True).
    Requests to other machines are noted and stopped.
    """
    context = browser.new_context(
        viewport={"width": view.pop("width", 1280), "height": view.pop("height", 800)},
        color_scheme="dark" if view.pop("dark", False) else "light",
        reduced_motion="reduce" if view.pop("still", False) else "no-preference",
        forced_colors="active" if view.pop("forced_colours", False) else "none",
        java_script_enabled=view.pop("script", True),
    )
    assert not view, f"no such view: {view}"
    context.route(re.compile("^(https?|wss?|ftp):"), lambda route: route.abort())
    page = context.new_page()
    page.on("console", lambda said: troubles.append(f"console: {said.text}") if said.type in ("error", "warning") else None)
    page.on("pageerror", lambda error: troubles.append(f"script: {error}"))
    page.on("request", lambda request: None if _inside(request.url, folder) else troubles.append(f"asks for {request.url}"))
    page.on("requestfailed", lambda request: None if _cut_off(request) else troubles.append(f"could not load {request.url}"))
    try:
        yield page
    finally:
        context.close()


@contextmanager
def opened(browser: Browser, folder: Path, path: str, **view: Any) -> Iterator[Page]:
    """A page of the site in `folder`, loaded; `path` may carry a query or fragment. Fails at the end if there was trouble."""
    troubles: list[str] = []
    with watched(browser, folder, troubles, **view) as page:
        page.goto(address(folder, path), wait_until="load")
        yield page
    assert troubles == [], f"{path}: " + "; ".join(troubles)


def address(folder: Path, path: str) -> str:
    """The file: address of a page, with its query and fragment."""
    return f"{folder.as_uri()}/{path}"


def _inside(url: str, folder: Path) -> bool:
    parts = urlsplit(url)
    if parts.scheme in ("data", "blob"):
        return True
    return parts.scheme == "file" and Path(unquote(parts.path)).resolve().is_relative_to(folder.resolve())


def _cut_off(request: Request) -> bool:
    """The test went on to the next page before this was there (the icon is asked for late). A missing file fails otherwise."""
    return request.failure == "net::ERR_ABORTED"


def barriers(page: Page, look: Look = "all") -> list[str]:
    """What axe-core finds: rule, how bad, and where. Frames are not entered; their pages are checked by themselves."""
    options = {"resultTypes": ["violations"], "iframes": False, "preload": False, **LOOKS[look]}
    found = Axe().run(page, options=options).response["violations"]
    return [
        f"{rule['id']} ({rule['impact']}): {rule['help']}: " + ", ".join(" ".join(map(str, node["target"])) for node in nodes[:4])
        for rule in found
        if (nodes := rule["nodes"])
    ]


def overhanging(page: Page) -> list[str]:
    """What makes the page scroll sideways, outermost elements first; empty where it does not."""
    return page.evaluate(OVERHANGING)
