"""The preview in a real browser: pages with the site's own strict policy reload by themselves and list faults."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from builder.serve import Preview, server
from tests.conftest import BuiltSite


@pytest.fixture
def site() -> dict[str, bytes]:
    return {}


@pytest.fixture
def preview(site: dict[str, bytes], tmp_path: Path) -> Iterator[Preview]:
    def build() -> dict[str, bytes]:
        if not site:
            raise ValueError("no teeth were counted")
        return dict(site)

    yield Preview(build, [tmp_path])


@pytest.fixture
def address(preview: Preview) -> Iterator[str]:
    with server(preview, 0) as listening:
        thread = threading.Thread(target=listening.serve_forever, kwargs={"poll_interval": 0.01})
        thread.start()
        yield f"http://127.0.0.1:{listening.server_port}/"
        listening.shutdown()
        thread.join()


def test_a_page_follows_its_files(
    browser: Browser, built_site: BuiltSite, site: dict[str, bytes], preview: Preview, address: str
) -> None:
    """Faults first, then the page, then faults below the page that stays, then the changed page: without a key pressed."""
    page = browser.new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: said.append(str(error)))
    try:
        preview.rebuild()
        page.goto(address)
        expect(page.get_by_text("ValueError: no teeth were counted")).to_be_visible()
        site |= built_site.files
        heading = page.locator("h1").first
        preview.rebuild()
        expect(heading).not_to_have_text("Not built")
        was = heading.inner_text()
        site.clear()
        preview.rebuild()
        page.get_by_text("Not built again. Faults: ").click()
        expect(page.get_by_role("listitem").filter(has_text="ValueError: no teeth were counted")).to_be_visible()
        assert heading.inner_text() == was
        site |= built_site.files | {"index.html": built_site.files["index.html"].replace(was.encode(), b"Changed by hand")}
        preview.rebuild()
        expect(heading).to_have_text("Changed by hand")
        expect(page.get_by_text("Not built again")).to_have_count(0)
        assert [one for one in said if "503" not in one] == [], "the browser says that there was no page, whenever it likes"
    finally:
        page.close()
