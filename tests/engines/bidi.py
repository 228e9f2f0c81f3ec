"""Firefox, driven over WebDriver BiDi (W3C): the browser itself listens, nothing stands between.

Neglected of the standard: all but opening pages, running expressions, and hearing the console and the network.
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from websockets.sync.client import ClientConnection, connect

PREFERENCES = {
    "remote.prefs.recommended": False,
    "security.fileuri.strict_origin_policy": True,
    "browser.shell.checkDefaultBrowser": False,
    "datareporting.policy.dataSubmissionEnabled": False,
    "browser.aboutwelcome.enabled": False,
    "network.captive-portal-service.enabled": False,
    "app.update.disabledForTesting": True,
    "ui.prefersReducedMotion": 0,
}
"""A new person's browser, which does not call home."""


class Firefox:
    """One tab."""

    name = "Firefox"

    def __init__(self, socket: ClientConnection, version: str) -> None:
        self._socket, self._number = socket, 0
        self.version = version
        self.troubles: list[str] = []
        """What the console complained of and what was asked of elsewhere, since the page was opened."""
        self._tab = self.ask("browsingContext.getTree")["contexts"][0]["context"]
        self.ask("session.subscribe", events=["log.entryAdded", "network.beforeRequestSent"])

    def ask(self, method: str, **parameters: Any) -> dict[str, Any]:
        """Send a command; what is told meanwhile is heard. Raises RuntimeError with the browser's own words."""
        self._number += 1
        self._socket.send(json.dumps({"id": self._number, "method": method, "params": parameters}))
        while True:
            said = json.loads(self._socket.recv(timeout=60))
            if said.get("type") == "event":
                self._hear(said["method"], said["params"])
            elif said.get("id") == self._number:
                if said["type"] == "error":
                    raise RuntimeError(f"{said['error']}: {said['message']}")
                return said["result"]

    def _hear(self, what: str, told: dict[str, Any]) -> None:
        if what == "log.entryAdded" and told["level"] in ("error", "warn"):
            self.troubles.append(f"console: {told['text']}")
        elif what == "network.beforeRequestSent" and not told["request"]["url"].startswith(("file:", "data:", "blob:")):
            self.troubles.append(f"asks for {told['request']['url']}")

    def open(self, address: str) -> None:
        """Go to an address; returns once all is loaded."""
        self.troubles.clear()
        self.ask("browsingContext.navigate", context=self._tab, url=address, wait="complete")

    def run(self, expression: str) -> Any:
        """The value of an expression in the page, as JSON carries it. Raises RuntimeError for what the page raises."""
        target, wrapped = {"context": self._tab}, f"JSON.stringify({expression}) ?? 'null'"
        found = self.ask("script.evaluate", expression=wrapped, target=target, awaitPromise=False)
        if found["type"] != "success":
            raise RuntimeError(found["exceptionDetails"]["text"])
        return json.loads(found["result"]["value"])


def path() -> str | None:
    """Where Firefox lies; None where there is none."""
    return shutil.which("firefox-esr") or shutil.which("firefox")


@contextmanager
def firefox(program: str) -> Iterator[Firefox]:
    """Firefox without a window and with an empty profile."""
    with tempfile.TemporaryDirectory() as profile:
        lines = [f"user_pref({json.dumps(name)}, {json.dumps(value)});" for name, value in PREFERENCES.items()]
        Path(profile, "user.js").write_text("\n".join(lines) + "\n")
        command = [program, "--headless", "--no-remote", "--remote-debugging-port", "0", "--profile", profile]
        process = subprocess.Popen(command, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True)
        try:
            with connect(f"{_address(process)}/session", max_size=None) as socket:
                socket.send(json.dumps({"id": 0, "method": "session.new", "params": {"capabilities": {}}}))
                version = json.loads(socket.recv(timeout=60))["result"]["capabilities"]["browserVersion"]
                yield Firefox(socket, version)
        finally:
            process.kill()
            process.communicate()


def _address(process: subprocess.Popen[str]) -> str:
    assert process.stderr is not None
    for line in process.stderr:
        if found := re.search(r"WebDriver BiDi listening on (ws://\S+)", line):
            return found[1]
    raise RuntimeError("Firefox did not say where it listens")
