"""Finds the Chromium-like browser that the tests drive; as a script with --install it also tries to get one.

Where the builder finds none: `playwright install chromium`, then Debian's package when root.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

from builder.packs.browser import MISSING, find_browser, flags

__all__ = ["MISSING", "find_browser", "flags"]


def _install() -> None:
    tries = [[sys.executable, "-m", "playwright", "install", "chromium"]]
    if hasattr(os, "geteuid") and os.geteuid() == 0 and shutil.which("apt-get"):
        tries += [["apt-get", "update", "-qq"], ["apt-get", "install", "-y", "-qq", "chromium"]]
    for command in tries:
        subprocess.run(command, check=False, stdout=subprocess.DEVNULL)
        if find_browser():
            return


if __name__ == "__main__":
    if find_browser() is None and "--install" in sys.argv:
        _install()
    print(found := find_browser() or f"Between Plates: {MISSING}.")
    sys.exit(not isinstance(found, Path))
