"""WebKit, driven over WebDriver (W3C) through WebKitGTK's own driver, on a screen that nobody sees.

This protocol tells nothing of console and network: what a page complains of is not heard here.
"""

from __future__ import annotations

import json
import os
import shutil
import socket
import subprocess
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any


class WebKit:
    """One window."""

    name = "WebKitGTK"

    def __init__(self, address: str, browser: str) -> None:
        self.troubles: list[str] = []
        """Always empty: see above."""
        options = {"binary": browser, "args": ["--automation"]}
        wanted = {"capabilities": {"alwaysMatch": {"webkitgtk:browserOptions": options}}}
        made = _sent("POST", f"{address}/session", wanted)
        self.version: str = made["capabilities"]["browserVersion"]
        self.address = f"{address}/session/{made['sessionId']}"

    def open(self, address: str) -> None:
        """Go to an address; returns once all is loaded."""
        _sent("POST", f"{self.address}/url", {"url": address})

    def run(self, expression: str) -> Any:
        """The value of an expression in the page, as JSON carries it."""
        return _sent("POST", f"{self.address}/execute/sync", {"script": f"return {expression}", "args": []})


def path() -> tuple[str, str] | None:
    """Driver and browser; None where one of the two is missing."""
    driver = shutil.which("WebKitWebDriver")
    browsers = sorted(Path("/usr/lib").glob("*/webkit2gtk-4.*/MiniBrowser"))
    return (driver, str(browsers[-1])) if driver and browsers else None


@contextmanager
def webkit(driver: str, browser: str) -> Iterator[WebKit]:
    """WebKitGTK in a window on a screen of its own, where there is none."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    screen = [] if "DISPLAY" in os.environ else ["xvfb-run", "-a"]
    # The driver's sandbox wants a session bus; a machine for tests has none.
    environment = {**os.environ, "WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS": "1", "NO_AT_BRIDGE": "1"}
    process = subprocess.Popen(
        [*screen, driver, f"--port={port}"], env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        start_new_session=True,
    )  # fmt: skip
    address = f"http://127.0.0.1:{port}"
    try:
        _wait(address)
        opened = WebKit(address, browser)
        try:
            yield opened
        finally:
            _sent("DELETE", opened.address)
    finally:
        os.killpg(process.pid, 15)
        process.wait()


def _wait(address: str) -> None:
    for _ in range(100):
        try:
            _sent("GET", f"{address}/status")
        except OSError:
            time.sleep(0.1)
        else:
            return
    raise RuntimeError("the driver does not answer")


def _sent(method: str, address: str, data: Any = None) -> Any:
    body = None if data is None else json.dumps(data).encode()
    request = urllib.request.Request(address, body, {"Content-Type": "application/json"}, method=method)
    try:
        with urllib.request.urlopen(request, timeout=60) as answer:
            return json.load(answer)["value"]
    except urllib.error.HTTPError as error:
        raise RuntimeError(json.load(error)["value"]["message"]) from None
