"""The browser of the machine: where there is one that prints.

In order: the variable BETWEEN_PLATES_BROWSER, playwright's own, one on PATH.
"""

from __future__ import annotations

import os
import shutil
import subprocess  # nosec B404 # asks playwright, in a process of its own, where its browser is
import sys
from collections.abc import Iterator
from pathlib import Path

VARIABLE = "BETWEEN_PLATES_BROWSER"
ON_PATH = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "microsoft-edge", "microsoft-edge-stable")
ON_MAC = ("Chromium.app/Contents/MacOS/Chromium", "Google Chrome.app/Contents/MacOS/Google Chrome")
MISSING = f"no Chromium, Chrome or Edge was found; install one, or name one in the variable {VARIABLE}"


def find_browser(own: Path | None = None) -> Path | None:
    """The browser's program, or None. Raises FileNotFoundError if the variable names a file that is not there.

    `own` is playwright's; where it is not told, playwright is asked, which takes a second.
    """
    if named := os.environ.get(VARIABLE):
        if not Path(named).is_file():
            raise FileNotFoundError(f"{VARIABLE} names {named}, which is no file")
        return Path(named)
    return next(_present(own), None)


def flags() -> list[str]:
    """What the browser is started with: nothing in the background, and no sandbox only where root cannot have one."""
    quiet = ["--disable-background-networking", "--disable-component-update", "--no-first-run", "--disable-gpu"]
    return quiet + (["--no-sandbox"] if hasattr(os, "geteuid") and os.geteuid() == 0 else [])


def _present(own: Path | None) -> Iterator[Path]:
    own = own or _playwrights_own()
    if own.is_file():
        yield own
    yield from (Path(found) for name in ON_PATH if (found := shutil.which(name)))
    yield from (app for name in ON_MAC if (app := Path("/Applications") / name).is_file())


def _playwrights_own() -> Path:
    # In a process of its own: playwright's synchronous driver may already be running in this one.
    ask = "from playwright.sync_api import sync_playwright as s\nwith s() as p: print(p.chromium.executable_path)"
    said = subprocess.run([sys.executable, "-c", ask], capture_output=True, text=True, check=True)  # nosec B603 # our own words
    return Path(said.stdout.strip())
