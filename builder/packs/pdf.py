"""A page as a PDF that a screen reader can read: tagged, with outline, title and language, printed by the browser.

The browser's clock stays out of it: both dates of the file are put to one fixed day, in place, so that no offset changes. What
is left follows from the page, the browser's release and the machine's fonts: the same of these, the same bytes.
"""

from __future__ import annotations

import re
import tempfile
from pathlib import Path

from builder.packs.browser import MISSING, find_browser, flags
from builder.packs.error import PackError

DATE = re.compile(rb"(/(?:Creation|Mod)Date \(D:)(\d{14})([^)]*\))")
FIRST_DAY = b"19800101000000"
"""The day that archives have too (ground/zips.py)."""


def pdf(page: bytes) -> bytes:
    """The page on the paper that its own style asks for. Raises PackError where playwright or a browser is missing."""
    try:
        from playwright.sync_api import Error, sync_playwright
    except ImportError:
        raise PackError(
            "A PDF wants a browser and playwright: pip install -c constraints.txt -e '.[paper]'. The page prints without them."
        ) from None
    browser = None
    try:
        with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
            browser = find_browser(Path(playwright.chromium.executable_path))
            if browser is None:
                raise PackError(f"A PDF wants a browser: {MISSING}. The page prints without it.")
            file = Path(folder) / "page.html"
            file.write_bytes(page)
            with playwright.chromium.launch(executable_path=browser, args=flags()) as running:
                shown = running.new_page(java_script_enabled=False, offline=True)
                shown.goto(file.as_uri(), wait_until="load")
                made = shown.pdf(prefer_css_page_size=True, tagged=True, outline=True)
    except FileNotFoundError as error:
        raise PackError(f"{error}.") from None
    except Error as error:
        raise PackError(f"{browser} did not print: {error.message.splitlines()[0]}") from None
    return undated(made)


def undated(made: bytes) -> bytes:
    """With the day of no printing; as long as before."""
    return DATE.sub(rb"\g<1>" + FIRST_DAY + rb"\g<3>", made)
