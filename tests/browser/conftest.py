"""A browser for the tests, and pages opened in it the way a reader opens them: from disk."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import ExitStack

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser.find_browser import MISSING, find_browser, flags
from tests.browser.pages_helper import opened
from tests.conftest import BuiltSite


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Chromium. Where there is none the test is skipped; with CI set it fails."""
    found = find_browser()
    if found is None:
        assert "CI" not in os.environ, MISSING
        pytest.skip(MISSING)
    with sync_playwright() as playwright:
        yield playwright.chromium.launch(executable_path=found, args=flags())


@pytest.fixture
def open_page(browser: Browser, built_site: BuiltSite) -> Iterator[Callable[..., Page]]:
    """`open_page(path, **view)` opens a page of the demo site from disk; see `opened` for the view.

    The test fails if a page it opened complained on its console or asked for anything outside the site.
    """
    with ExitStack() as stack:
        yield lambda path, **view: stack.enter_context(opened(browser, built_site.folder, path, **view))
